"""Running time: from power on to power off, as a record's marks tell it."""

from __future__ import annotations

from dataclasses import dataclass

from rovlog.domain.audit.times import instant_s
from rovlog.domain.dive import Entry, Record


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

    The steady clock of one program counts where both ends were written by it; else the wall clock. A
    clock that went back gives 0, never a negative time.
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
    """Seconds from one entry to a later one, never negative."""
    wall = 0.0
    begun, ended = instant_s(first.at), instant_s(second.at)
    if begun is not None and ended is not None:
        wall = max(0.0, ended - begun)
    is_memory = "memory" in (first.fields.get("clock"), second.fields.get("clock"))
    is_one_run = first.writer == second.writer and second.mono_s > first.mono_s
    steady = second.mono_s - first.mono_s if is_one_run and not is_memory else 0.0
    # A program started in between counts from 0 again: then only the wall clock knows.
    return steady if is_one_run and abs(steady - wall) < 3600.0 and steady > 0.5 * wall else wall
