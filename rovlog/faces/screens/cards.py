"""The emergency cards: one key away from anywhere, no ticking, no question on leaving."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from rich.text import Text
from textual import events, on
from textual.app import ComposeResult
from textual.screen import ModalScreen

from rovlog.domain.checks.checklist import Item
from rovlog.faces.screens.drawing import Pen
from rovlog.faces.screens.lines import Lines
from rovlog.faces.screens.looks import Look


class Cards(ModalScreen[None]):
    """The list of cards, then one card. `opened` is told each card that was looked at."""

    DEFAULT_CSS = """
    Cards { background: $ground; }
    Cards Lines { width: 100%; height: 100%; padding: 0 1; background: $ground; }
    """

    def __init__(
        self, cards: Sequence[Item], look: Callable[[], Look], opened: Callable[[Item], None]
    ) -> None:
        super().__init__()
        self._cards, self._look, self._opened = tuple(cards), look, opened
        self._card: Item | None = None

    def compose(self) -> ComposeResult:
        """One page of lines."""
        yield Lines(self._look, can_pick=True, id="cards")

    def on_mount(self) -> None:
        self.show_list()

    def on_resize(self) -> None:
        if self._card is not None:
            self._show_card(self._card)

    def show_list(self) -> None:
        """All cards by number, whatever was shown."""
        self._card = None
        lines = self.query_one(Lines)
        lines.scroll_to(y=0, animate=False)
        lines.show_rows(len(self._cards) + 2, self._row, 1)

    def _row(self, index: int, width: int, picked: bool) -> Text:
        pen = Pen(self._look())
        if index == 0:
            words = " EMERGENCY   number or enter opens a card, esc leaves"
            short = " EMERGENCY  number opens, esc leaves"
            return pen.band(words if width >= len(words) else short, width, "danger")
        if index > len(self._cards):
            return pen.line(("", "text"))
        words = f" {index}  {self._cards[index - 1].challenge}"
        return pen.band(words, width, "picked") if picked else pen.line((words, "strong"))

    def _show_card(self, card: Item) -> None:
        self._card = card
        lines = self.query_one(Lines)
        width, height = max(20, self.app.size.width - 2), self.app.size.height
        lines.scroll_to(y=0, animate=False)
        shown = card_lines(card, width, height, Pen(self._look()))
        lines.picked = len(shown)
        lines.show_rows(len(shown), lambda index, w, picked: shown[index], None)

    def open_card(self, number: int) -> None:
        """Open the card of this number, counted from 1."""
        if 1 <= number <= len(self._cards):
            card = self._cards[number - 1]
            self._opened(card)
            self._show_card(card)

    def on_key(self, event: events.Key) -> None:
        event.stop()
        lines = self.query_one(Lines)
        if event.key == "escape" or (event.key == "q" and self._card is None):
            self.dismiss(None)
        elif event.key == "q":
            self.show_list()
        elif event.character and event.character.isdigit():
            self.open_card(int(event.character))
        elif self._card is None and event.key in ("up", "down"):
            lines.pick(max(1, min(len(self._cards), lines.picked + (1 if event.key == "down" else -1))))
        elif self._card is None and event.key == "enter":
            self.open_card(lines.picked)

    @on(Lines.Picked)
    def clicked(self, message: Lines.Picked) -> None:
        """A click opens a card; a click on an open card goes back to the list."""
        message.stop()
        if self._card is None:
            self.open_card(message.index)
        else:
            self.show_list()


def card_lines(card: Item, width: int, height: int, pen: Pen) -> list[Text]:
    """One card: its name, the caution, the actions numbered, first action first; all of it fits a screen."""
    head = f"{card.code}  {card.challenge}".strip()
    lines = [pen.band(f" {row}", width, "danger") for row in _folded(head, width - 2)]
    actions: list[list[Text]] = []
    for number, action in enumerate(card.actions, start=1):
        actions.append(pen.fold(action, width, "challenge", (f" {number}  ", "strong")))
    caution = (
        pen.fold(card.caution.text, width, "strong", (f" {card.caution.word.upper()}: ", card.caution.word))
        if card.caution
        else []
    )
    words = "esc leaves, nothing to tick   F2 all cards"
    foot = pen.line((words if width >= len(words) else "esc leaves   F2 all cards", "quiet"))
    used = len(lines) + sum(map(len, actions)) + len(caution) + 1
    gap = 1 if used + len(actions) + 1 <= height else 0
    for rows in actions:
        lines += [pen.line("")] * gap + rows
    lines += [pen.line("")] * gap + caution
    lines += [pen.line("")] * max(0, height - len(lines) - 1)
    return [*lines, foot]


def _folded(text: str, width: int) -> list[str]:
    from rovlog.faces.reports.plain import clean
    from rovlog.faces.screens.drawing import fold_words

    return fold_words(clean(text), width)
