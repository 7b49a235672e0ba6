"""The entries of one vehicle's dives and work in one order, which no jump of a wall clock can turn round."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from datetime import UTC, datetime

from rovlog.domain.checks.validity import instant
from rovlog.domain.dive import Entry, Record
from rovlog.values import dataclass


@dataclass(frozen=True, slots=True)
class Moment:
    """One entry in the order of what happened. `at` is its wall clock, None where it cannot be read."""

    entry: Entry
    record: str
    record_kind: str
    at: datetime | None


def in_order(records: Sequence[Record]) -> list[Moment]:
    """All entries of the records, which are given in the order they were started.

    Inside a record the order is the record's own. Records that overlap in time are interleaved by
    the wall clock, after entries whose clock jumped have been given the time of the one before;
    a record that claims to start before the one that was started before it goes after all earlier ones.
    """
    keyed: list[tuple[float, int, int, Moment]] = []
    latest_start = latest_end = float("-inf")
    for number, record in enumerate(records):
        moments = [Moment(e, record.id, record.kind, instant(e.at)) for e in record.entries]
        if not moments:
            continue
        steady = steady_times([m.at for m in moments])
        shift = max(0.0, latest_end - steady[0]) if steady[0] < latest_start else 0.0
        steady = [s + shift for s in steady]
        keyed += [(s, number, i, m) for i, (s, m) in enumerate(zip(steady, moments, strict=True))]
        latest_start = max(latest_start, steady[0])
        latest_end = max(latest_end, steady[-1])
    keyed.sort(key=lambda k: k[:3])
    return [moment for *_, moment in keyed]


def steady_times(times: Sequence[datetime | None]) -> list[float]:
    """Seconds for each time, never falling: times outside the longest rising run take the one before.

    A time that cannot be read takes the one before as well; the first ones take the first that counts.
    """
    seconds = [t.astimezone(UTC).timestamp() if t is not None else None for t in times]
    trusted = _longest_rising(seconds)
    first = next((seconds[i] for i in sorted(trusted)), 0.0) or 0.0
    steady, last = [], first
    for number, value in enumerate(seconds):
        if number in trusted and value is not None:
            last = value
        steady.append(last)
    return steady


def _longest_rising(seconds: Sequence[float | None]) -> set[int]:
    """Indices of one longest run that never falls (patience sorting)."""
    tails: list[float] = []
    tops: list[int] = []
    before: dict[int, int] = {}
    for number, value in enumerate(seconds):
        if value is None:
            continue
        pile = bisect_right(tails, value)
        if pile == len(tails):
            tails.append(value)
            tops.append(number)
        else:
            tails[pile], tops[pile] = value, number
        if pile:
            before[number] = tops[pile - 1]
    chosen: set[int] = set()
    here: int | None = tops[-1] if tops else None
    while here is not None:
        chosen.add(here)
        here = before.get(here)
    return chosen
