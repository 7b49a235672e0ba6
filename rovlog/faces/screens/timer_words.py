"""The timers of an item in words, and which one a key starts next."""

from __future__ import annotations

from collections.abc import Sequence

from rovlog.domain.checks.checklist import Item, Timer
from rovlog.domain.checks.timers import RunningTimer

STARTS = ": t starts it"
"""How the words of a timer end that nobody has started."""


def timer_words(item: Item, running: Sequence[RunningTimer], gone_s: float) -> tuple[str, ...]:
    """Each timer of the item in words; `gone_s` is how long ago the running ones were looked at."""
    known = {t.timer: t for t in running if t.item == item.item}
    words = []
    for timer in item.timers:
        name, found = timer.timer.replace("-", " "), known.get(timer.timer)
        if found is None:
            words.append(f"{name}, {clock(timer.duration_s)}{STARTS}")
            continue
        note = f" ({found.note})" if found.note else ""
        if found.left_s is None:
            words.append(f"{name}: cannot be judged{note}")
        elif found.left_s - gone_s > 0:
            words.append(f"{name}: {clock(found.left_s - gone_s)} of {clock(found.duration_s)} left{note}")
        else:
            words.append(
                f"{name}: {clock(found.duration_s)} are over, started {found.started_at[11:19]}{note}"
            )
    return tuple(words)


def next_timer(item: Item, running: Sequence[RunningTimer]) -> Timer | None:
    """The timer that comes after the one started last; the first one before any."""
    if not item.timers:
        return None
    begun = [t.timer for t in running if t.item == item.item]
    names = [t.timer for t in item.timers]
    last = names.index(begun[-1]) if begun and begun[-1] in names else -1
    return item.timers[(last + 1) % len(item.timers)]


def clock(seconds: float) -> str:
    """Minutes and seconds: 2:05."""
    return f"{int(seconds) // 60}:{int(seconds) % 60:02d}"
