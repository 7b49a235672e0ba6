"""Every fault on record with its stage from reported to closed, and what is missing to close it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rovlog.domain.dive import Record
from rovlog.problems import RovlogError
from rovlog.usecases.logbook import Logbook
from rovlog.values import dataclass

if TYPE_CHECKING:
    from rovlog.domain.audit.fault_case import FaultCase


@dataclass(frozen=True, slots=True)
class FaultCases:
    """The cases, oldest first; `notes` names what could not be told."""

    cases: tuple[FaultCase, ...]
    notes: tuple[str, ...] = ()


def list_faults(logbook: Logbook, vehicle: str | None = None) -> FaultCases:
    """Every fault of one vehicle (or box), or of the whole logbook.

    Raises UsageError for a vehicle or box that neither a file nor a record knows.
    """
    from rovlog.domain.audit.fault_case import fault_cases
    from rovlog.domain.audit.times import or_last
    from rovlog.usecases.audit_history import problems_of
    from rovlog.usecases.placed_records import placed_records

    notes: list[str] = []
    of_clocks: list[str] = []
    groups: dict[str, list[Record]] = {}
    for record in placed_records(logbook, logbook.records(), of_clocks):
        groups.setdefault(record.vehicle or record.box, []).append(record)
    if vehicle is not None and vehicle not in groups and vehicle not in logbook.stems("boxes"):
        logbook.vehicle(vehicle)  # raises with the nearest where nothing knows it
    wanted = {k: v for k, v in groups.items() if vehicle in (None, k)}
    cases: list[FaultCase] = []
    for subject, records in wanted.items():
        if any(r.of_kind("fault") for r in records):
            cases += fault_cases(records, held_faults(logbook, subject, records, notes))
    mine = {r.id for records in wanted.values() for r in records}
    notes += [n for n in of_clocks if any(i in n for i in mine)]
    notes += problems_of(logbook, set(wanted) if vehicle is None else {vehicle})
    return FaultCases(tuple(sorted(cases, key=lambda c: or_last(c.at))), tuple(notes))


def held_faults(logbook: Logbook, subject: str, records: list[Record], notes: list[str]) -> frozenset[str]:
    """The fault entries that still keep a vehicle in quarantine; none for a box, which knows no quarantine.

    Where it cannot be told, a fault counts as released by any release after it, and that is noted.
    """
    from rovlog.usecases.dive_state import dive_state

    if subject in logbook.stems("boxes"):
        return frozenset()
    if subject not in logbook.vehicles():
        notes.append(f"{subject} is no vehicle on file: a fault of it counts as released by any release")
        return frozenset()
    try:
        held = dive_state(logbook, records[-1]).quarantine
    except RovlogError as error:
        notes.append(f"whether {subject} is in quarantine cannot be told: {error.message}")
        return frozenset()
    return frozenset(f.entry for f in held.faults) if held else frozenset()
