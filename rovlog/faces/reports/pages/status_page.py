"""Status accounting on a page: approved, loaded, pending, waived, hours and what is due."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rovlog.domain.drift.words import place_words, setup_words
from rovlog.faces.reports.drift_text import cells, headline
from rovlog.faces.reports.pages.model import Block, Grid, Heading, Page, Pairs, Paragraph
from rovlog.faces.reports.pages.words import Names, slug_words, when
from rovlog.faces.reports.part_text import due_words, hours_words, where_words

if TYPE_CHECKING:
    from collections.abc import Sequence

    from rovlog.domain.audit.parts import PartLife
    from rovlog.usecases.status_accounting import TeamStatus, VehicleStatus


def status_page(status: TeamStatus, names: Names) -> Page:
    """Every vehicle as it stands, then the parts on none of them."""
    blocks: list[Block] = []
    for row in status.vehicles:
        blocks += _vehicle(row, names)
    if not status.vehicles:
        blocks.append(Paragraph("No vehicle is on file yet."))
    if status.other_parts:
        blocks += [Heading("Parts on no vehicle"), _parts(status.other_parts)]
    if status.notes:
        blocks.append(Paragraph("\n".join(f"note: {n}" for n in status.notes), "quiet"))
    return Page(
        "Status accounting",
        status.title,
        tuple(blocks),
        f"as it stands {when(status.at, True)}",
        "Status of all kit.",
    )


def _vehicle(row: VehicleStatus, names: Names) -> list[Block]:
    blocks: list[Block] = [Heading(f"{row.name} ({row.vehicle})")]
    if row.quarantine is not None:
        what = ", ".join(slug_words(f.symptom) for f in row.quarantine.faults)
        blocks.append(Paragraph(f"In quarantine since {when(row.quarantine.since, True)}: {what}.", "stop"))
    blocks.append(Pairs(tuple(_rows(row, names))))
    drift = row.drift
    if drift is not None and drift.report.deviations:
        pending = tuple(
            (
                place_words(d.pointer),
                "; ".join(f"{_source(s)} {v}" for s, v in cells(d)),
                d.effect.text if d.effect else "",
                "stops" if d.stops_dive else ("waived" if d.waived else "differs"),
            )
            for d in drift.report.deviations
        )
        blocks += [
            Heading("Pending differences", True),
            Grid(("what", "who says what", "what it does", ""), pending),
        ]
    if row.waivers:
        waived = tuple(
            (
                w.what,
                str(w.entry.fields.get("reason", "")),
                str(w.entry.fields.get("until", "")),
                f"{names(w.entry.by)}, {w.record}",
            )
            for w in row.waivers
        )
        blocks += [Heading("Waivers open", True), Grid(("what", "reason", "until", "by"), waived)]
    if row.parts:
        blocks += [Heading("Parts and what is due", True), _parts(row.parts)]
    if row.problems:
        blocks.append(Paragraph("\n".join(row.problems), "stop"))
    return blocks


def _source(column: str) -> str:
    from rovlog.faces.reports.drift_text import COLUMN_WORDS

    return COLUMN_WORDS.get(column, column)


def _rows(row: VehicleStatus, names: Names) -> list[tuple[str, str]]:
    a = row.in_force.approval
    approved = (
        f"revision {a.spoken}, {a.at[:10]}, {names(a.approved_by)}: {a.reason}"
        if a
        else row.in_force.why_none
    )
    rows = [("Approved", approved), ("Loaded in the box", _loaded(row))]
    if row.drift is not None:
        rows.append(("Pending", headline(row.drift.report)))
    rows.append(("Open", ", ".join(row.open_records) or "no dive or work is open"))
    last = f", the last on {row.last_dive.started[:10]}" if row.last_dive is not None else ""
    rows.append(("Dives", f"{row.dives}{last}"))
    rows.append(("Running hours", hours_words(row.running_s / 3600.0)))
    if not row.waivers:
        rows.append(("Waivers", "none open"))
    return rows


def _loaded(row: VehicleStatus) -> str:
    drift = row.drift
    if drift is None or drift.readback is None:
        return "nobody has read the box"
    read = drift.readback
    words = ", ".join(f"{slug_words(k)} {setup_words(k, v)}" for k, v in read.in_use.items())
    stale = f"; stale: {read.stale}" if read.stale else ""
    where = f"read {when(read.at, True)} in {drift.readback_in}{stale}"
    return f"{words} (box {read.box}, firmware {read.firmware}, {where})"


def _parts(lives: Sequence[PartLife]) -> Grid:
    rows = tuple(
        (
            life.part,
            life.kind,
            hours_words(life.hours),
            where_words(life),
            "; ".join(f"{d.state}: {due_words(d)}" for d in life.due) or "nothing",
        )
        for life in lives
    )
    return Grid(("part", "kind", "hours", "where", "due"), rows, (2,))
