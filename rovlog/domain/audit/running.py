"""Running time: from power on to power off, as a record's marks tell it."""

from __future__ import annotations

from rovlog.domain.audit.times import instant_s
from rovlog.domain.dive import Entry, Record
from rovlog.values import dataclass


@dataclass(frozen=True, slots=True)
class Powered:
    """One stretch under power: where in the record's order it began and ended, and how long it was, s.

    `is_open`: nobody marked its end, and the record's last entry stands for it.
    """

    first: int
    last: int
    duration_s: float
    is_open: bool = False


def powered(record: Record) -> tuple[Powered, ...]:
    """The stretches under power of a dive or work, in order.

    A clock that went back never gives a negative time; see `seconds_between`.
    """
    found: list[Powered] = []
    on: int | None = None
    for place, entry in enumerate(record.entries):
        mark = entry.fields.get("mark") if entry.kind == "mark" else None
        if mark == "power-on" and on is None:
            on = place
        elif mark == "power-off" and on is not None:
            found.append(Powered(on, place, seconds_between(record.entries[on], entry)))
            on = None
    if on is not None:
        last = len(record.entries) - 1
        found.append(Powered(on, last, seconds_between(record.entries[on], record.entries[last]), True))
    return tuple(found)


def running_s(record: Record, start: int = 0, end: int | None = None) -> float:
    """Seconds under power between two places in the record's order, whole stretches cut at the ends."""
    stop = len(record.entries) - 1 if end is None else end
    total = 0.0
    for stretch in powered(record):
        first, last = max(stretch.first, start), min(stretch.last, stop)
        if first >= last:
            continue
        if (first, last) == (stretch.first, stretch.last):
            total += stretch.duration_s
        else:
            total += seconds_between(record.entries[first], record.entries[last])
    return total


def seconds_between(first: Entry, second: Entry) -> float:
    """Seconds from one entry to a later one, never negative.

    The wall clock counts, since on the command line each entry is written by a program of its own and
    the steady clock begins anew. Where the wall clock went back, the steady clock of one program is used.
    """
    begun, ended = instant_s(first.at), instant_s(second.at)
    if begun is not None and ended is not None and ended >= begun:
        return ended - begun
    is_one_run = first.writer == second.writer and second.mono_s > first.mono_s
    return second.mono_s - first.mono_s if is_one_run else 0.0
