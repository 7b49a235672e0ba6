"""Timers started from an item: kept as readings, so that they outlive the program that started them."""

from __future__ import annotations

from collections.abc import Mapping

from rovlog.domain.checks.checklist import Item
from rovlog.domain.checks.elapsed import Instant, elapsed, moment_of
from rovlog.domain.dive import Entry, Record
from rovlog.values import dataclass

TIMER_STARTED = "timer-started"
"""What a reading is called that starts a timer; its values are item, timer, duration_s and run."""


@dataclass(frozen=True, slots=True)
class RunningTimer:
    """One timer of one item. `left_s` is None where the time since its start cannot be told; it is 0
    once the time is over. `note` tells what makes it doubtful, such as a clock that was set."""

    item: str
    timer: str
    duration_s: float
    started_at: str
    by: str
    elapsed_s: float | None
    left_s: float | None
    note: str = ""

    @property
    def is_over(self) -> bool:
        """True once it has run its time."""
        return self.left_s == 0.0


def running_timers(record: Record, items: Mapping[str, Item], now: Instant) -> tuple[RunningTimer, ...]:
    """The timers of a record in the order they were started, also those that are over.

    Starting a timer again replaces it. A timer ends with the answer of its item, and with an event
    that voids that item: what it timed is then no longer so.
    """
    found: dict[tuple[str, str], Entry] = {}
    for entry in record.entries:
        key = _started(entry)
        if key is not None:
            found.pop(key, None)
            found[key] = entry
        else:
            found = {k: e for k, e in found.items() if not _ends(entry, k[0], items)}
    return tuple(_running(key, entry, now) for key, entry in found.items())


def _started(entry: Entry) -> tuple[str, str] | None:
    if entry.kind != "reading" or entry.fields.get("reading") != TIMER_STARTED:
        return None
    values = entry.fields.get("values")
    if not isinstance(values, Mapping) or not isinstance(values.get("duration_s"), int | float):
        return None
    return str(values.get("item", "")), str(values.get("timer", ""))


def _ends(entry: Entry, item: str, items: Mapping[str, Item]) -> bool:
    if entry.kind == "check":
        return entry.fields.get("item") == item
    known = items.get(item)
    return entry.kind == "event" and known is not None and entry.fields.get("event") in known.voided_by


def _running(key: tuple[str, str], entry: Entry, now: Instant) -> RunningTimer:
    values = entry.fields["values"]
    since = elapsed(moment_of(entry, str(values.get("run", ""))), now)
    duration = float(values["duration_s"])
    left = None if since.seconds is None else max(0.0, duration - since.seconds)
    return RunningTimer(*key, duration, entry.at, entry.by, since.seconds, left, since.note)
