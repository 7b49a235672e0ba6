"""One item on a small page (38 columns, nine lines, the font doubled): what the step needs comes first.

Caution, challenge, response, field, limit and why run on without gaps, so that they stand on one page for
most items. What is not needed for the step (second person, state in full, touch, validity, source) is one
page down.
"""

from __future__ import annotations

from rich.text import Text

from rovlog.faces.reports.check_text import MARKS, STOP_WORDS, WITNESS_WORDS, marks_words, validity_words
from rovlog.faces.reports.plain import clean
from rovlog.faces.screens.drawing import Part, Pen
from rovlog.faces.screens.item_fields import (
    choice_lines,
    field_box,
    is_choice,
    limit_of,
    proposed,
)
from rovlog.faces.screens.item_view import ItemView, answer_lines, reason_lines, row, told_lines, whose_turn
from rovlog.faces.screens.timer_words import STARTS

SMALL_FIELD = 7

MORE = 17
"""Columns at the end of the last line that say that there is more below."""

TIGHTEST = 4
"""How tightly a page may be set: 1 leaves out that enter keeps (the line of keys says it), 2 sets every line
from the edge, 3 runs response and why together, 4 leaves the name off an only field."""

PAGED = 2
"""How tightly a page is set that is too long all the same."""


def small_page(view: ItemView, width: int, height: int, pen: Pen) -> list[Text]:
    """The lines of an item: the step, as tightly as it has to be for this many lines, then the rest."""
    rest = _rest(view, width, pen)
    step: list[Text] = []
    for tight in range(TIGHTEST + 1):
        step = _step(view, width, tight, pen)
        is_last_free = len(step) == height and step[-1].cell_len <= width - MORE
        if len(step) < height or is_last_free:
            return [*step, *rest]
    return [*_step(view, width, PAGED, pen), *rest]


def _step(view: ItemView, width: int, tight: int, pen: Pen) -> list[Text]:
    """What is needed to do the step and to answer it."""
    item, hang = view.item, 0 if tight >= 2 else 1
    why: list[Part] = [("why", "label"), (item.why, "quiet")] if item.why else []
    say: list[Part] = [("say", "label"), (item.response, "strong")]
    lines = _caution(view, width, hang, pen)
    lines += _challenge(view, width, hang, pen)
    lines += pen.flow([*say, *(why if tight >= 3 else [])], width, hang)
    lines += reason_lines(view, width, pen)
    lines += told_lines(view, width, pen)
    lines += _timers(view, True, width, pen)
    turn = whose_turn(view)
    if turn is not None:
        lines += pen.fold(turn[0], width, turn[1], hang=hang)
    lines += _answer(view, width, hang, tight, pen)
    if view.of_item.state == "failed":
        lines += answer_lines(view, width, pen)
    return lines if tight >= 3 else [*lines, *pen.flow(why, width, hang)]


def _rest(view: ItemView, width: int, pen: Pen) -> list[Text]:
    """What may be one page down."""
    item = view.item
    lines: list[Text] = []
    if view.of_item.state != "failed":
        lines += answer_lines(view, width, pen)
    if whose_turn(view) is None and not view.held and WITNESS_WORDS[item.witness]:
        lines += row("second", WITNESS_WORDS[item.witness], width, "quiet", pen)
    lines += _timers(view, False, width, pen)
    lines += row("dive", STOP_WORDS[item.stops], width, "quiet", pen)
    if item.touch:
        lines += row("touch", item.touch, width, "quiet", pen)
    if item.marks:
        lines += row("mark", marks_words(item), width, "quiet", pen)
    lines += row("good for", validity_words(item), width, "quiet", pen)
    if item.source:
        lines += row("source", item.source, width, "quiet", pen)
    return lines


def _timers(view: ItemView, is_begun: bool, width: int, pen: Pen) -> list[Text]:
    """The timers that were begun, or those that were not."""
    words = [each for each in view.timers if each.endswith(STARTS) != is_begun]
    return row("timers", "; ".join(words), width, "strong", pen) if words else []


def _caution(view: ItemView, width: int, hang: int, pen: Pen) -> list[Text]:
    caution = view.item.caution
    if caution is None:
        return []
    word = pen.line((f" {caution.word.upper()} ", caution.word))
    return pen.flow([word, (caution.text, "strong")], width, hang)


def _challenge(view: ItemView, width: int, hang: int, pen: Pen) -> list[Text]:
    """The challenge, with the item's state and its place in the group at the right end of its first line."""
    item, state = view.item, view.of_item
    place = f"{view.step.place}/{len(view.step.section.items)}"
    said = pen.line(
        (f" {MARKS[state.state]} {state.state.replace('-', ' ')} ", state.state), (place, "quiet")
    )
    code = f"{item.code} " if item.code else ""
    # A head as wide as the state keeps the words of the first line clear of it.
    rows = pen.fold(f"{code}{item.challenge}", width, "challenge", (" " * said.cell_len, "text"), hang)
    return [pen.beside(rows[0][said.cell_len :], said, width), *rows[1:]]


def _answer(view: ItemView, width: int, hang: int, tight: int, pen: Pen) -> list[Text]:
    """The field in hand with its limit; of several fields the others are a tab away."""
    item, fields = view.item, view.fields
    if view.held:
        return row("waits", view.held, width, "stop", pen)
    if item.kind == "release":
        return row("release", "press enter to release in a named person's name", width, "text", pen)
    ask = fields.ask
    if ask is None:
        words = "press enter: as stated" if not view.is_second else "press enter: seen as well"
        return row("answer", words, width, "text", pen) if tight < 1 else []
    limit = limit_of(view, ask, is_short=True)
    parts: list[Part | Text] = []
    lines: list[Text] = []
    if is_choice(ask):
        lines = choice_lines(view, ask, fields.here, width, pen)
    else:
        box = field_box(view, ask, fields.here, SMALL_FIELD if ask.type == "number" else 16, pen)
        unit = pen.line((f" {ask.unit}", "strong")) if ask.unit else pen.line("")
        first, _, others = clean(ask.words).partition(" ")
        if tight >= 4 and len(item.asks) == 1:
            parts = [pen.line(("> ", "strong")).append_text(box).append_text(unit)]
        else:
            parts = [pen.line(("> ", "strong"), (first, "label")), (others, "label"), box.append_text(unit)]
    if limit:
        parts += [("limit", "label"), (limit, "strong")]
    known = proposed(view, ask, is_short=True)
    if known and not fields.typed.get(ask.value):
        parts.append((f"{known}; enter accepts", "computed"))
    if ask.is_optional:
        parts.append(("may be left out", "quiet"))
    if len(item.asks) > 1:
        parts.append(pen.line((f"{fields.here + 1} of {len(item.asks)}, tab: next", "quiet")))
    return [*lines, *pen.flow(parts, width, hang)]
