"""A checklist on paper: every item with what is asked and what the answer has to keep to."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rovlog.domain.checks.checklist import Ask, Item, Reference, Section
from rovlog.domain.checks.computed import READ_OFF_BOX
from rovlog.domain.checks.limits import resolve
from rovlog.faces.reports.check_text import (
    STOP_WORDS,
    answer_words,
    clock,
    marks_words,
    people_words,
    value_words,
)
from rovlog.faces.reports.pages.model import Blank, Blanks, Block, Heading, Page, Paragraph, Step, Together
from rovlog.faces.reports.pages.words import digest_letters

if TYPE_CHECKING:
    from rovlog.domain.checks.state import ItemState
    from rovlog.usecases.report_checklist import ChecklistReport

FOOT = (
    "A finished list makes no dive safe: rovlog says whether anything recorded stops it, and a named person "
    "releases. What is written here counts once it is typed in."
)

SECOND = {
    "concurrent": "second person, who watches:",
    "blind": "second person, who looks for themselves with the first answer covered:",
}
"""How the second person's line begins."""

NAME, TIME = Blank("name", room=2.0), Blank("time", is_joined=True)
ROLES = ("supervisor", "pilot", "tender", "technician")

WORKED_OUT = "corrected_rise"
"""A value that the program works out from the others of its item."""


def checklist_page(report: ChecklistReport) -> Page:
    """The whole list: its head, its groups with their completion calls, its hold points."""
    checklist = report.checklist
    blocks: list[Block] = []
    for section in checklist.sections:
        blocks += _section(report, section)
    subtitle = f"{checklist.style.replace('-', ' and ', 1) if checklist.style != 'do-list' else 'do-list'}"
    return Page(
        f"Checklist, revision {checklist.revision}",
        checklist.title,
        tuple(blocks),
        f"{_whose(report)}; {subtitle}",
        FOOT,
        top=_top(report),
    )


def _whose(report: ChecklistReport) -> str:
    """Which vehicle and which configuration the values are of."""
    if not report.vehicle:
        return "for any vehicle, values blank"
    revision = f"revision {report.revision}" if report.revision is not None else "not approved"
    blank = ", values blank" if report.is_blank else ""
    return f"{report.vehicle}, {revision}, {digest_letters(report.digest)}{blank}"


def _top(report: ChecklistReport) -> tuple[Block, ...]:
    said: list[Block] = []
    if report.departs:
        said.append(
            Paragraph(
                "The working files and the approved configuration differ: see the drift before the dive.",
                "stop",
            )
        )
    elif report.vehicle and report.revision is None:
        said.append(Paragraph("NOT APPROVED: the values are of a configuration nobody approved.", "stop"))
    known = [x for x in (report.day, report.site) if x]
    known += [f"{role} {report.crew[role]}" for role in ROLES if role in report.crew]
    if known:
        said.append(Paragraph("; ".join(known) + "."))
    head = [("vehicle", report.vehicle, 2.0), ("date", report.day, 1.6), ("site", report.site, 2.4)]
    crew = [(role, report.crew.get(role, ""), 1.5) for role in ROLES]
    for row in (head, crew):
        fields = tuple(Blank(words, room=room) for words, value, room in row if not value)
        said += [Blanks(fields)] if fields else []
    how = "Write the answer, the name and the time as it is given."
    where = f" To type it in: rovlog dive transcribe {report.record or 'DIVE'}." if report.record else ""
    said.append(Paragraph(how + where, "quiet"))
    return tuple(said)


def _section(report: ChecklistReport, section: Section) -> list[Block]:
    code = report.codes[section.section]
    style = f" ({section.style})" if section.style else ""
    head: list[Block] = [Heading(f"{section.code} {section.title}".strip() + style)]
    if section.hold_point:
        head.append(Paragraph(f"Hold point: {section.hold_point}.", "quiet"))
    first, *others = (_step(report, item) for item in section.items)
    blocks: list[Block] = [Together((*head, first)), *others]
    if section.completion:
        blocks.append(
            Step(
                code,
                "Completion call",
                f"\N{LEFT DOUBLE QUOTATION MARK}{section.completion}\N{RIGHT DOUBLE QUOTATION MARK}",
                rows=(Blanks((Blank("called by", room=2.0), TIME)),),
            )
        )
    return blocks


def _step(report: ChecklistReport, item: Item) -> Step:
    caution = f"{item.caution.word.upper()}: {item.caution.text}" if item.caution is not None else ""
    why = report.excused.get(item.item)
    state = report.answered.get(item.item)
    if why:
        return Step(report.codes[item.item], item.challenge, item.response, f"Does not apply: {why}.")
    notes, rows = _notes(item), _rows(report, item)
    if state is not None and not state.waits_for_second:
        notes, rows = f"{notes} On record: {_on_record(item, state)}.", ()
    return Step(report.codes[item.item], item.challenge, item.response, notes, caution, rows, item.actions)


def _on_record(item: Item, state: ItemState) -> str:
    said = answer_words(item, state) or state.state
    return f"{said}, {people_words(state)} {clock(state.at, with_day=bool(state.carried_from))}"


def _notes(item: Item) -> str:
    """Who answers, what it stops, what to touch, what else it does."""
    who = "Everybody answers" if "all" in item.by else f"{' and '.join(item.by).capitalize()} answers"
    if len(item.by) > 1:
        who = f"{' and '.join(item.by).capitalize()} answer"
    touch = f"touch: {item.touch}" if item.touch else ""
    words = [who, STOP_WORDS[item.stops], touch, marks_words(item)]
    return "; ".join(w for w in words if w) + "."


def _rows(report: ChecklistReport, item: Item) -> tuple[Blanks, ...]:
    """The first person's line, and the second person's with the same values to give."""
    if item.kind == "release":
        return (Blanks((Blank("released by", room=2.0), TIME, Blank("signature", room=2.0))),)
    values = tuple(_blank(report, ask, is_blind=item.witness == "blind") for ask in item.asks)
    rows = [Blanks((*values, NAME, TIME))]
    if item.witness == "blind":
        again = tuple(_short(ask) for ask in item.asks if not ask.is_optional)
        rows.append(Blanks((*again, NAME, TIME), SECOND["blind"]))
    elif item.witness == "concurrent":
        rows.append(Blanks((NAME, TIME), SECOND["concurrent"]))
    return tuple(rows)


def _short(ask: Ask) -> Blank:
    """The value again, without its limit: the second person says what they see."""
    if ask.options:
        return Blank(f"{ask.words}:", options=ask.options)
    return Blank(ask.words, ask.unit)


def _blank(report: ChecklistReport, ask: Ask, *, is_blind: bool) -> Blank:
    words = [ask.words, *_limits(report, ask)]
    # A second person who reads what the program proposes would not have looked.
    proposed = "" if is_blind else _proposed(report, ask)
    if ask.value == WORKED_OUT:
        words.append("worked out when typed in, may be left out")
    elif proposed:
        words.append(proposed)
    if ask.is_optional:
        words.append("may be left out")
    said = ", ".join(words)
    if ask.type == "yes-no":
        return Blank(f"{said}:", options=("yes", "no"))
    if ask.options:
        return Blank(f"{said}:", options=ask.options)
    return Blank(said, ask.unit, room=2.0 if ask.type == "text" else 1.0)


def _proposed(report: ChecklistReport, ask: Ask) -> str:
    if ask.proposed is None:
        return ""
    value = _value(report, ask.proposed)
    how = "read from the box" if ask.proposed.computed in READ_OFF_BOX else "computed"
    return f"{how} {value_words(_rounded(value), ask.unit)}" if value is not None else ""


def _limits(report: ChecklistReport, ask: Ask) -> list[str]:
    """Each part of the limit in words with its value and where that comes from, or a gap to fill in."""
    limit = ask.limit
    if limit is None:
        return []

    def said(word: str, reference: Reference | None) -> list[str]:
        return (
            [f"{word} {_bound(report, reference, ask.unit, limit.origin)}"] if reference is not None else []
        )

    words = said("at least", limit.at_least) + said("at most", limit.at_most) + said("equal to", limit.equals)
    if limit.middle is not None:
        half = limit.by or limit.share or Reference(value=0.0)
        width = _value(report, half)
        if limit.by is None and isinstance(width, int | float) and not isinstance(width, bool):
            within = f"{width * 100:g} %"
        else:
            within = _bound(report, half, ask.unit, "")
        words.append(f"within {within} of {_bound(report, limit.middle, ask.unit, limit.origin)}")
    return words


GAP = "\N{HORIZONTAL ELLIPSIS}" * 3
"""Stands where a value of the configuration is to be written in by hand."""


def _bound(report: ChecklistReport, reference: Reference, unit: str, origin: str) -> str:
    value = _value(report, reference)
    if value is None:
        return f"{GAP} {unit}".strip()
    return f"{value_words(_rounded(value), unit)}{_origin(report, reference)}"


def _value(report: ChecklistReport, reference: Reference) -> float | str | bool | None:
    """The value, None where it is to be written by hand: on a blank sheet all that a vehicle decides."""
    if report.is_blank and (reference.pointer or reference.computed):
        return None
    return resolve(reference, report.resolved, report.computed).value


def _origin(report: ChecklistReport, reference: Reference) -> str:
    """A few words on where a limit comes from; the configuration itself is what the head names."""
    if reference.computed:
        return " (computed)"
    if reference.pointer:
        origin = resolve(reference, report.resolved, report.computed).origin
        return "" if origin.startswith("the configuration") else f" ({origin})"
    return ""


def _rounded(value: float | str | bool | None) -> float | str | bool | None:
    if isinstance(value, float):
        return int(value) if value.is_integer() else float(f"{value:.4g}")
    return value
