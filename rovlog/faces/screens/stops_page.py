"""Everything that stops the dive, most serious first; enter goes to where it is cleared."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from rich.text import Text
from textual import events
from textual.app import ComposeResult
from textual.screen import ModalScreen

from rovlog.domain.checks.stops import Stop, stop_words
from rovlog.faces.screens.drawing import Pen
from rovlog.faces.screens.lines import Lines
from rovlog.faces.screens.looks import Look


class StopsPage(ModalScreen[None]):
    """The reasons on the whole screen; `go` is called with the one that is picked."""

    DEFAULT_CSS = """
    StopsPage { background: $ground; }
    StopsPage Lines { width: 100%; height: 100%; padding: 0 1; background: $ground; }
    """

    def __init__(self, stops: Sequence[Stop], go: Callable[[Stop], None], look: Callable[[], Look]) -> None:
        super().__init__()
        self._stops, self._go, self._look = tuple(stops), go, look
        self._picked = 0
        self._begins: list[int] = []
        self._notes: tuple[tuple[str, str], ...] = ()

    def show_notes(self, notes: Sequence[tuple[str, str]]) -> None:
        """Show below the reasons what stops nothing and should be known, each with what clears it."""
        self._notes = tuple(notes)
        if self.is_mounted and notes:
            self._draw()

    def compose(self) -> ComposeResult:
        """One page of lines."""
        yield Lines(self._look, id="stops")

    def on_mount(self) -> None:
        self._draw()

    def on_resize(self) -> None:
        self._draw()

    def _draw(self) -> None:
        pen, width = Pen(self._look()), max(20, self.app.size.width - 3)
        hint = "   up and down, enter goes there, esc leaves"
        shown: list[Text] = [pen.line((stop_words(self._stops), "strong"), (hint, "quiet")), pen.line("")]
        self._begins = []
        for number, stop in enumerate(self._stops):
            self._begins.append(len(shown))
            is_here = number == self._picked
            head = f"{'>' if is_here else ' '}{number + 1:>3}. "
            shown += pen.fold(stop.reason, width, "picked" if is_here else "text", (head, "strong"))
            shown += pen.fold(f"clears: {stop.clears}", width, "quiet", ("     ", "text"))
        for words, clears in self._notes:
            shown += pen.fold(f"{words}; it stops nothing", width, "text", ("note ", "strong"))
            shown += pen.fold(f"clears: {clears}", width, "quiet", ("     ", "text"))
        self.query_one(Lines).show_lines(shown)

    def _move(self, by: int) -> None:
        self._picked = max(0, min(self._picked + by, len(self._stops) - 1))
        self._draw()
        lines = self.query_one(Lines)
        if self._begins:
            below = self._begins[self._picked] + 4 - lines.size.height
            above = max(0, self._begins[self._picked] - 2)
            top = min(max(lines.scroll_offset.y, below), above)
            lines.scroll_to(y=max(0, top), animate=False)

    def on_key(self, event: events.Key) -> None:
        event.stop()
        moves = {"up": -1, "down": 1, "pageup": -5, "pagedown": 5, "space": 5}
        if event.key in moves:
            self._move(moves[event.key])
        elif event.key == "enter" and self._stops:
            self.dismiss(None)
            self._go(self._stops[self._picked])
        elif event.key in ("escape", "q", "enter"):
            self.dismiss(None)
