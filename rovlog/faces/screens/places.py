"""The five places by name, and the line that shows where one is, drawn in the vehicle's own pattern."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.text import Text
from textual import events
from textual.message import Message

from rovlog.faces.screens.drawing import Pen
from rovlog.faces.screens.marks import border
from rovlog.faces.screens.text_rows import TextRows

if TYPE_CHECKING:
    from rovlog.faces.screens.place import Place

PLACES = {
    "checks": ("F5", "Checks"),
    "configuration": ("F6", "Configuration"),
    "drift": ("F7", "Drift"),
    "dives": ("F8", "Dives"),
    "audit": ("F9", "Audit"),
}


def make_place(name: str) -> Place:
    """The place of this name."""
    if name == "checks":
        from rovlog.faces.screens.checks import Checks

        return Checks(id=name)
    if name == "configuration":
        from rovlog.faces.screens.configuration import ConfigurationPlace

        return ConfigurationPlace(id=name)
    if name == "drift":
        from rovlog.faces.screens.drift import DriftPlace

        return DriftPlace(id=name)
    if name == "dives":
        from rovlog.faces.screens.dives import Dives

        return Dives(id=name)
    from rovlog.faces.screens.audit import Audit

    return Audit(id=name)


class PlacesLine(TextRows):
    """The places, the one in sight on a band, in a border of the vehicle's pattern; each can be clicked."""

    DEFAULT_CSS = "PlacesLine { height: 1; }"

    class Chosen(Message):
        """A place was clicked."""

        def __init__(self, place: str) -> None:
            super().__init__()
            self.place = place

    def __init__(self) -> None:
        super().__init__()
        self._here, self._position = "checks", 0

    def show(self, here: str, position: int) -> None:
        """Show which place is in sight, and whose pattern."""
        if (here, position) != (self._here, self._position):
            self._here, self._position = here, position
            self.draw()

    def rows(self, width: int, pen: Pen) -> tuple[Text]:
        """The line."""
        line = pen.line((border(self._position, 3), "rule"))
        for name, (label, title) in PLACES.items():
            style = "place-here" if name == self._here else "place"
            line.append_text(pen.deed(f" {label} {title} ", style, f"place:{name}"))
            line.append_text(pen.line((border(self._position, 1), "rule")))
        line.append_text(pen.line((border(self._position, max(0, width - line.cell_len)), "rule")))
        return (line,)

    def on_click(self, event: events.Click) -> None:
        column = 3
        for name, (label, title) in PLACES.items():
            column += len(f" {label} {title} ") + 1
            if 3 <= event.x < column:
                event.stop()
                from rovlog.faces.screens.app import RovlogApp

                if isinstance(self.app, RovlogApp):
                    self.app.run_deed(f"place:{name}")
                return
