"""Blocks of a dive that other pages show as well: what stops it, its times, the box's word, its trims."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from rovlog.domain.checks.stops import stop_words
from rovlog.domain.drift.words import trim_words, value_words
from rovlog.faces.reports.drawings.timeline import Bar, Tick, time_line
from rovlog.faces.reports.pages.model import Block, Grid, Heading, Paragraph, Picture, Points
from rovlog.faces.reports.pages.words import Names, aware, marked_time, slug_words, when

if TYPE_CHECKING:
    from rovlog.domain.dive import Entry, Record
    from rovlog.usecases.dive_state import DiveState
    from rovlog.usecases.report_dive import DiveReport

FEW = 9
"""From so many open items on, they are gathered by list."""


def stop_blocks(report: DiveReport) -> list[Block]:
    """What stopped the dive as it went into the water, or what stops it now, each with what clears it."""
    record, state = report.record, report.state
    blocks: list[Block] = []
    if report.at_launch is not None:
        stops = report.at_launch.stops
        words = (
            stop_words(stops)
            .replace("stops this dive", "stopped this dive")
            .replace("stop this", "stopped this")
        )
        blocks += _stops(f"Into the water at {when(report.launched)}: {words}.", report.at_launch)
    elif record.is_closed:
        blocks.append(
            Paragraph("Nobody marked when it went into the water: how it stood then cannot be told.", "stop")
        )
    if not record.is_closed:
        words = stop_words(state.stops)
        blocks += _stops(f"Now: {words}.", state)
    if state.quarantine is not None:
        faults = ", ".join(slug_words(f.symptom) for f in state.quarantine.faults)
        since = when(state.quarantine.since, True)
        blocks.append(Paragraph(f"In quarantine since {since}: {faults}.", "stop"))
    return blocks


def _stops(words: str, state: DiveState) -> list[Block]:
    blocks: list[Block] = [Paragraph(words, "stop" if state.stops else "fine")]
    is_open = {s.id for s in state.stops if s.id in state.items and state.items[s.id].state == "open"}
    if len(is_open) < FEW:
        is_open = set()
    said = [f"{s.reason}. Clears: {s.clears}" for s in state.stops if s.id not in is_open]
    for checklist in state.lists:
        # Many items that were simply never answered are one line a list, not a page of them.
        left = [f"{i.code} {i.challenge}".strip() for i in checklist.items() if i.item in is_open]
        if left:
            said.append(f"{checklist.title}: {len(left)} items are open: {'; '.join(left)}")
    return [*blocks, Points(tuple(said), numbered=True)] if said else blocks


def time_blocks(report: DiveReport, names: Names) -> list[Block]:
    """The marks in a table, and the dive drawn along its time."""
    record = report.record
    marks = record.of_kind("mark")
    blocks: list[Block] = [Heading("Times")]
    drawing = time_line(*line_parts(record))
    if drawing is not None:
        caption = "Time line: discs are marks, triangles faults, diamonds trims, rings events."
        blocks.append(Picture(drawing, caption))
    if not marks:
        return [*blocks, Paragraph("No time was marked.")]
    rows = tuple((marked_time(m), slug_words(m.fields.get("mark")), names(m.by)) for m in marks)
    return [*blocks, Grid(("time", "mark", "by"), rows)]


def line_parts(record: Record) -> tuple[list[Tick], list[Bar]]:
    """Ticks and bars of a dive's time line; what has no time that can be read is left to the tables."""
    ticks = []
    for entry in record.of_kind("mark", "fault", "trim", "event"):
        at = aware(entry.at)
        if at is not None:
            is_memory = entry.fields.get("clock") == "memory"
            ticks.append(Tick(at, _short(entry), entry.kind, is_memory))
    bars = [
        bar
        for name, on, off in (
            ("power on", "power-on", "power-off"),
            ("in the water", "in-water", "out-of-water"),
        )
        if (bar := _bar(record, name, on, off)) is not None
    ]
    return ticks, bars


def _short(entry: Entry) -> str:
    fields = entry.fields
    if entry.kind == "trim":
        return ", ".join(trim_words(d, float(v)) for d, v in dict(fields.get("trim") or {}).items())
    word = fields.get("symptom") or fields.get("event") or fields.get("mark")
    return ("fault " if entry.kind == "fault" else "") + slug_words(word)


def _bar(record: Record, name: str, on: str, off: str) -> Bar | None:
    marks = {str(m.fields.get("mark")): m for m in reversed(record.of_kind("mark"))}
    if on not in marks:
        return None
    end = marks.get(off) or record.entries[-1]
    start_at, end_at = aware(marks[on].at), aware(end.at)
    if start_at is None or end_at is None or end_at < start_at:
        return None
    return Bar(name, start_at, end_at, off not in marks)


def readback_blocks(report: DiveReport) -> list[Block]:
    """What the box said before and after, beside the baseline."""
    read = report.record.of_kind("readback")
    head = Heading("What the box said")
    if not read:
        return [head, Paragraph("The box was not read on this dive.")]
    first, last = read[0], read[-1]
    columns: list[tuple[str, dict[str, Any]]] = [(f"first, {marked_time(first)}", _flat(first))]
    if last is not first:
        columns.append((f"last, {marked_time(last)}", _flat(last)))
    keys = list(dict.fromkeys(k for _, values in columns for k in values))
    rows = tuple(
        (slug_words(k.replace(".", " ")), *(_said(report, k, v.get(k)) for _, v in columns)) for k in keys
    )
    firmware = ", ".join(
        dict.fromkeys(f"{e.fields.get('box')} firmware {e.fields.get('firmware')}" for e in read)
    )
    return [head, Paragraph(firmware), Grid(("in use", *(h for h, _ in columns)), rows)]


def _flat(entry: Entry) -> dict[str, Any]:
    from rovlog.domain.checks.happenings import flat

    return dict(flat(dict(entry.fields.get("in_use") or {})))


def _said(report: DiveReport, key: str, value: Any) -> str:
    if value is None:
        return "–"
    if key in ("steering_scheme", "thruster_map"):
        return value_words(f"/control_box/{key}", value, report.tables)
    if key.startswith("trim."):
        return value_words(f"/trim_defaults/{key.removeprefix('trim.')}", value)
    return value_words("", value)


def trim_blocks(report: DiveReport, names: Names) -> list[Block]:
    """Every trim change with its time, and what the pilot said was set."""
    rows = []
    for entry in report.record.of_kind("trim", "setup"):
        if entry.kind == "trim":
            said = ", ".join(trim_words(d, float(v)) for d, v in dict(entry.fields.get("trim") or {}).items())
        else:
            said = "set, by the pilot's word: " + value_words("", dict(entry.fields.get("values") or {}))
        rows.append((marked_time(entry), said, str(entry.fields.get("reason") or ""), names(entry.by)))
    head = Heading("Trim")
    if not rows:
        return [head, Paragraph("No trim was changed on this dive.")]
    return [head, Grid(("time", "set to", "reason", "by"), tuple(rows))]
