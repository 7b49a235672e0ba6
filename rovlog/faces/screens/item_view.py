"""What the page of an item is drawn from, and what its large and its small form have in common."""

from __future__ import annotations

from collections.abc import Callable

from rich.text import Text

from rovlog.domain.checks.checklist import Item
from rovlog.domain.checks.state import ItemState
from rovlog.faces.reports.check_text import answer_words, carried_words, judged_words, people_words
from rovlog.faces.reports.plain import clean
from rovlog.faces.screens.drawing import Pen
from rovlog.faces.screens.fields import Fields
from rovlog.faces.screens.walk import Step
from rovlog.usecases.dive_state import DiveState
from rovlog.usecases.read_out import read_out
from rovlog.values import dataclass

ROOMY = 60
"""Columns from which on labels stand before their lines; below it the page takes its small form."""

BARE_FAILURE = "answered as failed"
"""The fold's words where nobody said why; where a limit does not hold that says it."""

UNSEEN = ("open", "expired")
"""States in which a blind item does not show what was answered the last time."""


@dataclass(frozen=True, slots=True)
class ItemView:
    """What is shown of an item: the step, its fields as typed, who answers, whether as the second person."""

    state: DiveState
    step: Step
    fields: Fields
    by: str
    role: str
    is_second: bool
    held: str | None
    timers: tuple[str, ...] = ()
    is_named: bool = True
    names: Callable[[str], str] = str

    @property
    def item(self) -> Item:
        """The item in hand."""
        assert self.step.item is not None
        return self.step.item

    @property
    def of_item(self) -> ItemState:
        """Its state."""
        return self.state.items[self.item.item]

    @property
    def is_blind_second(self) -> bool:
        """True where the second person must find the value, not read it off the page."""
        return self.is_second and self.item.witness == "blind"


def row(word: str, words: str, width: int, style: str, pen: Pen) -> list[Text]:
    """A line with its label: set apart where there is room, run in where there is not."""
    if width >= ROOMY:
        return pen.fold(words, width, style, (f"  {word:<9}", "label"))
    return pen.fold(words, width, style, (f"{word} ", "label"), 1)


def whose_turn(view: ItemView) -> tuple[str, str] | None:
    """Words and style for the second person's turn; None while it is the first one's."""
    if not view.is_second or view.held or view.item.witness == "none":
        return None
    blind = ", without seeing the first answer" if view.item.witness == "blind" else ""
    if not view.is_named:
        return f"who answers next? s asks{blind and ': blind'}", "caution"
    return f"now {view.names(view.by)} answers{blind}", "caution"


def reason_lines(view: ItemView, width: int, pen: Pen) -> list[Text]:
    """Why the item is in the state it is in; none where the state says it all."""
    state = view.of_item
    broken = any(j.passed is False for j in state.limits)
    reason = "" if state.reason == BARE_FAILURE and broken else state.reason
    if state.waits_for_second and view.is_second:
        reason = ""  # whose turn it is stands beside the field
    more = [clean(r) for r in (reason, state.void_reason) if r]
    if state.until:
        more.append(f"until {clean(state.until)}" + (", past due" if state.is_past_due else ""))
    word = "not" if state.state == "not-applicable" else state.state
    return row(word, "; ".join(more), width, state.state, pen) if more else []


def told_lines(view: ItemView, width: int, pen: Pen) -> list[Text]:
    """What is to be done about an item that failed, and what the program names to be read out."""
    lines = row("now", now_words(view), width, "strong", pen) if view.of_item.state == "failed" else []
    for line in read_out(view.state, view.item):
        lines += row("read out", clean(line), width, "text", pen)
    return lines


def now_words(view: ItemView) -> str:
    """What can be done about a failed answer, by the keys that do it."""
    if "two answers differ" in view.of_item.reason:
        again = "both look and answer again"
    else:
        again = "mend it and answer again (u corrects a slip)"
    waiver = {"always": "; no waiver", "unless-waived": ", or w: a waiver"}
    return again + waiver.get(view.item.stops, "; it stops nothing")


def answer_lines(view: ItemView, width: int, pen: Pen) -> list[Text]:
    """What was answered, whence, and how it was judged; of a blind item only once both have answered."""
    item, state = view.item, view.of_item
    lines: list[Text] = []
    is_hidden = item.witness == "blind" and (state.state in UNSEEN or view.is_second)
    answer = answer_words(item, state)
    if answer and not is_hidden:
        at = state.at[11:16]
        whose = "" if state.waits_for_second else f", {clean(people_words(state, view.names))} {at}"
        style = "old" if state.carried_from or state.state == "expired" else "text"
        lines += row("was", f"{answer}{whose}", width, style, pen)
    if state.carried_from:
        lines += row("from", carried_words(state), width, "old", pen)
    if not state.waits_for_second and not (item.witness == "blind" and state.state in UNSEEN):
        for judged in state.limits:
            lines += row("judged", judged_words(judged), width, "text" if judged.passed else "failed", pen)
    return lines
