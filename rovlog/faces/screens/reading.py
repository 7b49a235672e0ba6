"""A page to read: a report's own text, scrolled, left with any other key."""

from __future__ import annotations

from collections.abc import Callable

from textual import events
from textual.app import ComposeResult
from textual.screen import ModalScreen

from rovlog.faces.screens.drawing import Pen
from rovlog.faces.screens.lines import Lines
from rovlog.faces.screens.looks import Look


class Reading(ModalScreen[None]):
    """Text of a report on the whole screen."""

    DEFAULT_CSS = """
    Reading { background: $ground; }
    Reading Lines { width: 100%; height: 100%; padding: 0 1; background: $ground; }
    """

    def __init__(self, title: str, text: str, look: Callable[[], Look]) -> None:
        super().__init__()
        self._title, self._text, self._look = title, text, look

    def compose(self) -> ComposeResult:
        """One page of lines."""
        yield Lines(self._look, id="reading")

    def on_mount(self) -> None:
        self._draw()

    def on_resize(self) -> None:
        self._draw()

    def _draw(self) -> None:
        pen = Pen(self._look())
        width = max(20, self.app.size.width - 3)
        lines = [
            pen.line((self._title, "strong"), ("   page down and up scroll, esc leaves", "quiet")),
            pen.line(""),
        ]
        lines += pen.report(self._text, width)
        page = self.query_one(Lines)
        page.more = " more: page down "
        page.show_lines(lines)

    def on_key(self, event: events.Key) -> None:
        event.stop()
        lines = self.query_one(Lines)
        if event.key in ("pagedown", "space"):
            lines.turn_page(1)
        elif event.key == "pageup":
            lines.turn_page(-1)
        elif event.key in ("up", "down"):
            lines.scroll_to(
                y=max(0, lines.scroll_offset.y + (1 if event.key == "down" else -1)), animate=False
            )
        elif event.key in ("escape", "q", "enter"):
            self.dismiss(None)
