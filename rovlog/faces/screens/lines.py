"""A widget of lines that draws only those that are seen: for short pages and for very long lists."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from rich.text import Text
from textual import events
from textual.geometry import Size
from textual.message import Message
from textual.scroll_view import ScrollView
from textual.strip import Strip

from rovlog.faces.screens.looks import Look

LineAt = Callable[[int, int, bool], Text]
"""The line at an index, for a width in cells, picked or not."""


class Lines(ScrollView, can_focus=False):
    """Lines of text from a function, with a picked one where `can_pick`; the mouse picks and scrolls."""

    DEFAULT_CSS = """
    Lines { height: 1fr; scrollbar-size-vertical: 1; overflow-x: hidden; }
    """

    class Picked(Message):
        """A line was picked with the mouse."""

        def __init__(self, lines: Lines, index: int) -> None:
            super().__init__()
            self.lines, self.index = lines, index

        @property
        def control(self) -> Lines:
            """The widget it came from."""
            return self.lines

    class Deed(Message):
        """Words that do something were clicked."""

        def __init__(self, deed: str) -> None:
            super().__init__()
            self.deed = deed

    def __init__(self, look: Callable[[], Look], *, can_pick: bool = False, id: str | None = None) -> None:
        super().__init__(id=id)
        self._look = look
        self._can_pick = can_pick
        self._count = 0
        self._line_at: LineAt = lambda index, width, picked: Text()
        self.picked = 0
        self.more = ""
        """Words over the end of the last line while there are lines below it."""
        self.margin = 0
        """Lines kept in sight around the picked one."""

    @property
    def count(self) -> int:
        """How many lines there are."""
        return self._count

    def show_lines(self, lines: Sequence[Text]) -> None:
        """Show these lines; the place on the page is kept where it still exists."""
        kept = tuple(lines)
        self.show_rows(len(kept), lambda index, width, picked: kept[index])

    def show_rows(self, count: int, line_at: LineAt, picked: int | None = None) -> None:
        """Show `count` lines, each asked for when it is seen."""
        self._count, self._line_at = count, line_at
        is_laid_out = self._take_size(Size(self.container_size.width, count))
        if picked is not None:
            self.pick(picked)
            if not is_laid_out:
                self.call_after_refresh(self._bring_into_sight)
        else:
            self.picked = max(0, min(self.picked, count - 1))
        self.refresh()

    def _take_size(self, size: Size) -> bool:
        """Take another size of the page; True where nothing has to be laid out anew for it.

        Setting `virtual_size` lays the whole screen out, which costs more than all else that an answer
        draws. Only a bar of scrolling that comes or goes, and a height that follows the lines, need that.
        """
        room = self.container_size.height
        if size == self.virtual_size:
            return True
        has_bar = self.styles.overflow_y == "scroll"
        is_moved = not has_bar and (size.height > room) != (self.virtual_size.height > room)
        if not room or self.styles.is_auto_height or is_moved:
            self.virtual_size = size
            return False
        self.set_reactive(ScrollView.virtual_size, size)
        if self.show_vertical_scrollbar and self.styles.scrollbar_size_vertical:
            self.vertical_scrollbar.window_virtual_size = size.height
        self.scroll_y = min(self.scroll_y, self.max_scroll_y)
        return True

    def pick(self, index: int) -> None:
        """Pick a line and bring it into sight."""
        self.picked = max(0, min(index, self._count - 1))
        self._bring_into_sight()
        self.refresh()

    def move(self, by: int) -> bool:
        """Pick another line; False where there is none that way."""
        before = self.picked
        self.pick(self.picked + by)
        return self.picked != before

    def turn_page(self, by: int) -> None:
        """Turn the page up or down; the picked line moves along."""
        step = max(1, self.size.height - 1) * by
        if self._can_pick:
            self.pick(self.picked + step)
        else:
            self.scroll_to(y=max(0, self.scroll_offset.y + step), animate=False)

    @property
    def is_cut(self) -> bool:
        """True while not all lines fit."""
        return self._count > self.size.height > 0

    def _bring_into_sight(self) -> None:
        height = self.size.height
        if height <= 0:
            # Not laid out, or not shown: `on_resize` does it. To ask again after each refresh would spin.
            return
        top = self.scroll_offset.y
        first, last = max(0, self.picked - self.margin), min(self._count - 1, self.picked + self.margin)
        if first < top:
            self.scroll_to(y=first, animate=False)
        elif last >= top + height:
            self.scroll_to(y=last - height + 1, animate=False)

    def on_resize(self, event: events.Resize) -> None:
        self.virtual_size = Size(event.size.width, self._count)
        if self._can_pick:
            self._bring_into_sight()

    def render_line(self, y: int) -> Strip:
        """One line of the screen."""
        look = self._look()
        width = self.scrollable_content_region.width
        index = y + self.scroll_offset.y
        base = look.style("text")
        if not 0 <= index < self._count:
            return Strip.blank(width, base)
        text = self._line_at(index, width, self._can_pick and index == self.picked)
        is_last = self.more and y == self.size.height - 1 and index < self._count - 1
        if is_last:
            text = self._with_more(text, width, look)
        segments = list(text.render(self.app.console))
        return Strip(segments).adjust_cell_length(width, base)

    def _with_more(self, text: Text, width: int, look: Look) -> Text:
        line = text.copy()
        line.truncate(max(0, width - len(self.more)), pad=True)
        line.stylize_before(look.style("text"))
        return line.append(self.more, look.style("key"))

    def on_click(self, event: events.Click) -> None:
        deed = event.style.meta.get("deed")
        if deed:
            event.stop()
            self.post_message(self.Deed(str(deed)))
            return
        index = event.y + self.scroll_offset.y
        if self._can_pick and 0 <= index < self._count:
            event.stop()
            self.pick(index)
            self.post_message(self.Picked(self, index))
