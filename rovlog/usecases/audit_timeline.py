"""The timeline of a vehicle: dives, work, faults, changes and approvals, interleaved."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from rovlog.usecases.audit_history import VehicleHistory, vehicle_history
from rovlog.usecases.logbook import Logbook

if TYPE_CHECKING:
    from rovlog.domain.audit.timeline import Moment


def vehicle_timeline(
    logbook: Logbook, vehicle: str, since: str = "", until: str = "", kinds: Sequence[str] = ()
) -> tuple[Moment, ...]:
    """Everything that happened to a vehicle, oldest first; `since` and `until` are days or times."""
    from rovlog.usecases.times import checked_time

    for edge in (since, until):
        if edge:
            checked_time(edge + "T00:00:00Z" if len(edge) == 10 else edge)
    return timeline_of(vehicle_history(logbook, vehicle), since, until, kinds)


def timeline_of(
    history: VehicleHistory, since: str = "", until: str = "", kinds: Sequence[str] = ()
) -> tuple[Moment, ...]:
    """As `vehicle_timeline`, of a history at hand."""
    from rovlog.domain.audit.timeline import timeline

    records = list(history.records.values())
    return timeline(records, history.changes, history.approvals, since=since, until=until, kinds=kinds)
