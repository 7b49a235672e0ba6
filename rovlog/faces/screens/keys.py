"""Keys: one table says which key does what, in which words; it is shown, obeyed and clicked."""

from __future__ import annotations

from collections.abc import Sequence

from rich.cells import cell_len
from rich.text import Text
from textual import events
from textual.message import Message

from rovlog.faces.screens.drawing import Pen
from rovlog.faces.screens.text_rows import TextRows
from rovlog.values import dataclass

DOUBLE_PRESS_S = 0.150
"""Two presses of one key within this time count once (wet fingers, worn keys)."""

MOST_SHOWN = 8
"""So many keys are shown at once; the rest stand on the page of keys."""

FREE_TO_REPEAT = frozenset({"up", "down", "left", "right", "pageup", "pagedown", "backspace", "delete", "tab",
                            "shift+tab", "home", "end"})  # fmt: skip
"""Keys that may repeat: they only move, or take back what was typed."""


NUMBER_KEYS = frozenset({*"0123456789", "comma", "full_stop", "minus", "plus"})


@dataclass(frozen=True, slots=True)
class Key:
    """One key. `keys` as the terminal library names them, `label` as people say it; `deed` names a method.

    A key that is not `is_shown` stands on the page of keys alone.
    """

    keys: tuple[str, ...]
    label: str
    words: str
    deed: str
    is_shown: bool = True


def key(names: str, words: str, deed: str, label: str = "", is_shown: bool = True) -> Key:
    """A key from its names ("f,F")."""
    found = tuple(n.strip() for n in names.split(","))
    return Key(found, label or found[0], words, deed, is_shown)


class DoublePress:
    """Tells a bounced key from a second press."""

    def __init__(self) -> None:
        self._last: tuple[str, float, bool] = ("", -1.0, False)
        self._is_closed = False
        self._hears_from_s = -1.0
        self._enter_from_s = -1.0

    def forget(self) -> None:
        """The next press is a press of its own."""
        self._last = ("", -1.0, False)
        self._enter_from_s = -1.0

    def close(self) -> None:
        """Something is being kept: what is typed until the next thing is drawn was typed unread."""
        self._is_closed = True

    @property
    def is_closed(self) -> bool:
        """True from `close` to `open`."""
        return self._is_closed

    def open(self, at_s: float, enter_rest_s: float = 0.0) -> None:
        """The next thing is drawn; enter counts only `enter_rest_s` later."""
        self._is_closed = False
        self._hears_from_s = at_s
        self._enter_from_s = at_s + enter_rest_s if enter_rest_s else -1.0

    def is_unread(self, name: str, at_s: float) -> bool:
        """True for a key that was pressed before what it would answer was drawn."""
        if self._is_closed or at_s < self._hears_from_s:
            return True
        return name == "enter" and at_s < self._enter_from_s

    def is_bounce(self, name: str, at_s: float, is_typing: bool = False) -> bool:
        """True where this key came within DOUBLE_PRESS_S of the same key. `at_s` never runs back.

        A digit typed twice into one field is no bounce (11 is typed fast on a keypad); a digit that
        chose an answer and comes again is.
        """
        if name in FREE_TO_REPEAT:
            return False
        is_digit = is_typing and name in NUMBER_KEYS
        last, when, was_digit = self._last
        self._last = (name, at_s, is_digit)
        if is_digit and was_digit:
            return False
        return name == last and 0 <= at_s - when < DOUBLE_PRESS_S


class KeysLine(TextRows):
    """The last line: the keys of the moment in words, each to be clicked as well."""

    DEFAULT_CSS = "KeysLine { height: 1; }"

    class Clicked(Message):
        """A key was clicked."""

        def __init__(self, deed: str) -> None:
            super().__init__()
            self.deed = deed

    def __init__(self, id: str | None = None) -> None:
        super().__init__(id=id)
        self._keys: tuple[Key, ...] = ()

    def show(self, keys: Sequence[Key]) -> None:
        """Show these keys, the first ones where not all fit."""
        if tuple(keys) != self._keys:
            self._keys = tuple(keys)
            self.draw()

    def rows(self, width: int, pen: Pen) -> tuple[Text]:
        """The line for the width there is."""
        return (keys_text(self._keys, width, pen),)

    def on_click(self, event: events.Click) -> None:
        column = 0
        for k in fitting(self._keys, self.size.width):
            column += cell_len(shown(k)) + 2
            if event.x < column:
                self.post_message(self.Clicked(k.deed))
                return


def shown(k: Key) -> str:
    """A key as it is shown."""
    return f"{k.label} {k.words}"


def fitting(keys: Sequence[Key], width: int) -> list[Key]:
    """The keys that are shown in this width: at most eight; the last two always stay."""
    found = [k for k in keys if k.is_shown]
    rows = [*found[:-2][: MOST_SHOWN - 2], *found[-2:]]
    while len(rows) > 2 and sum(cell_len(shown(k)) + 2 for k in rows) - 2 > width:
        rows.pop(-3)
    return rows


def keys_text(keys: Sequence[Key], width: int, pen: Pen) -> Text:
    """The line of keys."""
    text = Text(no_wrap=True, end="")
    for k in fitting(keys, width):
        text.append_text(pen.line((k.label, "key"), (f" {k.words}", "key-word"), "  "))
    text.truncate(width)
    return text
