"""Timers of an item, kept as readings, so that they go on over a restart and with the lid shut."""

from __future__ import annotations

from datetime import datetime

from rovlog.domain.checks.checklist import Item, Timer
from rovlog.domain.dive import Entry, Record

PREFIX = "timer-"


def started(timer: Timer, record: Record) -> Entry | None:
    """The entry that started this timer last, in this record."""
    rows = [e for e in record.of_kind("reading") if e.fields.get("reading") == PREFIX + timer.timer]
    return rows[-1] if rows else None


def gone_s(entry: Entry, now: str) -> float | None:
    """Seconds since a timer was started, by the wall clock; None where a clock cannot be read."""
    try:
        return (datetime.fromisoformat(now) - datetime.fromisoformat(entry.at)).total_seconds()
    except (ValueError, TypeError):
        return None


def timer_words(item: Item, record: Record, now: str) -> tuple[str, ...]:
    """Each timer of the item in words."""
    words = []
    for timer in item.timers:
        name, entry = timer.timer.replace("-", " "), started(timer, record)
        gone = gone_s(entry, now) if entry else None
        if entry is None or gone is None:
            words.append(f"{name} {_clock(timer.duration_s)}: t starts it")
        elif gone < timer.duration_s:
            words.append(
                f"{name}: {_clock(gone)} of {_clock(timer.duration_s)} gone, started {entry.at[11:19]}"
            )
        else:
            words.append(f"{name}: {_clock(timer.duration_s)} are over, started {entry.at[11:19]}")
    return tuple(words)


def is_running(item: Item, record: Record, now: str) -> bool:
    """True while a timer of the item has not run out."""
    for timer in item.timers:
        entry = started(timer, record)
        gone = gone_s(entry, now) if entry else None
        if gone is not None and gone <= timer.duration_s + 1:
            return True
    return False


def next_timer(item: Item, record: Record) -> Timer | None:
    """The timer that comes after the one started last; the first one before any."""
    if not item.timers:
        return None
    rows = [(started(t, record), t) for t in item.timers]
    begun = [(e.n, t) for e, t in rows if e is not None]
    if not begun:
        return item.timers[0]
    last = max(begun, key=lambda row: row[0])[1]
    return item.timers[(item.timers.index(last) + 1) % len(item.timers)]


def _clock(seconds: float) -> str:
    return f"{int(seconds) // 60}:{int(seconds) % 60:02d}"
