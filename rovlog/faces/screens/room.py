"""The one screen below all dialogs, and the keys that work everywhere in it."""

from __future__ import annotations

from textual import events
from textual.app import ComposeResult
from textual.screen import Screen

from rovlog.faces.screens.keys import KeysLine, key
from rovlog.faces.screens.message_line import MessageLine
from rovlog.faces.screens.places import PLACES, PlacesLine, make_place
from rovlog.faces.screens.strip import StripWidget

GENERAL_KEYS = (
    key("f2", "emergency", "emergency", "F2"),
    key("question_mark,f1", "keys", "all_keys", "?"),
    key("f5,alt+1", "Checks", "place:checks", "F5", is_shown=False),
    key("f6,alt+2", "Configuration", "place:configuration", "F6", is_shown=False),
    key("f7,alt+3", "Drift", "place:drift", "F7", is_shown=False),
    key("f8,alt+4", "Dives", "place:dives", "F8", is_shown=False),
    key("f9,alt+5", "Audit", "place:audit", "F9", is_shown=False),
    key("v", "another vehicle or open dive", "choose_vehicle", "v", is_shown=False),
    key("a", "another person answers", "next_person", "a", is_shown=False),
    key("l", "log the emergency card that was opened", "log_card", "l", is_shown=False),
    key("f10", "another look: dark, bright sun, monochrome", "next_look", "F10", is_shown=False),
    key("ctrl+r", "read the files anew", "read_anew", "ctrl+r", is_shown=False),
    key("ctrl+q", "leave; everything kept is on the disk", "leave", "ctrl+q", is_shown=False),
)
DIGITS = {"1": "checks", "2": "configuration", "3": "drift", "4": "dives", "5": "audit"}


class Room(Screen[None]):
    """The one screen below all dialogs."""

    def compose(self) -> ComposeResult:
        """Strip, places, the place, the message, the keys."""
        yield StripWidget()
        yield PlacesLine()
        for name in PLACES:
            place = make_place(name)
            place.display = False
            yield place
        yield MessageLine(id="message")
        yield KeysLine(id="keys")

    def on_resize(self, event: events.Resize) -> None:
        self.query_one(MessageLine).keep_place()
