"""The style sheet of the app; its colours are those of the look in force."""

from __future__ import annotations

STYLE_SHEET = """
Room { background: $ground; color: $ink; layers: page above; overflow: hidden; }
Lines { background: $ground; color: $ink; scrollbar-color: $quiet; scrollbar-background: $ground;
    scrollbar-color-hover: $ink; scrollbar-background-hover: $ground; scrollbar-color-active: $ink;
    scrollbar-background-active: $ground; }
StripWidget, PlacesLine, KeysLine, Place { background: $ground; color: $ink; }
KeysLine { dock: bottom; }
Screen.-usual Place, Screen.-wide Place { margin-bottom: 1; }
Screen.-narrow PlacesLine { display: none; }
"""
