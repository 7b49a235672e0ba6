"""The same symptom elsewhere, with the same part, box, firmware or setup, and whether what was done held."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rovlog.problems import RovlogError, UsageError
from rovlog.usecases.audit_history import vehicle_history
from rovlog.usecases.fault_cases import list_faults
from rovlog.usecases.logbook import Logbook
from rovlog.values import dataclass

if TYPE_CHECKING:
    from rovlog.domain.audit.recurrence import Recurrence


@dataclass(frozen=True, slots=True)
class Recurred:
    """The recurrence of a symptom; `notes` names what could not be used, or not as it stands."""

    vehicle: str
    found: Recurrence
    notes: tuple[str, ...]


def find_recurrence(logbook: Logbook, vehicle: str, symptom: str, record: str = "") -> Recurred:
    """Look for a vehicle's symptom in every record of the team, beside its last fault or that of `record`.

    Raises UsageError where the vehicle never had it, or is not known.
    """
    from rovlog.domain.audit.recurrence import recurrence, traits_of
    from rovlog.usecases.part_history import parts_named

    own = vehicle_history(logbook, vehicle, with_changes=False)
    books, notes = {vehicle: own.flights}, list(own.notes)
    for other in sorted({r.vehicle for r in logbook.records() if r.vehicle} - own.names):
        try:
            history = vehicle_history(logbook, other, with_changes=False)
        except RovlogError as error:
            notes.append(f"the dives of {other} could not be used: {error.message}")
            continue
        books[other] = history.flights
        notes += [n for n in history.notes if n not in notes]
    traits = {
        flight.dive: traits_of(flight, parts_named(flight.as_flown.resolved or {}))
        for book in books.values()
        for flight in book.flights
    }
    listed = list_faults(logbook)
    found = recurrence(symptom, vehicle, books, traits, listed.cases, record)
    if found is None:
        known = sorted({f.symptom for flight in own.flights.flights for f in flight.faults})
        raise UsageError(
            f"no fault {symptom!r} is on record for {vehicle}",
            "on record are: " + ", ".join(known) if known else "no fault at all is on record",
        )
    return Recurred(vehicle, found, tuple(dict.fromkeys([*notes, *listed.notes])))
