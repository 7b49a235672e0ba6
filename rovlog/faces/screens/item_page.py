"""One item large: caution, challenge, response, answer and limit, state, why; complete at 38 columns."""

from __future__ import annotations

import re
from collections.abc import Callable

from rich.text import Text

from rovlog.domain.checks.checklist import Ask
from rovlog.domain.checks.state import ItemState
from rovlog.faces.reports.check_text import (
    MARKS,
    STOP_WORDS,
    WITNESS_WORDS,
    answer_words,
    carried_words,
    judged_words,
    limit_words,
    marks_words,
    proposal_words,
    validity_words,
)
from rovlog.faces.reports.plain import clean
from rovlog.faces.screens.drawing import Pen
from rovlog.faces.screens.fields import Fields
from rovlog.faces.screens.walk import Step
from rovlog.usecases.dive_state import DiveState
from rovlog.values import dataclass

FROM_CONFIGURATION = re.compile(r"\(the configuration: [^)]*\)")

SHORT_STOP_WORDS = {"always": "always stops the dive", "unless-waived": "stops the dive", "no": ""}

BARE_FAILURE = "answered as failed"
"""The fold's words where nobody said why; where a limit does not hold that says it."""

UNSEEN = ("open", "expired")
"""States in which a blind item does not show what was answered the last time."""

ROOMY = 60
"""Columns from which on labels stand before their lines."""

CAUTION_LINES = 3
"""Lines kept free for the caution where there is room, so that nothing below moves from item to item."""


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


def item_page(view: ItemView, width: int, height: int, pen: Pen) -> list[Text]:
    """The lines of an item, for this many columns and about this many lines."""
    item = view.step.item
    assert item is not None
    state = view.state.items[item.item]
    lines = [_crumb(view, width, pen)] if width >= ROOMY or height >= 14 else []
    lines += _caution(view, width, height, pen)
    lines += _challenge(view, state, width, pen)
    lines += _row("say", item.response, width, "strong", pen)
    if height >= 14:
        lines.append(Text(""))
    if view.timers:
        lines += _row("timers", "; ".join(view.timers), width, "strong", pen)
    if view.is_second:
        lines += _second(view, width, pen)
    lines += _answer_lines(view, state, width, pen)
    if not view.is_second:
        lines += _second(view, width, pen)
    lines += _state_lines(view, state, width, pen)
    words = STOP_WORDS if width >= ROOMY else SHORT_STOP_WORDS
    lines += _row("why", "; ".join(w for w in (item.why, words[item.stops]) if w), width, "quiet", pen)
    if item.touch:
        lines += _row("touch", item.touch, width, "quiet", pen)
    if item.marks:
        lines += _row("mark", marks_words(item), width, "quiet", pen)
    lines += _row("good for", validity_words(item), width, "quiet", pen)
    if item.source:
        lines += _row("source", item.source, width, "quiet", pen)
    return _without_gaps(lines, height)


def _without_gaps(lines: list[Text], height: int) -> list[Text]:
    """Lines kept free are given up where the page is full, the last first."""
    kept = list(lines)
    for place in range(len(kept) - 1, -1, -1):
        if len(kept) <= height:
            break
        if not kept[place].plain:
            del kept[place]
    return kept


def _row(word: str, words: str, width: int, style: str, pen: Pen) -> list[Text]:
    """A line with its label: set apart where there is room, run in where there is not."""
    if width >= ROOMY:
        return pen.fold(words, width, style, (f"  {word:<9}", "label"))
    return pen.fold(words, width, style, (f"{word} ", "label"), 1)


def _crumb(view: ItemView, width: int, pen: Pen) -> Text:
    step = view.step
    section = f"{step.section.code} {step.section.title}".strip()
    total = sum(1 for _ in step.checklist.items())
    if width >= ROOMY:
        right = pen.line(
            (f"{step.place} of {len(step.section.items)}, list {step.number} of {total}", "quiet")
        )
        return pen.beside(
            pen.line((f"{step.checklist.title} / ", "quiet"), (section, "strong")), right, width
        )
    right = pen.line((f" {step.place}/{len(step.section.items)}", "quiet"))
    return pen.beside(pen.line((section, "quiet")), right, width)


def _caution(view: ItemView, width: int, height: int, pen: Pen) -> list[Text]:
    """The caution before the step; where there is room its place is kept also without one."""
    item = view.step.item
    assert item is not None
    lines: list[Text] = []
    if item.caution is not None:
        word = item.caution.word
        lines = pen.fold(item.caution.text, width, "strong", (f" {word.upper()}  ", word), 2)
        lines = [_after_word(line, word, pen) if i == 0 else line for i, line in enumerate(lines)]
    if height >= 12 and width >= ROOMY:
        lines += [Text("")] * (CAUTION_LINES - len(lines))
    return lines


def _after_word(line: Text, word: str, pen: Pen) -> Text:
    """A gap between the signal word on its band and the caution's text."""
    head = len(f" {word.upper()} ")
    return line[:head].append(" ", pen.look.style("text")).append_text(line[head + 1 :])


def _challenge(view: ItemView, state: ItemState, width: int, pen: Pen) -> list[Text]:
    """The challenge, with the item's state at the right end of its first line."""
    item = view.step.item
    assert item is not None
    place = "" if width >= ROOMY else f"{view.step.place}/{len(view.step.section.items)}"
    said = pen.line(
        (f" {MARKS[state.state]} {state.state.replace('-', ' ')} ", state.state), (place, "quiet")
    )
    code = f"{item.code}  " if item.code else ""
    rows = pen.fold(f"{code}{item.challenge}", max(12, width - said.cell_len), "challenge")
    return [pen.beside(rows[0], said, width), *rows[1:]]


def _answer_lines(view: ItemView, state: ItemState, width: int, pen: Pen) -> list[Text]:
    item = view.step.item
    assert item is not None
    lines: list[Text] = []
    if view.held:
        return _row("waits", f"cannot be answered yet: {view.held}", width, "stop", pen)
    if not item.asks and item.kind != "release":
        words = "press enter: as stated" if not view.is_second else "press enter: seen as well, as stated"
        lines += _row("answer", words, width, "text", pen)
    if item.kind == "release":
        lines += _row("release", "press enter to release in a named person's name", width, "text", pen)
    for number, ask in enumerate(item.asks):
        if width >= ROOMY or number == view.fields.here:
            lines += _ask_lines(view, ask, number, width, pen)
    if width < ROOMY and len(item.asks) > 1:
        given = sum(bool(view.fields.typed.get(a.value)) for a in item.asks)
        words = f"value {view.fields.here + 1} of {len(item.asks)}, {given} typed; tab: the next"
        lines.append(pen.line((words, "quiet")))
    return lines


def _second(view: ItemView, width: int, pen: Pen) -> list[Text]:
    """Whether a second person is asked, and whose turn it is: it stands before what is typed."""
    item = view.step.item
    assert item is not None
    if item.witness == "none" or view.held:
        return []
    if not view.is_second:
        return _row("second", WITNESS_WORDS[item.witness], width, "quiet", pen)
    blind = ", without seeing the first answer" if item.witness == "blind" else ""
    if not view.is_named:
        return _row("second", f"who answers next? s asks{blind and ': blind'}", width, "caution", pen)
    return _row("second", f"now {view.names(view.by)} answers{blind}", width, "caution", pen)


def _ask_lines(view: ItemView, ask: Ask, number: int, width: int, pen: Pen) -> list[Text]:
    """One field: what is asked, what is typed or proposed, the unit; then its limit."""
    is_here = number == view.fields.here
    name = _name(ask)
    typed = view.fields.typed.get(ask.value, "")
    arrow = ("> " if is_here else "  ", "strong" if is_here else "text")
    lines: list[Text] = []
    more: list[Text] = []
    if ask.options or ask.type == "yes-no":
        options = ask.options or ("yes", "no")
        parts: list[tuple[str, str]] = [arrow, (f"{name} " if ask.value != "choice" else "", "label")]
        line = pen.line(*parts)
        for place, option in enumerate(options, start=1):
            is_chosen = typed == option
            piece = pen.line(
                (f" {place} ", "key"),
                (f" {option.replace('-', ' ')} ", "picked" if is_chosen else "typed"),
                " ",
            )
            if line.cell_len + piece.cell_len > width and line.cell_len > 2:
                lines.append(line)
                line = pen.line("  ")
            line = line.append_text(piece)
        lines.append(line)
    else:
        room = (10 if width >= ROOMY else 7) if ask.type == "number" else max(10, width - 34)
        shown = typed if len(typed) < room else "…" + typed[-(room - 2) :]
        cursor = "_" if is_here and ask.type == "number" else " "
        if is_here and ask.type == "text" and not typed:
            shown = "enter: write it"
        field = (f"{shown}{cursor}".ljust(room), "field" if is_here or typed else "typed")
        unit = f" {ask.unit}" if ask.unit else ""
        if max(len(name), _label_room(view, width)) + 3 + room + len(unit) <= width:
            lines.append(
                pen.line(arrow, (f"{name:<{_label_room(view, width)}} ", "label"), field, (unit, "strong"))
            )
        else:
            lines += pen.fold(name, width, "label", arrow)
            lines.append(pen.line("  ", field, (unit, "strong")))
        proposed = _proposed(view, ask)
        if proposed and not typed:
            more = pen.fold(f"{proposed}; enter accepts", width, "computed", ("    ", "text"))
    return [*lines[:-1], *_with_limit(lines[-1], view, ask, width, pen), *more]


def _label_room(view: ItemView, width: int) -> int:
    """Columns for the names of the fields, so that the fields stand below one another."""
    item = view.step.item
    assert item is not None
    if width < ROOMY:
        return 0
    names = [len(_name(ask)) for ask in item.asks if not ask.options and ask.type != "yes-no"]
    return min(max(names, default=0), width // 2)


def _name(ask: Ask) -> str:
    return clean(ask.words) + (" (may be left out)" if ask.is_optional else "")


def _with_limit(line: Text, view: ItemView, ask: Ask, width: int, pen: Pen) -> list[Text]:
    """The field with its limit: on one line where both fit, below it where not."""
    if _is_blind_second(view):
        return [line]
    said = limit_words(ask, view.state.resolved, view.state.computed)
    if width < ROOMY:
        said = [FROM_CONFIGURATION.sub("(configuration)", words) for words in said]
    if len(said) == 1 and line.cell_len + len(said[0]) + 10 <= width:
        return [pen.beside(line, pen.line(("limit ", "label"), (said[0], "strong")), width)]
    found = [line]
    for words in said:
        found += pen.fold(words, width, "strong", ("    limit ", "label"), 4)
    return found


def _is_blind_second(view: ItemView) -> bool:
    """True where the second person must find the value, not read it off the page."""
    item = view.step.item
    return view.is_second and item is not None and item.witness == "blind"


def _proposed(view: ItemView, ask: Ask) -> str:
    if view.fields.comes_of_readings(ask):
        return "computed from the readings when it is kept"
    if _is_blind_second(view):
        return ""
    return proposal_words(ask, view.state.resolved, view.state.computed)


def _state_lines(view: ItemView, state: ItemState, width: int, pen: Pen) -> list[Text]:
    """State by mark and word; then what was answered, whence, and how it was judged."""
    item = view.step.item
    assert item is not None
    broken = any(j.passed is False for j in state.limits)
    reason = "" if state.reason == BARE_FAILURE and broken else state.reason
    if state.waits_for_second and view.is_second:
        reason = ""  # whose turn it is stands above the field
    more = [clean(r) for r in (reason, state.void_reason) if r]
    if state.until:
        more.append(f"until {clean(state.until)}" + (", past due" if state.is_past_due else ""))
    word = "not" if state.state == "not-applicable" else state.state
    lines = _row(word, "; ".join(more), width, state.state, pen) if more else []
    answer = answer_words(item, state)
    if answer and not (item.witness == "blind" and (state.state in UNSEEN or view.is_second)):
        at = state.at[11:16]
        whose = "" if state.waits_for_second else f", {clean(view.names(state.by))} {at}"
        style = "old" if state.carried_from or state.state == "expired" else "text"
        lines += _row("was", f"{answer}{whose}", width, style, pen)
    if state.carried_from:
        lines += _row("from", carried_words(state), width, "old", pen)
    if not state.waits_for_second and not (item.witness == "blind" and state.state in UNSEEN):
        for judged in state.limits:
            lines += _row("judged", judged_words(judged), width, "text" if judged.passed else "failed", pen)
    return lines
