"""One item large: caution, challenge, response, answer and limit, state, why; complete at 38 columns."""

from __future__ import annotations

from rich.text import Text

from rovlog.faces.reports.check_text import MARKS, STOP_WORDS, WITNESS_WORDS, marks_words, validity_words
from rovlog.faces.screens.drawing import Pen
from rovlog.faces.screens.item_fields import field_lines
from rovlog.faces.screens.item_small import small_page
from rovlog.faces.screens.item_view import (
    ROOMY,
    ItemView,
    answer_lines,
    reason_lines,
    row,
    told_lines,
    whose_turn,
)

__all__ = ["ItemView", "item_page"]

CAUTION_LINES = 3
"""Lines kept for the caution, so that the challenge stands in one line from item to item."""

SAY_LINES = 2
"""Lines kept for the response and the second person, so that the answer stands in one line too."""

TALL = 14
"""Lines from which a blank one stands before the answer."""


def item_page(view: ItemView, width: int, height: int, pen: Pen) -> list[Text]:
    """The lines of an item, for this many columns and about this many lines."""
    if width < ROOMY:
        return small_page(view, width, height, pen)
    item = view.item
    lines = [_crumb(view, width, pen), *_caution(view, width, height, pen)]
    answer_at = len(lines) + 1 + SAY_LINES
    lines += _challenge(view, width, pen)
    lines += row("say", item.response, width, "strong", pen)
    lines += _second(view, width, pen)
    lines += [Text("")] * (answer_at - len(lines))
    if height >= TALL:
        lines.append(Text(""))
    if view.timers:
        lines += row("timers", "; ".join(view.timers), width, "strong", pen)
    lines += _answer(view, width, pen)
    lines += reason_lines(view, width, pen)
    lines += told_lines(view, width, pen)
    lines += answer_lines(view, width, pen)
    why = "; ".join(w for w in (item.why, STOP_WORDS[item.stops]) if w)
    is_one = len(row("why", why, width, "quiet", pen)) == len(row("why", item.why, width, "quiet", pen))
    lines += row("why", why if is_one else item.why, width, "quiet", pen)
    needed = len(lines)
    if not is_one:
        lines += row("dive", STOP_WORDS[item.stops], width, "quiet", pen)
    if item.touch:
        lines += row("touch", item.touch, width, "quiet", pen)
    good_for = "; ".join(w for w in (validity_words(item), marks_words(item)) if w)
    lines += row("good for", good_for, width, "quiet", pen)
    if item.source:
        lines += row("source", item.source, width, "quiet", pen)
    return _without_gaps(lines, needed, height)


def _without_gaps(lines: list[Text], needed: int, height: int) -> list[Text]:
    """Lines kept free are given up where what is needed would not be in sight, the last first."""
    kept = list(lines)
    over = needed - height + (len(lines) > needed)
    for place in range(needed - 1, -1, -1):
        if over <= 0:
            break
        if not kept[place].plain:
            del kept[place]
            over -= 1
    return kept


def _crumb(view: ItemView, width: int, pen: Pen) -> Text:
    step = view.step
    section = f"{step.section.code} {step.section.title}".strip()
    total = sum(1 for _ in step.checklist.items())
    right = pen.line((f" {step.place} of {len(step.section.items)}, list {step.number} of {total}", "quiet"))
    line = pen.line((f"{step.checklist.title} / ", "quiet"), (section, "strong"))
    if line.cell_len + right.cell_len > width:
        line = pen.line((section, "strong"))
    return pen.beside(line, right, width)


def _caution(view: ItemView, width: int, height: int, pen: Pen) -> list[Text]:
    """The caution before the step; where there is room its place is kept also without one."""
    item = view.item
    lines: list[Text] = []
    if item.caution is not None:
        word = pen.line((f" {item.caution.word.upper()} ", item.caution.word))
        lines = pen.flow([word, (item.caution.text, "strong")], width, 2)
    if height >= 12:
        lines += [Text("")] * (CAUTION_LINES - len(lines))
    return lines


def _challenge(view: ItemView, width: int, pen: Pen) -> list[Text]:
    """The challenge, with the item's state at the right end of its first line."""
    item, state = view.item, view.of_item
    said = pen.line((f" {MARKS[state.state]} {state.state.replace('-', ' ')} ", state.state))
    code = f"{item.code}  " if item.code else ""
    rows = pen.fold(f"{code}{item.challenge}", width - said.cell_len, "challenge")
    return [pen.beside(rows[0], said, width), *rows[1:]]


def _answer(view: ItemView, width: int, pen: Pen) -> list[Text]:
    """What is to be pressed or typed."""
    item = view.item
    if view.held:
        return row("waits", f"cannot be answered yet: {view.held}", width, "stop", pen)
    if item.kind == "release":
        return row("release", "press enter to release in a named person's name", width, "text", pen)
    if not item.asks:
        words = "press enter: as stated" if not view.is_second else "press enter: seen as well, as stated"
        return row("answer", words, width, "text", pen)
    return field_lines(view, width, pen)


def _second(view: ItemView, width: int, pen: Pen) -> list[Text]:
    """Whether a second person is asked, and whose turn it is: it stands before what is typed."""
    if view.item.witness == "none" or view.held:
        return []
    words, style = whose_turn(view) or (WITNESS_WORDS[view.item.witness], "quiet")
    return row("second", words, width, style, pen)
