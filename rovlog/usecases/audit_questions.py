"""The audit's questions: which dives flew with it, what changed between two dives, what was last good."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from rovlog.problems import UsageError
from rovlog.usecases.audit_history import VehicleHistory, vehicle_history
from rovlog.usecases.check_pointer import check_pointer
from rovlog.usecases.logbook import Logbook
from rovlog.values import dataclass

if TYPE_CHECKING:
    from rovlog.domain.audit.between import Between
    from rovlog.domain.audit.history import FieldValue, FlownValue
    from rovlog.domain.audit.known_good import LastKnownGood


@dataclass(frozen=True, slots=True)
class KnownGood:
    """The last dive on which a function worked, and all that differs from it to the faulty one."""

    history: VehicleHistory
    good: LastKnownGood | None
    since: Between | None


def dives_that_flew(
    logbook: Logbook,
    vehicle: str,
    pointer: str,
    value: str | float | bool | None = None,
    notes: list[str] | None = None,
) -> tuple[FlownValue, ...]:
    """Which dives flew with a value at a pointer (any known value where `value` is None).

    What could not be used, or not as it stands, is added to `notes`.

    A value typed as text matches text as it stands and numbers by what it reads as: firmware "1.5"
    and a trim of 0.10 are both found by what a person types.
    """
    from rovlog.domain.audit.history import flown

    history = vehicle_history(logbook, vehicle, with_changes=False)
    check_pointer(logbook, pointer, history)
    if notes is not None:
        notes += history.notes
    flights = history.flights
    rows = flown(flights, pointer, value)
    number = as_number(value) if isinstance(value, str) else None
    if number is not None:
        seen = {r.dive for r in rows}
        rows += tuple(r for r in flown(flights, pointer, number) if r.dive not in seen)
        rows = tuple(sorted(rows, key=lambda r: r.number))
    return rows


def as_number(text: str) -> float | None:
    """The number a text reads as, decimal comma or point; None where it is none."""
    try:
        return float(text.replace(",", "."))
    except ValueError:
        return None


def between_dives(logbook: Logbook, first: str, second: str) -> Between:
    """Two dives of one vehicle side by side, with what happened between them."""
    return history_between(logbook, first, second, with_changes=False)[1]


def history_between(
    logbook: Logbook, first: str, second: str, *, with_changes: bool = True
) -> tuple[VehicleHistory, Between]:
    """As `between_dives`, with the history of the vehicle, its former names included."""
    from rovlog.domain.audit.between import between

    one, other = logbook.record(first), logbook.record(second)
    for record in (one, other):
        if record.kind != "dive":
            raise UsageError(f"{record.id} is work, not a dive", "name two dives")
    history = vehicle_history(logbook, other.vehicle, with_changes=with_changes)
    if one.vehicle not in history.names:
        history = vehicle_history(logbook, one.vehicle, with_changes=with_changes)
    if other.vehicle not in history.names or one.vehicle not in history.names:
        raise UsageError(
            f"{first} is of {one.vehicle} and {second} of {other.vehicle}",
            "compare their configurations instead: rovlog vehicle compare " + f"{first} {second}",
        )
    found = between(history.flights, first, second)
    if found is None:
        raise UsageError(
            "one of the dives is not counted", "it is said to be the same as another: name that one"
        )
    return history, found


def last_good(
    logbook: Logbook, vehicle: str, symptom: str | None = None, *, with_changes: bool = True
) -> KnownGood:
    """The last dive that was good before a symptom's first fault, and everything changed since.

    Without `with_changes` git is not asked who wrote what; what changed is found all the same.
    """
    from rovlog.domain.audit.between import between
    from rovlog.domain.audit.evidence import evidence_from
    from rovlog.domain.audit.known_good import last_known_good

    history = vehicle_history(logbook, vehicle, with_changes=with_changes)
    evidence = evidence_from(history.records, symptom, _agrees(logbook))
    good = last_known_good(history.flights, symptom, evidence)
    if symptom is not None and good is None:
        known = sorted({f.symptom for flight in history.flights.flights for f in flight.faults})
        raise UsageError(
            f"no fault {symptom!r} is on record for {vehicle}",
            "on record are: " + ", ".join(known) if known else "no fault at all is on record",
        )
    since = None
    if good is not None and good.dive and good.fault_dive:
        since = between(history.flights, good.dive, good.fault_dive)
    return KnownGood(history, good, since)


def follow_field(
    logbook: Logbook, vehicle: str, pointer: str, notes: list[str] | None = None
) -> tuple[FieldValue, ...]:
    """Every value a field has had: since when written, approved, and really in the water.

    What could not be used, or not as it stands, is added to `notes`.
    """
    from rovlog.domain.audit.history import field_history

    history = vehicle_history(logbook, vehicle)
    check_pointer(logbook, pointer, history)
    if notes is not None:
        notes += history.notes
    return field_history(history.flights, pointer, history.changes, history.approvals)


def _agrees(logbook: Logbook) -> Any:
    """Whether an observation shows what the dive's configuration predicts."""

    from rovlog.usecases.predict_push import Predictions

    return Predictions(logbook).agrees
