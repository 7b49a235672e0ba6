"""Blocks of a dive's answers: what was not the usual one, and the readings, those of the lists included."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rovlog.domain.checks.blind import UNTIL_SECOND, is_covered
from rovlog.domain.checks.unusual import unusual_answers
from rovlog.faces.reports.check_text import valued_words
from rovlog.faces.reports.pages.model import Block, Grid, Heading, Paragraph
from rovlog.faces.reports.pages.words import Names, marked_time, reading_words, slug_words, when

if TYPE_CHECKING:
    from rovlog.domain.checks.checklist import Ask, Item
    from rovlog.domain.checks.unusual import Unusual
    from rovlog.domain.dive import Entry
    from rovlog.usecases.report_dive import DiveReport


def unusual_blocks(report: DiveReport, names: Names) -> list[Block]:
    """Every answer that was not the usual one, in the order in which they were given."""
    head = Heading("Every answer that was not the usual one", True)
    found = unusual_answers(report.record, report.state.fold.items, report.state.fold.policy)
    answers = report.record.of_kind("check")
    told = [e for e in answers if not is_covered(e)]
    hidden = [
        Paragraph(f"{_item_called(report, e)} by {names(e.by)}: kept; hidden {UNTIL_SECOND}.")
        for e in answers
        if is_covered(e)
    ]
    if not found:
        return [head, Paragraph(f"{len(told)} answers, every one of them the usual one."), *hidden]
    rows = tuple(
        (marked_time(u.entry), _item_name(u), u.way, _said(u, names), names(u.entry.by)) for u in found
    )
    return [head, Grid(("time", "item", "in which way", "what was said", "by"), rows), *hidden]


def _item_called(report: DiveReport, entry: Entry) -> str:
    name = str(entry.fields.get("item", ""))
    item = report.state.fold.items.get(name)
    return item.name if item is not None else name


def _item_name(one: Unusual) -> str:
    if one.item is not None:
        return one.item.name
    fields = one.entry.fields
    return str(
        fields.get("item")
        or fields.get("point")
        or fields.get("pointer")
        or fields.get("stop")
        or "not named"
    )


def _said(one: Unusual, names: Names) -> str:
    values = [] if one.way == "the two differ" else answered(one.entry, one.item)
    said = [", ".join(values), one.words]
    if one.later is not None:
        again = ", ".join(answered(one.later, one.item))
        passed = f"passed later, {marked_time(one.later)} by {names(one.later.by)}"
        said.append(f"{passed}: {again}" if again else passed)
    return "; ".join(s for s in said if s)


def answered(entry: Entry, item: Item | None) -> list[str]:
    """The values of an answer, each with its unit where the list that asks for it is in use."""
    values = dict(entry.fields.get("values") or {})
    if item is None:
        return [reading_words(values)] if values else []
    return [valued_words(item, str(k), v) for k, v in values.items()]


def reading_blocks(report: DiveReport, names: Names) -> list[Block]:
    """What was read off an instrument or seen as a number: logged as a reading, or answered in a list."""
    items = report.state.fold.items
    rows = []
    for entry in report.record.entries:
        if entry.kind == "reading":
            what, values = slug_words(entry.fields.get("reading")), dict(entry.fields.get("values") or {})
            said = reading_words(values)
        elif entry.kind == "check" and (item := items.get(str(entry.fields.get("item")))) is not None:
            said = ", ".join(_measured(entry, item))
            what = item.name + (" (second answer)" if entry.fields.get("witness") else "")
        else:
            continue
        if said:
            rows.append(
                (marked_time(entry), what, said, str(entry.fields.get("source", "")), names(entry.by))
            )
    head = Heading("Readings")
    if not rows:
        return [head, Paragraph("None was recorded: no supply voltage, no current.")]
    return [head, Grid(("time", "what", "reading", "how known", "by"), tuple(rows))]


def _measured(entry: Entry, item: Item) -> list[str]:
    """The values of an answer that have a unit and were read off, with what they were read beside."""
    if item.kind != "measure" or entry.fields.get("source") == "computed":
        return []
    values = dict(entry.fields.get("values") or {})
    if not any(_is_measure(a) and a.value in values for a in item.asks):
        return []
    return [valued_words(item, a.value, values[a.value]) for a in item.asks if a.value in values]


def _is_measure(ask: Ask) -> bool:
    return ask.type == "number" and bool(ask.unit)


def sight_words(report: DiveReport) -> str:
    """How far one could see: as noted with the place, else as answered in a list, naming the item."""
    record = report.record
    noted = [e.fields.get("visibility_m") for e in record.of_kind("place")]
    said = [f"{v:g} m" for v in noted if v is not None]
    for entry in record.of_kind("check"):
        value = dict(entry.fields.get("values") or {}).get("visibility")
        item = report.state.fold.items.get(str(entry.fields.get("item")))
        if value is None or item is None or entry.fields.get("witness"):
            continue
        said.append(f"{valued_words(item, 'visibility', value).removeprefix('visibility ')} ({item.name},"
                    f" {when(entry.at)})")  # fmt: skip
    return ", ".join(said) or "not recorded"
