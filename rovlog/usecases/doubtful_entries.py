"""What is asked once before an entry that looks like a slip is kept."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import islice
from typing import TYPE_CHECKING, Any

from rovlog.usecases.dive_state import DiveState
from rovlog.usecases.logbook import Logbook, start_order

if TYPE_CHECKING:
    from rovlog.domain.checks.checklist import Item
    from rovlog.domain.checks.limits import Judged
    from rovlog.domain.checks.plausible import Question
    from rovlog.domain.dive import Record

NO_CHANGES = "no-changes"
"""The choice that says nothing was changed in the water."""

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

    record = state.record
    against = _against_record(record, item, typed) + _against_count(state, item, typed)
    if not any(isinstance(v, int | float) and not isinstance(v, bool) for v in typed.values()):
        return against
    factor = float(logbook.settings().policy.get("implausible_factor", FACTOR))
    last = last_readings(item.item, _last_records(logbook, record, with_own=item.witness != "blind"))
    return against + questions_of(item, typed, judged, last, record.id, factor)


def _last_records(logbook: Logbook, record: Record, with_own: bool) -> list[Record]:
    """The vehicle's records up to this one, oldest first, LOOKED_AT at most; this one if `with_own`."""
    began = start_order(record.started)
    newest_first = (
        r
        for r in reversed(logbook.records(record.vehicle))
        if (with_own if r.id == record.id else start_order(r.started) <= began)
    )
    return list(islice(newest_first, LOOKED_AT))[::-1]


def _against_record(record: Record, item: Item, typed: Mapping[str, Any]) -> tuple[Question, ...]:
    """Where an answer says less than the record already holds: a trim forgotten."""
    from rovlog.domain.checks.plausible import Question
    from rovlog.domain.drift.words import trim_words

    if typed.get("choice") == NO_CHANGES:
        trims = record.of_kind("trim")
        if trims:
            last = trims[-1]
            said = ", ".join(trim_words(d, float(v)) for d, v in dict(last.fields.get("trim") or {}).items())
            count = "1 change of trim is" if len(trims) == 1 else f"{len(trims)} changes of trim are"
            text = f"{count} on record, the last {said} by {last.by} at {last.at[11:16]}; were there none?"
            return (Question("choice", text),)
    return ()


def _against_count(state: DiveState, item: Item, typed: Mapping[str, Any]) -> tuple[Question, ...]:
    """Where another number is typed than the record counts: pushes said to be watched, not on record."""
    from rovlog.domain.checks.computed import COUNTED
    from rovlog.domain.checks.plausible import Question

    found = []
    for ask in item.asks:
        name = ask.proposed.computed if ask.proposed is not None else ""
        if name not in COUNTED or ask.value not in typed:
            continue
        held, said = state.computed.get(name) or 0.0, typed[ask.value]
        if said != held:
            text = f"{said:g} typed, {held:g} on record since the last change; were they watched one by one?"
            found.append(Question(ask.value, text))
    return tuple(found)
