"""Listing vehicles with what is in force, and the revisions of one."""

from __future__ import annotations

from rovlog.problems import RovlogError
from rovlog.usecases.approvals import Approval, InForce
from rovlog.usecases.configurations import working
from rovlog.usecases.list_dives import list_dives
from rovlog.usecases.logbook import Logbook
from rovlog.usecases.whereabouts import Loan, loans
from rovlog.values import dataclass


@dataclass(frozen=True, slots=True)
class ListedVehicle:
    """One vehicle: `departs` tells whether the working files differ from the baseline, None if unknown;
    `loan` who has it, None where it is with the team."""

    vehicle: str
    name: str
    in_force: InForce
    departs: bool | None
    open_dives: tuple[str, ...]
    problem: str = ""
    loan: Loan | None = None


def list_vehicles(logbook: Logbook) -> list[ListedVehicle]:
    """Every vehicle; one whose file is broken is listed with its problem."""
    open_records: dict[str, list[str]] = {}
    for listed in reversed(list_dives(logbook, "dive")):
        if not listed.is_closed:
            open_records.setdefault(listed.subject, []).append(listed.id)
    loan_of = loans(logbook)
    rows = []
    for vehicle in logbook.vehicles():
        try:
            force = logbook.in_force(vehicle)
            now = working(logbook, vehicle)
            name = str(logbook.vehicle(vehicle).get("name", vehicle))
            departs = force.approval.digest != now.digest if force.approval else None
            dives = tuple(open_records.get(vehicle, []))
            rows.append(ListedVehicle(vehicle, name, force, departs, dives, loan=loan_of(vehicle)))
        except RovlogError as error:
            rows.append(ListedVehicle(vehicle, vehicle, InForce(None, "its files cannot be read"), None,
                                      tuple(open_records.get(vehicle, [])), error.message))  # fmt: skip
    return rows


def list_revisions(logbook: Logbook, vehicle: str) -> tuple[Approval, ...]:
    """All approvals of a vehicle, newest first."""
    if vehicle not in logbook.vehicles() and not logbook.book.files.names(f"approvals/{vehicle}"):
        logbook.vehicle(vehicle)
    return logbook.approvals(vehicle)[::-1]
