"""Where a vehicle and its box are: lent to another team, or the one box in two open dives."""

from __future__ import annotations

from collections.abc import Callable

from rovlog.domain.dive import Record
from rovlog.domain.findings import Finding
from rovlog.problems import RovlogError
from rovlog.usecases.list_dives import ListedRecord, list_dives
from rovlog.usecases.logbook import Logbook
from rovlog.values import dataclass

LENT = "lent to "
"""How the purpose of work begins that keeps a vehicle with another team."""


@dataclass(frozen=True, slots=True)
class Loan:
    """A vehicle with another team: to whom, since when (RFC 3339), and the work record that says so."""

    vehicle: str
    to: str
    since: str
    record: Record

    @property
    def words(self) -> str:
        """`lent to the harbour school since 2026-06-01`."""
        return f"{LENT}{self.to} since {self.since[:10]}"


def loan_of(logbook: Logbook, vehicle: str) -> Loan | None:
    """Who has the vehicle, or None where it is with the team."""
    return _loan_in(logbook, vehicle, list_dives(logbook, "work", vehicle))


def loans(logbook: Logbook) -> Callable[[str], Loan | None]:
    """What tells for each vehicle who has it; the work is looked through once for all of them."""
    rows = list_dives(logbook, "work")
    return lambda vehicle: _loan_in(logbook, vehicle, [r for r in rows if r.subject == vehicle])


def _loan_in(logbook: Logbook, vehicle: str, rows: list[ListedRecord]) -> Loan | None:
    for listed in rows:
        purpose = _lent_to(listed.where)
        if purpose and not listed.is_closed:
            record = logbook.record(listed.id)
            return Loan(vehicle, purpose, record.started, record)
    return None


def loan_purpose(record: Record) -> str:
    """To whom a work record lends its vehicle, "" where it is other work."""
    start = next(iter(record.of_kind("start")), None)
    return _lent_to(str(start.fields.get("purpose", ""))) if start else ""


def _lent_to(purpose: str) -> str:
    return purpose[len(LENT) :].strip() if purpose.casefold().startswith(LENT) else ""


def place_findings(logbook: Logbook, record: Record, box: str) -> tuple[Finding, ...]:
    """What stops an open dive because vehicle or box are elsewhere; nothing for a closed one."""
    if record.kind != "dive" or record.is_closed:
        return ()
    found = [_box_finding(box, other) for other in dives_with_box(logbook, record, box)]
    # The record in hand is a dive, so that only the others can lend its vehicle.
    loan = logbook.of_others(("loan", record.vehicle), record.id, lambda: loan_of(logbook, record.vehicle))
    if loan is not None:
        found.append(
            Finding(
                "vehicle-lent",
                "stops",
                f"{record.vehicle} is {loan.words}",
                clears=f"rovlog work return {record.vehicle}, which asks for what must be checked again",
            )
        )
    return tuple(found)


def dives_with_box(logbook: Logbook, record: Record, box: str) -> tuple[Record, ...]:
    """Open dives of other vehicles whose file names the same surface box."""
    others = _others_with_box(logbook, record, box)

    def of_others() -> tuple[Record, ...]:
        dives = [r for other in others for r in logbook.records(other, ("dive",))]
        return tuple(r for r in dives if not r.is_closed and r.id != record.id)

    return logbook.of_others(("box in dives", others), record.id, of_others)


def _others_with_box(logbook: Logbook, record: Record, box: str) -> tuple[str, ...]:
    found: list[str] = []
    for other in logbook.vehicles():
        if other == record.vehicle:
            continue
        try:
            has_box = logbook.vehicle(other).get("control_box", {}).get("box") == box
        except RovlogError:
            # Its file is broken and says nothing about its box: `validate` says how to mend it.
            continue
        if has_box:
            found.append(other)
    return tuple(found)


def _box_finding(box: str, other: Record) -> Finding:
    return Finding(
        f"box-in-{other.id}",
        "stops",
        f"the surface box {box} is in another open dive as well: {other.id} of {other.vehicle}",
        clears=f"close that dive (rovlog dive close {other.id}), or correct the box in one vehicle's file",
    )
