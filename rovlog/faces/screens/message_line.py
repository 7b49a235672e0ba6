"""The message line: what was kept, or what did not work, above the line of keys."""

from __future__ import annotations

from collections.abc import Sequence

from rich.text import Text

from rovlog.faces.screens.drawing import Pen
from rovlog.faces.screens.place import NARROW
from rovlog.faces.screens.text_rows import TextRows

MOST_LINES = 6


class MessageLine(TextRows):
    """Lines that are said, drawn in place: only another number of lines lays the screen out anew.

    Where a line is kept free for it, it stands there also while nothing is said, so that saying
    something, and saying nothing again, repaints that one line and moves nothing. On a narrow screen
    no line is kept free, and it lies over the last line of the place while something is said.
    """

    DEFAULT_CSS = f"""
    MessageLine {{ layer: above; dock: bottom; height: 1; max-height: {MOST_LINES}; margin-bottom: 1;
        background: $ground; color: $ink; }}
    """

    def __init__(self, id: str | None = None) -> None:
        super().__init__(id=id)
        self._lines: tuple[Text, ...] = ()
        self._height = 1
        self.display = False

    @property
    def words(self) -> str:
        """What is said, as one line; "" where nothing is."""
        return " ".join(" ".join(line.plain for line in self._lines).split())

    def say(self, lines: Sequence[Text]) -> None:
        """Say this; nothing where there are no lines."""
        if not lines and not self._lines:
            return
        self._lines = tuple(lines[:MOST_LINES])
        height = max(1, len(self._lines))
        if height != self._height:
            self._height = height
            self.styles.height = height
        self.keep_place()
        self.draw()

    def keep_place(self) -> None:
        """Stand in the line that is kept free, where the screen is wide enough for one."""
        is_shown = bool(self._lines) or self.app.size.width >= NARROW
        if is_shown != self.display:
            self.display = is_shown

    def rows(self, width: int, pen: Pen) -> Sequence[Text]:
        """The lines."""
        return self._lines
