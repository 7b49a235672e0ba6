"""A widget of a few rows of text that is drawn row by row."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from rich.text import Text
from textual.strip import Strip
from textual.widget import Widget

from rovlog.faces.screens.drawing import Pen

if TYPE_CHECKING:
    from rovlog.faces.screens.looks import Look


class TextRows(Widget):
    """Rows of text from `rows`, made once for each `draw`, width and look.

    A widget with `render` goes through the whole of rich's console for each of its pictures; these few
    rows are in every picture that an answer makes.
    """

    def __init__(self, id: str | None = None) -> None:
        super().__init__(id=id)
        self._strips: tuple[Strip, ...] = ()
        self._for: tuple[int, str] = (0, "")

    @property
    def look(self) -> Look:
        """The look in force."""
        found: Look = self.app.look  # type: ignore[attr-defined]
        return found

    def rows(self, width: int, pen: Pen) -> Sequence[Text]:
        """The rows for this width."""
        raise NotImplementedError

    def draw(self) -> None:
        """Draw anew."""
        self._for = (0, "")
        self.refresh()

    def render_line(self, y: int) -> Strip:
        """One row."""
        width, look = self.size.width, self.look
        base = look.style("text")
        if self._for != (width, look.name):
            console = self.app.console
            self._strips = tuple(
                Strip(list(row.render(console))).adjust_cell_length(width, base)
                for row in self.rows(width, Pen(look))
            )
            self._for = (width, look.name)
        return self._strips[y] if y < len(self._strips) else Strip.blank(width, base)
