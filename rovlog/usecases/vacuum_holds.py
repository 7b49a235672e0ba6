"""The vacuum holds on a vehicle's records: what a new hold of the same housing is shown beside."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from rovlog.domain.hydrostatics.vacuum import EARLIER_HOLDS
from rovlog.values import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from rovlog.domain.dive import Entry, Record
    from rovlog.usecases.logbook import Logbook

RISE = "corrected_rise"
"""Name under which an answer holds the corrected rise, kPa; a reading has it with its unit, `_kpa`."""


@dataclass(frozen=True, slots=True)
class RecordedHold:
    """One hold as recorded: its corrected rise in kPa, and whether it passed.

    `housing` is "" where the record does not say which housing was held.
    """

    record: str
    at: str
    rise_kpa: float
    has_passed: bool
    housing: str = ""


@dataclass(frozen=True, slots=True)
class EarlierHolds:
    """The last holds of one housing, oldest first, with what is to be said about them."""

    vehicle: str
    housing: str
    holds: tuple[RecordedHold, ...]
    note: str = ""

    @property
    def rises_kpa(self) -> tuple[float, ...]:
        """Corrected rises of those that passed: what this housing usually does."""
        return tuple(h.rise_kpa for h in self.holds if h.has_passed)


def earlier_holds(
    logbook: Logbook, vehicle: str, housing: str | None = None, count: int = EARLIER_HOLDS
) -> EarlierHolds:
    """The last `count` recorded holds of a vehicle's housing.

    Without a housing named it is the vehicle's only one with a vacuum port. Holds that do not say
    which housing they were of count for it where the vehicle has only one such housing.

    Raises:
        UsageError: no such vehicle or housing, or several with a port and none named.
    """
    ports = _ports(logbook, vehicle)
    which = _chosen(vehicle, ports, housing)
    is_only = len(ports) <= 1
    found = [
        h
        for h in recorded_holds(logbook.records(vehicle))
        if h.housing == which or (is_only and not h.housing)
    ]
    note = "" if found else f"no hold of {which or vehicle} is on record yet"
    return EarlierHolds(vehicle, which, tuple(found[-count:]), note)


def recorded_holds(records: Iterable[Record]) -> Iterator[RecordedHold]:
    """Every hold on some records, in their order."""
    for record in records:
        for entry in record.of_kind("check", "reading"):
            values = dict(entry.fields.get("values") or {})
            rise = values.get(RISE, values.get(f"{RISE}_kpa"))
            if isinstance(rise, int | float) and not isinstance(rise, bool):
                passed = entry.fields.get("outcome", "pass") == "pass"
                yield RecordedHold(record.id, entry.at, float(rise), passed, _housing(entry, values))


def _housing(entry: Entry, values: Mapping[str, Any]) -> str:
    return str(entry.fields.get("part") or values.get("housing") or "")


def _ports(logbook: Logbook, vehicle: str) -> dict[str, bool]:
    """The vehicle's housings that have a vacuum port, of all where none says so."""
    rows = {str(h["housing"]): bool(h.get("vacuum_port")) for h in logbook.vehicle(vehicle)["housings"]}
    return {h: has for h, has in rows.items() if has} or rows


def _chosen(vehicle: str, ports: Mapping[str, bool], housing: str | None) -> str:
    from rovlog.domain.nearest import nearest_mend
    from rovlog.problems import UsageError

    if housing is not None:
        if housing not in ports:
            raise UsageError(
                f"{vehicle} has no housing {housing!r} with a vacuum port",
                nearest_mend(housing, list(ports), f"it has {', '.join(ports) or 'none'}"),
            )
        return housing
    if len(ports) > 1:
        raise UsageError(
            f"{vehicle} has {len(ports)} housings that could be held", f"add --housing: {', '.join(ports)}"
        )
    return next(iter(ports), "")
