"""What stops a dive, gathered: the fold's open items, findings, drift, the baseline, and what was waived."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from rovlog.domain.checks.stops import Standing, Stop, what_stops
from rovlog.domain.dive import Entry, Record
from rovlog.domain.findings import Finding
from rovlog.usecases.compare_drift import Drift, is_dated_in_force, waivers_on_record
from rovlog.usecases.list_control import CHANGED
from rovlog.usecases.logbook import Logbook
from rovlog.usecases.times import instant

if TYPE_CHECKING:
    from rovlog.domain.checks.checklist import Checklist
    from rovlog.domain.checks.quarantine import Quarantine
    from rovlog.domain.checks.state import ItemState
    from rovlog.domain.checks.walk import Fold


def stops_of(
    logbook: Logbook,
    record: Record,
    lists: tuple[Checklist, ...],
    states: Mapping[str, ItemState],
    held: Quarantine | None,
    drift: Drift | None,
    findings: tuple[Finding, ...],
    fold: Fold,
    before: Mapping[str, ItemState] | None,
) -> tuple[tuple[Stop, ...], tuple[str, ...]]:
    """Everything that stops the dive, and the names of what is accepted or waived, of a record's fold.

    `before` are the states at the end of the dive before, None for the first.
    """
    if record.kind != "dive":
        return what_stops((), states, quarantine=held, items=fold.items), ()
    all_findings = [*findings, *(drift.report.stops if drift else ())]
    waived = {*_accepted(logbook, drift), *_waived_stops(logbook, record)}
    standing = None
    if drift is not None:
        force = drift.in_force
        standing = Standing(force.why_none if force.approval is None else "", bool(force.claims))
    stops = what_stops(
        lists,
        states,
        quarantine=held,
        findings=all_findings,
        baseline=standing,
        before=before,
        is_launched=fold.launched is not None and not fold.has_left_surface,
        waived=waived,
        items=fold.items,
    )
    return stops, tuple(sorted(waived))


def _accepted(logbook: Logbook, drift: Drift | None) -> set[str]:
    """Findings whose reason was given at the approval of exactly what is on the vehicle."""
    if drift is None or drift.in_force.approval is None:
        return set()
    approval = drift.in_force.approval
    return set(approval.findings_accepted) if approval.digest == drift.working.digest else set()


def _waived_stops(logbook: Logbook, record: Record) -> set[str]:
    found = set()
    for is_here, entry in waivers_on_record(logbook, record.vehicle, record):
        stop = entry.fields.get("stop")
        if str(stop).startswith(CHANGED):
            continue  # a hand wrote it: there is no waiver for a list that is not under control
        if stop and (is_here or _is_dated_in_force(logbook, entry)):
            found.add(str(stop))
    return found


def _is_dated_in_force(logbook: Logbook, waiver: Entry) -> bool:
    """The clock is asked only where there is such a waiver: all else can be told from the files alone."""
    return is_dated_in_force(str(waiver.fields.get("until", "")), instant(logbook.book.clock.now()))
