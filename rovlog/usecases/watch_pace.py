"""The pace of a record beside the vehicle's last ones: a neutral note for the supervisor."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rovlog.usecases.dive_state import DiveState
from rovlog.usecases.logbook import Logbook, start_order

if TYPE_CHECKING:
    from rovlog.domain.checks.pace import Pace

LOOKED_AT = 20
"""So many of the vehicle's last dives are looked at."""


def pace_of(logbook: Logbook, state: DiveState) -> Pace:
    """How fast this record was answered, what was read alike, and which items never fail."""
    from rovlog.domain.checks.pace import QUICK_S, pace

    record = state.record
    if not record.vehicle:
        from rovlog.domain.checks.pace import Pace

        return Pace()
    quick_s = float(logbook.settings().policy.get("quick_answer_s", QUICK_S))
    peers = logbook.records(record.vehicle)
    began = start_order(record.started)
    earlier = [r for r in peers if start_order(r.started) < began and r.id != record.id]
    return pace(record, earlier[-LOOKED_AT:], state.fold.items, quick_s)
