"""How long ago an entry was written: by the program's own seconds in the same run, else by the wall clock."""

from __future__ import annotations

from datetime import datetime

from rovlog.domain.checks.validity import instant
from rovlog.domain.dive import Entry
from rovlog.values import dataclass

CLOCK_STEP_S = 3.0
"""Wall clock and the program's own seconds may part by this much before it is told: rounding of both,
and a clock that is being steered (project default)."""


@dataclass(frozen=True, slots=True)
class Instant:
    """A moment as a laptop knows it: wall clock (None where it cannot be read), the program's own
    seconds, which laptop, and which run of the program ("" where that is not known)."""

    at: datetime | None
    mono_s: float
    writer: str
    run: str = ""


@dataclass(frozen=True, slots=True)
class Elapsed:
    """Seconds between two moments, None where they cannot be told. `note` tells what makes them doubtful.

    `is_same_run`: both lie in one run of one program, whose own seconds a clock that is set cannot move.
    """

    seconds: float | None
    is_same_run: bool
    note: str = ""


def moment_of(entry: Entry, run: str = "") -> Instant:
    """When an entry was written; `run` where the entry says in which run of the program."""
    return Instant(instant(entry.at), entry.mono_s, entry.writer, run)


def elapsed(start: Instant, end: Instant) -> Elapsed:
    """How long from start to end.

    In one run of one program its own seconds count, and a clock that was set meanwhile is told. Where
    the run is not known, two moments whose own seconds and wall clock agree lie in one run. All else
    only the wall clock can tell.
    """
    own = end.mono_s - start.mono_s
    is_known = bool(start.run) and bool(end.run) and start.writer == end.writer
    is_same = is_known and start.run == end.run and own >= 0
    if start.at is None or end.at is None:
        return Elapsed(own if is_same else None, is_same, "the time on the clock cannot be read")
    wall = (end.at - start.at).total_seconds()
    if start.writer != end.writer:
        return _by_wall(wall, "by the clocks of two laptops")
    agrees = own >= 0 and abs(wall - own) <= CLOCK_STEP_S
    if is_same and not agrees:
        way, by = ("forward", wall - own) if wall > own else ("back", own - wall)
        return Elapsed(own, True, f"the clock was set {way} by {by:.0f} s meanwhile; that is left out")
    if is_same or (agrees and not is_known):
        return Elapsed(own, True)
    return _by_wall(wall, "by the clock alone: the program was started again meanwhile")


def _by_wall(wall: float, note: str) -> Elapsed:
    if wall < -CLOCK_STEP_S:
        return Elapsed(None, False, "the clock went back since")
    return Elapsed(max(0.0, wall), False, note)
