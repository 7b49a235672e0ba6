"""Running time: from power on to power off, as a record's marks tell it."""

from __future__ import annotations

from rovlog.domain.audit.times import instant_s
from rovlog.domain.dive import Entry, Record
from rovlog.values import dataclass

LONGEST_S = 24 * 3600.0
"""No stretch under power is longer, s (project default): a battery lasts minutes to hours, a supply at the
bench a working day. Beyond that a mark is wrong or was forgotten, unless somebody said that it is right."""


@dataclass(frozen=True, slots=True)
class Powered:
    """One stretch under power: where in the record's order it began and ended, and how long it was, s.

    `is_open`: nobody marked its end, and the record's last entry stands for it. `not_counted` says why
    its length is not known ("" where it is): then the length is 0.
    """

    first: int
    last: int
    duration_s: float
    is_open: bool = False
    not_counted: str = ""


def powered(record: Record) -> tuple[Powered, ...]:
    """The stretches under power of a dive or work, in order.

    A clock that went back never gives a negative time; see `seconds_between`. A stretch whose marks are
    out of order, or further apart than anybody believes, is there and counts for nothing.
    """
    found: list[Powered] = []
    on: int | None = None
    for place, entry in enumerate(record.entries):
        mark = entry.fields.get("mark") if entry.kind == "mark" else None
        if mark == "power-on" and on is None:
            on = place
        elif mark == "power-off" and on is not None:
            found.append(_stretch(record, on, place, False))
            on = None
    if on is not None:
        found.append(_stretch(record, on, len(record.entries) - 1, True))
    return tuple(found)


def not_counted(record: Record) -> tuple[str, ...]:
    """A sentence for each stretch of the record that no hours count."""
    return tuple(s.not_counted for s in powered(record) if s.not_counted)


def _stretch(record: Record, first: int, last: int, is_open: bool) -> Powered:
    on, off = record.entries[first], record.entries[last]
    seconds = seconds_between(on, off)
    begun, ended = instant_s(on.at), instant_s(off.at)
    end = "the last entry" if is_open else "power off"
    between = f"from power on at {_shown(on.at)} to {end} at {_shown(off.at)}"
    why = ""
    if first != last and seconds == 0.0 and begun is not None and ended is not None and ended < begun:
        why = f"the time {between} is not counted: it runs backwards"
    elif seconds > LONGEST_S and not off.fields.get("confirmed"):
        why = f"the time {between} is not counted: {seconds / 3600.0:.0f} h under power is not plausible"
    return Powered(first, last, 0.0 if why else seconds, is_open, why)


def _shown(at: str) -> str:
    return at[:16].replace("T", " ")


def running_s(record: Record, start: int = 0, end: int | None = None) -> float:
    """Seconds under power between two places in the record's order, whole stretches cut at the ends."""
    stop = len(record.entries) - 1 if end is None else end
    total = 0.0
    for stretch in powered(record):
        first, last = max(stretch.first, start), min(stretch.last, stop)
        if first >= last or stretch.not_counted:
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
