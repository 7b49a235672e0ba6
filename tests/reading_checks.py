"""Reading the place Checks off a terminal's screen: which item is in hand."""

from __future__ import annotations

import re

from terminal import Terminal

from rovlog.domain.checks.checklist import Item
from rovlog.usecases.dive_state import DiveState

PICKED = re.compile(r"^ > \S (?:([A-Z]+[0-9]*[a-z]?(?:-[a-z]*)?) )?(.*?)(?:  .*)?$")
"""The row of the group that is pointed at: its code where it has one, then its challenge."""


def picked(terminal: Terminal) -> tuple[str, str]:
    """Code and challenge of the row that is pointed at, as it stands on the screen."""
    for row in terminal.rows[14:]:
        match = PICKED.match(row)
        if match:
            return match.group(1) or "", match.group(2)
    raise AssertionError(f"nothing is pointed at:\n{terminal.text}")


def item_on_screen(terminal: Terminal, state: DiveState) -> Item | None:
    """The item that the screen points at; None at a completion call."""
    code, words = picked(terminal)
    if words.startswith("completion call"):
        return None
    found = [
        i
        for c in state.lists
        for i in c.items()
        if (i.code == code if code else i.challenge.startswith(words[:20]))
    ]
    assert len(found) == 1, (code, words)
    return found[0]
