"""A look as the terminal library takes it: its colours as variables of the style sheets."""

from __future__ import annotations

from textual.theme import Theme

from rovlog.faces.screens.looks import Look

GROUNDS = (
    "ansi-background",
    "border-blurred",
    "block-cursor-foreground",
    "screen-selection-foreground",
    "boost",
)
INKS = ("ansi-foreground", "block-cursor-background", "screen-selection-background", "border")
"""Variables of the terminal library that are the look's ground, or its ink."""


def theme_of(look: Look) -> Theme:
    """The theme of a look."""
    ground = "ansi_default" if look.ground == "default" else look.ground
    ink = "ansi_default" if look.ink == "default" else look.ink
    field_ink, field_ground, _ = look.pairs["field"]
    variables = {
        "ground": ground,
        "ink": ink,
        "quiet": ink if look.pairs["quiet"][0] == "default" else look.pairs["quiet"][0],
        "field-ink": ink if field_ink == "default" else field_ink,
        "field-ground": ground if field_ground == "default" else field_ground,
    }
    # The cursor and what is selected in a field are the field turned round, whatever the field is.
    for part in ("input-cursor", "input-selection"):
        variables |= {
            f"{part}-background": variables["field-ink"],
            f"{part}-foreground": variables["field-ground"],
        }
    variables |= {name: ground for name in GROUNDS} | {name: ink for name in INKS}
    return Theme(
        name=look.name,
        primary=ink,
        foreground=ink,
        background=ground,
        surface=ground,
        panel=ground,
        dark=look.name != "sun",
        ansi=look.ground == "default",
        variables=variables,
    )
