"""Dry running, counted in one place: bursts in air, the rest between them, and a day's seconds."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence

from rovlog.domain.checks.elapsed import Instant, elapsed, moment_of
from rovlog.domain.checks.validity import instant
from rovlog.domain.diagnosis.dry_limits import DryLimits, percent
from rovlog.domain.dive import Entry, Record
from rovlog.values import dataclass

BURST_CALLED = "burst-called"
"""What a reading is called that begins a burst once "clear" was called; its values are push, medium,
duration_s and run. The observation of the same push that follows is what was seen of it."""

BARELY = 1e-9


@dataclass(frozen=True, slots=True)
class Burst:
    """One burst in air: the entry that tells of it, how long it counts, seconds, and in which run.

    An entry that called it stands at its beginning; an observation nobody called a burst for, at its end.
    """

    entry: Entry
    seconds: float
    is_called: bool
    run: str = ""

    @property
    def after_entry_s(self) -> float:
        """Seconds of the burst that lie after its entry."""
        return self.seconds if self.is_called else 0.0


@dataclass(frozen=True, slots=True)
class DryRunning:
    """A vehicle's dry running now: bursts of this day, seconds used and left, seconds until the next one.

    `wait_s` is 0 once the rest is over. `note` tells what makes the rest doubtful, such as a clock that
    was set.
    """

    limits: DryLimits
    bursts: int
    used_s: float
    wait_s: float
    note: str = ""

    @property
    def left_s(self) -> float:
        """Seconds of the day's running that are left."""
        return max(0.0, self.limits.day_s - self.used_s)

    @property
    def is_spent(self) -> bool:
        """True where not one more burst fits into the day."""
        return self.used_s + self.limits.burst_s > self.limits.day_s + BARELY

    def refusal(self, greatest_command: float = 0.0) -> str:
        """Why a burst with this greatest thruster command may not begin now, or "" where it may."""
        if greatest_command > self.limits.command_share + BARELY:
            return (
                f"it gives a thruster {percent(greatest_command)} of command; in air at most "
                f"{percent(self.limits.command_share)}"
            )
        if self.is_spent:
            return (
                f"{self.used_s:g} of {self.limits.day_s:g} s of dry running are used today: "
                "go on tomorrow, or in water"
            )
        if self.wait_s > 0.0:
            return f"the rest of {self.limits.rest_s:g} s is not over: wait {math.ceil(self.wait_s)} s"
        return ""

    def excesses(self, greatest_command: float | None, *, is_called: bool) -> tuple[str, ...]:
        """By what a burst that has been made went beyond the limits; () where it kept them.

        What was seen is a fact and is kept either way. `is_called`: its rest and its seconds were looked
        at when "clear" was called.
        """
        found = []
        limits = self.limits
        if greatest_command is not None and greatest_command > limits.command_share + BARELY:
            most = percent(limits.command_share)
            found.append(f"a thruster at {percent(greatest_command)} of command in air, at most {most}")
        if not is_called and self.is_spent:
            total = self.used_s + limits.burst_s
            found.append(f"{total:g} s of dry running today, at most {limits.day_s:g} s")
        if not is_called and self.wait_s > 0.0:
            rested = max(0.0, limits.rest_s - self.wait_s)
            found.append(f"{rested:.0f} s after the last burst, a rest of {limits.rest_s:g} s is asked for")
        return tuple(found)


def dry_running(records: Sequence[Record], now: Instant, limits: DryLimits) -> DryRunning:
    """One vehicle's dry running at a moment, over all its records of that day; pass every one of them."""
    today = [b for r in records for b in bursts_of(r, limits) if _is_today(b.entry, now)]
    wait_s, note = 0.0, ""
    for burst in today:
        since = elapsed(moment_of(burst.entry, burst.run), now)
        if since.seconds is None:
            note = since.note
            continue
        left = burst.after_entry_s + limits.rest_s - since.seconds
        if left > wait_s:
            wait_s, note = left, since.note
    return DryRunning(limits, len(today), sum(b.seconds for b in today), wait_s, note)


def bursts_of(record: Record, limits: DryLimits) -> Iterator[Burst]:
    """The bursts in air of a record, in order. An observation belongs to the burst called before it."""
    called: tuple[str, ...] | None = None
    for entry in record.entries:
        burst = burst_called(entry)
        if burst is not None:
            called = (push_text(burst), str(entry.fields["values"].get("medium", "")))
            if called[1] == "dry":
                values = entry.fields["values"]
                seconds = values.get("duration_s")
                length = float(seconds) if _is_number(seconds) else limits.burst_s
                yield Burst(entry, length, True, str(values.get("run", "")))
        elif entry.kind == "observation":
            mine = (push_text(entry.fields.get("push") or {}), str(entry.fields.get("medium", "wet")))
            if mine[1] == "dry" and mine != called:
                yield Burst(entry, limits.burst_s, False)
            called = None


def pending_burst(record: Record) -> Entry | None:
    """The burst that was called last and of which nothing is recorded yet; None where there is none."""
    found: Entry | None = None
    for entry in record.entries:
        if burst_called(entry) is not None:
            found = entry
        elif entry.kind == "observation":
            found = None
    return found


def burst_called(entry: Entry) -> dict[str, float] | None:
    """The push of an entry that calls a burst; None for any other entry."""
    if entry.kind != "reading" or entry.fields.get("reading") != BURST_CALLED:
        return None
    values = entry.fields.get("values")
    return read_push(str(values.get("push", ""))) if isinstance(values, Mapping) else None


def push_text(push: Mapping[str, float]) -> str:
    """A push in one line: "left-stick-y=-0.3 right-stick-x=0.2", controls at rest left out."""
    return " ".join(f"{control}={position:g}" for control, position in sorted(push.items()) if position)


def read_push(text: str) -> dict[str, float] | None:
    """The push of such a line; None where it is none."""
    found = {}
    for word in text.split():
        control, equals, position = word.partition("=")
        try:
            found[control] = float(position)
        except ValueError:
            return None
        if not equals or not math.isfinite(found[control]):
            return None
    return found or None


def _is_today(entry: Entry, now: Instant) -> bool:
    """True for an entry of the calendar day of `now`, in the offset of `now`."""
    at = instant(entry.at)
    return at is not None and now.at is not None and at.astimezone(now.at.tzinfo).date() == now.at.date()


def _is_number(value: object) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool) and value > 0
