"""The fields of an item: what is asked, what is typed, the unit, and beside each field its limit."""

from __future__ import annotations

from itertools import zip_longest

from rich.text import Text

from rovlog.domain.checks.checklist import Ask
from rovlog.faces.reports.check_text import limit_sentence, proposal_words
from rovlog.faces.reports.plain import clean
from rovlog.faces.screens.drawing import Part, Pen
from rovlog.faces.screens.item_view import ItemView

FIELD = 8
"""Columns of a field for a number; seven where the page is small."""

LEAST_BESIDE = 24
"""Columns that a limit needs to stand beside its field; with less it stands below."""


def field_lines(view: ItemView, width: int, pen: Pen) -> list[Text]:
    """Every field below the other, in columns: name, field, unit, limit."""
    lines: list[Text] = []
    for number, ask in enumerate(view.item.asks):
        if is_choice(ask):
            lines += choice_lines(view, ask, number, width, pen)
            lines += _below(_notes(view, ask), width, pen)
        else:
            lines += _typed_lines(view, ask, number, width, pen)
    return lines


def _typed_lines(view: ItemView, ask: Ask, number: int, width: int, pen: Pen) -> list[Text]:
    """One field that is typed into: its name on the left, its limit beside the unit."""
    columns = name_columns(view, width)
    units = max(len(a.unit) for a in view.item.asks)
    room = FIELD if ask.type == "number" else max(FIELD, width - 34)
    used = 2 + columns + 1 + room + 1 + units + 2
    names = pen.fold(clean(ask.words), columns, "label")
    box = field_box(view, ask, number, room, pen)
    notes = _notes(view, ask)
    beside: list[Text] = []
    if width - used >= LEAST_BESIDE:
        for full, short in zip(notes, _notes(view, ask, is_short=True), strict=True):
            label, words, style = full if len(full[0] + full[1]) <= width - used else short
            beside += pen.fold(words, width - used, style, (label, "label"), 2)
    lines: list[Text] = []
    for place, (name, note) in enumerate(zip_longest(names, beside)):
        arrow = _arrow(number == view.fields.here and place == 0)
        line = pen.line(arrow).append_text(name or pen.line(""))
        line.append_text(pen.line(" " * max(0, 3 + columns - line.cell_len)))
        if place == 0:
            line.append_text(box).append_text(pen.line((f" {ask.unit:<{units}}", "strong")))
        if note is not None:
            line.append_text(pen.line(" " * max(0, used - line.cell_len)))
            line.append_text(note)
        lines.append(line)
    return lines if beside else [*lines, *_below(notes, width, pen)]


def _below(notes: list[tuple[str, str, str]], width: int, pen: Pen) -> list[Text]:
    lines: list[Text] = []
    for label, words, style in notes:
        lines += pen.fold(words, width, style, (f"    {label}", "label"))
    return lines


def _arrow(is_here: bool) -> Part:
    return ("> ", "strong") if is_here else ("  ", "text")


def name_columns(view: ItemView, width: int) -> int:
    """Columns for the names of the fields, so that the fields stand below one another."""
    names = [len(clean(ask.words)) for ask in view.item.asks if not is_choice(ask)]
    return min(max(names, default=0), width * 2 // 5)


def is_choice(ask: Ask) -> bool:
    """True where an answer is chosen by its number."""
    return bool(ask.options) or ask.type == "yes-no"


def field_box(view: ItemView, ask: Ask, number: int, room: int, pen: Pen) -> Text:
    """The field itself, always `room` columns wide: what is typed, and where typing goes on."""
    is_here = number == view.fields.here
    typed = view.fields.typed.get(ask.value, "")
    shown = typed if len(typed) < room else "…" + typed[-(room - 2) :]
    cursor = "_" if is_here and ask.type == "number" else " "
    if is_here and ask.type == "text" and not typed:
        shown = "enter: write it"
    return pen.line((f"{shown}{cursor}".ljust(room), "field" if is_here or typed else "typed"))


def choice_lines(view: ItemView, ask: Ask, number: int, width: int, pen: Pen) -> list[Text]:
    """The answers to choose from, each behind its number; the chosen one on a band."""
    typed = view.fields.typed.get(ask.value, "")
    name = f"{clean(ask.words)} " if ask.value != "choice" else ""
    line = pen.line(_arrow(number == view.fields.here), (name, "label"))
    lines: list[Text] = []
    for place, option in enumerate(ask.options or ("yes", "no"), start=1):
        style = "picked" if typed == option else "typed"
        piece = pen.line((f" {place} ", "key"), (f" {option.replace('-', ' ')} ", style))
        if line.cell_len + piece.cell_len > width and line.cell_len > 2:
            lines.append(line)
            line = pen.line("  ")
        line = line.append_text(piece)
        if line.cell_len < width:
            line.append(" ", pen.look.style("text"))
    return [*lines, line]


def _notes(view: ItemView, ask: Ask, is_short: bool = False) -> list[tuple[str, str, str]]:
    """What stands beside a field as label, words and style: limit, proposal, that it may stay empty."""
    notes = []
    limit = limit_of(view, ask, is_short)
    if limit:
        notes.append(("limit ", limit, "strong"))
    proposal = proposed(view, ask, is_short)
    if proposal and not view.fields.typed.get(ask.value):
        notes.append(("", f"{proposal}; enter accepts", "computed"))
    if ask.is_optional:
        notes.append(("", "may be left out", "quiet"))
    return notes


def limit_of(view: ItemView, ask: Ask, is_short: bool = False) -> str:
    """The limit of a field in a sentence; "" without one, and for a second person who answers blind."""
    if view.is_blind_second:
        return ""
    return limit_sentence(ask, view.state.resolved, view.state.computed, is_short)


def proposed(view: ItemView, ask: Ask, is_short: bool = False) -> str:
    """The value that the program proposes for a field, named as computed or read; "" where it knows none."""
    if view.fields.comes_of_readings(ask):
        return "computed from the readings when it is kept"
    if view.is_blind_second:
        return ""
    words = proposal_words(ask, view.state.resolved, view.state.computed)
    return words.replace(", not seen:", "") if is_short else words
