"""The page of keys: every key of the moment in words."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from textual import events
from textual.app import ComposeResult
from textual.screen import ModalScreen

from rovlog.faces.screens.drawing import Pen
from rovlog.faces.screens.keys import Key
from rovlog.faces.screens.lines import Lines
from rovlog.faces.screens.looks import Look


class KeysPage(ModalScreen[None]):
    """All keys; any key that does not scroll leaves it."""

    DEFAULT_CSS = """
    KeysPage { background: $ground; }
    KeysPage Lines { width: 100%; height: 100%; padding: 0 1; background: $ground; }
    """

    def __init__(self, groups: Sequence[tuple[str, Sequence[Key]]], look: Callable[[], Look]) -> None:
        super().__init__()
        self._groups, self._look = tuple(groups), look

    def compose(self) -> ComposeResult:
        """One page of lines."""
        yield Lines(self._look, id="all-keys")

    def on_mount(self) -> None:
        pen = Pen(self._look())
        lines = []
        for title, keys in self._groups:
            lines.append(pen.line((title, "strong")))
            lines += [pen.line("  ", (f" {k.label} ", "key"), f"  {k.words}") for k in keys]
            lines.append(pen.line(""))
        lines.append(pen.line(("page up and page down scroll, any other key leaves", "quiet")))
        page = self.query_one(Lines)
        page.more = " more: page down "
        page.show_lines(lines)

    def on_key(self, event: events.Key) -> None:
        event.stop()
        lines = self.query_one(Lines)
        if event.key in ("pagedown", "down", "space"):
            lines.turn_page(1)
        elif event.key in ("pageup", "up"):
            lines.turn_page(-1)
        else:
            self.dismiss(None)
