"""The fault report: facts apart from opinions, evidence with its holder, the loop from reported to closed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rovlog.domain.audit.timeline import entry_words
from rovlog.domain.drift.words import value_words
from rovlog.faces.reports.audit_text import headline
from rovlog.faces.reports.check_text import answer_words
from rovlog.faces.reports.diagnosis_text import push_words
from rovlog.faces.reports.drawings.timeline import time_line
from rovlog.faces.reports.pages.dive_blocks import line_parts
from rovlog.faces.reports.pages.fault_evidence import evidence_blocks, opinion_blocks, where
from rovlog.faces.reports.pages.fault_search import good_blocks, suspect_blocks
from rovlog.faces.reports.pages.fault_stages import recurrence_blocks, stage_blocks, stage_words
from rovlog.faces.reports.pages.model import Block, Grid, Heading, Page, Pairs, Paragraph, Picture
from rovlog.faces.reports.pages.words import (
    Names,
    crew_of,
    marked_time,
    minutes,
    reading_words,
    slug_words,
    water_of,
    when,
)

if TYPE_CHECKING:
    from rovlog.domain.dive import Entry
    from rovlog.usecases.report_fault import FaultReport, Filed

STEPS = (
    ("Verified", "fault-function", "verified"),
    ("One change at a time", "fault-one-change", "action"),
    ("Cause", "fault-cause", "cause"),
    ("Redone", "fault-redo", "proof"),
)
"""Steps of the closed loop, the item of the list after a fault for each, and the stage it belongs to."""


def fault_page(report: FaultReport, names: Names) -> Page:
    """The report as a page: facts, analysis, cause and action, what is left."""
    first = report.faults[0]
    stands = (
        "not closed: the vehicle is in quarantine"
        if report.is_in_quarantine
        else "closed: released to service"
    )
    blocks: list[Block] = [
        Paragraph(f"This fault is {stands}.", "stop" if report.is_in_quarantine else "fine")
    ]
    if report.ranking is not None and report.ranking.ranked:
        blocks.append(Paragraph(f"Computed from the record, seen by nobody: {headline(report.ranking)}."))
    blocks += stage_blocks(report, names)
    blocks += [
        Heading("What failed, and in which conditions"),
        Pairs(tuple(_head_rows(report, first, names))),
    ]
    blocks += _facts(report, names)
    blocks += evidence_blocks(report, names)
    blocks += opinion_blocks(report, names)
    blocks += [
        Heading("Analysis: computed from the record"),
        Paragraph(
            "Nothing in this part was seen by anybody; it is worked out from what is on record.", "quiet"
        ),
    ]
    blocks += good_blocks(report, names)
    blocks += suspect_blocks(report)
    blocks += _loop(report, names)
    blocks += recurrence_blocks(report, names)
    if report.notes:
        blocks.append(Paragraph("\n".join(f"note: {n}" for n in report.notes), "quiet"))
    part = f" ({first.fields['part']})" if first.fields.get("part") else ""
    return Page(
        "Fault report",
        f"{report.name}: {slug_words(report.symptom)}{part}",
        tuple(blocks),
        _logged_words(report, first),
        f"{report.record.id}: {report.symptom}. The aim is that it does not happen again.",
    )


def _logged_words(report: FaultReport, first: Entry) -> str:
    """When this fault was logged, and when the symptom was for the first time where that was before."""
    here = f"{when(first.at, True)} in {report.record.id}"
    ever = report.good.good.first_fault if report.good is not None and report.good.good is not None else None
    if ever is None or ever.record == report.record.id:
        return f"first logged {here}"
    return f"logged {here}; the symptom was first logged {when(ever.at, True)} in {ever.record}"


def _head_rows(report: FaultReport, first: Entry, names: Names) -> list[tuple[str, str]]:
    state = report.state
    depth = f", {state.depth_m:g} m" if state.depth_m is not None else ""
    return [
        ("Failed item", str(first.fields.get("part") or "not named")),
        (
            "Symptom",
            slug_words(report.symptom)
            + (f", logged {len(report.faults)} times" if len(report.faults) > 1 else ""),
        ),
        ("Vehicle", f"{report.name} ({report.record.vehicle}), {report.record.kind} {state.number}"),
        ("Place", f"{state.site or 'not recorded'}; {water_of(state.water)}{depth}"),
        ("Crew", crew_of(state.crew, names)),
        (
            "Running time",
            f"{minutes(report.running_before_s)} into this {report.record.kind}, "
            f"{report.running_total_s / 3600:.1f} h in all",
        ),
        ("Reported", f"{marked_time(first)} by {names(first.by)}"),
    ]


def _facts(report: FaultReport, names: Names) -> list[Block]:
    blocks: list[Block] = [Heading("Facts: what was seen, read and done")]
    drawing = time_line(*line_parts(report.record))
    if drawing is not None:
        blocks.append(
            Picture(drawing, "Time line of the dive: discs are marks, triangles faults, diamonds trims.")
        )
    rows = [(marked_time(f), entry_words(f), names(f.by)) for f in report.faults]
    rows += [
        (marked_time(f.entry), entry_words(f.entry) + where(report, f), names(f.entry.by))
        for f in report.events
    ]
    blocks.append(Grid(("time", "seen or done", "by"), tuple(rows)))
    said = [
        (
            marked_time(f.entry),
            slug_words(f.entry.fields.get("reading")),
            reading_words(dict(f.entry.fields.get("values") or {})) + where(report, f),
        )
        for f in report.readings
    ]
    said += [
        (
            marked_time(f.entry),
            "box readback",
            value_words("", dict(f.entry.fields.get("in_use") or {})) + where(report, f),
        )
        for f in report.readbacks
    ]
    said += [
        (marked_time(f.entry), "function test", _seen(f.entry) + where(report, f))
        for f in report.observations
    ]
    blocks.append(Heading("Indications", True))
    blocks.append(Grid(("time", "what", "reading"), tuple(said)) if said else Paragraph("None was recorded."))
    return blocks


def _seen(entry: Entry) -> str:
    push = push_words([(c, float(v)) for c, v in dict(entry.fields.get("push") or {}).items()])
    seen = ", ".join(f"{t} {s}" for t, s in dict(entry.fields.get("seen") or {}).items())
    return f"{push}: {seen}"


def _loop(report: FaultReport, names: Names) -> list[Block]:
    rows = []
    for word, item, stage in STEPS:
        filed = report.after_fault.get(item)
        stands = stage_words(report, stage, names) if filed is None else None
        if stands is not None:
            stands = (f"{stands[0]}; the list's own step is not answered", stands[1])
        rows.append((word, *(stands or _answered(report, item, filed, names))))
    for filed in report.repairs:
        rows.append(
            ("Action", _action(filed.entry), f"{names(filed.entry.by)}, {when(filed.entry.at, True)}")
        )
    done = report.released
    rows.append(
        (
            "Released to service",
            str(done.entry.fields.get("text") or "released"),
            f"{names(done.entry.by)}, {when(done.entry.at, True)}",
        )
        if done is not None
        else ("Released to service", "not yet: the vehicle is in quarantine", "")
    )
    used = {item for _, item, _ in STEPS}
    others = [
        (report.items[i].challenge if i in report.items else i, *_answered(report, i, f, names))
        for i, f in report.after_fault.items()
        if i not in used and f.entry.fields.get("outcome")
    ]
    blocks: list[Block] = [Heading("Cause, action and proof"), Grid(("step", "answer", "by"), tuple(rows))]
    if others:
        blocks += [
            Heading("The rest of the list after a fault", True),
            Grid(("step", "answer", "by"), tuple(others)),
        ]
    return blocks


def _answered(report: FaultReport, item: str, filed: Filed | None, names: Names) -> tuple[str, str]:
    if filed is None:
        return "not answered yet", ""
    from rovlog.domain.checks.state import ItemState

    fields = filed.entry.fields
    outcome = "" if fields.get("outcome") == "pass" else "FAILED; "
    known = report.items.get(item)
    values = dict(fields.get("values") or {})
    said = ""
    if known is not None:
        state = ItemState(
            item, "answered", by=filed.entry.by, values=values, source=str(fields.get("source", ""))
        )
        said = answer_words(known, state)
    text = "; ".join(x for x in (said, str(fields.get("text") or "")) if x)
    return outcome + (text or "as stated"), f"{names(filed.entry.by)}, {when(filed.entry.at, True)}"


def _action(entry: Entry) -> str:
    if entry.kind == "correction":
        said = ", ".join(f"{k}: {v}" for k, v in dict(entry.fields.get("set") or {}).items())
        return f"an entry was corrected ({said}): {entry.fields.get('reason', '')}"
    return entry_words(entry)
