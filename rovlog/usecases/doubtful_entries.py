"""What is asked once before an entry that looks like a slip is kept."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from rovlog.usecases.dive_state import DiveState
from rovlog.usecases.logbook import Logbook, start_order

if TYPE_CHECKING:
    from rovlog.domain.checks.checklist import Item
    from rovlog.domain.checks.limits import Judged
    from rovlog.domain.checks.plausible import Question

LOOKED_AT = 30
"""So many of the vehicle's last records are searched for the last three readings of a value."""


def questions_about(
    logbook: Logbook,
    state: DiveState,
    item: Item,
    typed: Mapping[str, Any],
    judged: Sequence[Judged],
) -> tuple[Question, ...]:
    """The questions about the typed values of one answer; () where they look like readings.

    Where the second person must not see the first one's answer, readings of this record are left out.
    """
    from rovlog.domain.checks.plausible import FACTOR, last_readings, questions_of

    if not any(isinstance(v, int | float) and not isinstance(v, bool) for v in typed.values()):
        return ()
    record = state.record
    began = start_order(record.started)
    peers = logbook.records(record.vehicle)
    mine = [r for r in peers if start_order(r.started) <= began or r.id == record.id]
    if item.witness == "blind":
        mine = [r for r in mine if r.id != record.id]
    factor = float(logbook.settings().policy.get("implausible_factor", FACTOR))
    last = last_readings(item.item, mine[-LOOKED_AT:])
    return questions_of(item, typed, judged, last, record.id, factor)
