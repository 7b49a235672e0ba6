"""Timers started from an item: kept in the record, so that a restart or a closed lid does not lose them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rovlog.domain.dive import Record
from rovlog.problems import UsageError
from rovlog.usecases.dive_state import DiveState, dive_state
from rovlog.usecases.logbook import Logbook
from rovlog.usecases.one_line import require_word
from rovlog.usecases.recording import Written, append
from rovlog.usecases.times import instant

if TYPE_CHECKING:
    from rovlog.domain.checks.checklist import Item, Timer
    from rovlog.domain.checks.timers import RunningTimer

POLICY = {"settle": "vacuum_settle_s", "vacuum-hold": "vacuum_hold_s"}
"""Timers whose length the team's policy may set, and by which of its numbers."""


def start_timer(
    logbook: Logbook,
    record: Record,
    name: str,
    timer: str | None = None,
    *,
    by: str,
    at: str | None = None,
    state: DiveState | None = None,
) -> Written:
    """Start a timer of an item; started again, it begins anew. `timer` may be left out where there is one.

    Raises UsageError for an item without timers, and past a hold point that is not released.
    """
    from rovlog.domain.checks.timers import TIMER_STARTED
    from rovlog.usecases.find_item import find_item, refuse_held

    now = state or dive_state(logbook, record)
    item = find_item(now, name)
    chosen = _timer(item, timer)
    refuse_held(now, item)
    values = {
        "item": item.item,
        "timer": chosen.timer,
        "duration_s": duration_s(logbook, chosen),
        "run": logbook.book.run or None,
    }
    fields = {
        "reading": TIMER_STARTED,
        "values": {k: v for k, v in values.items() if v is not None},
        "source": "seen",
    }
    return append(logbook, record, "reading", by, fields, at=at)


def timers_of(logbook: Logbook, state: DiveState) -> tuple[RunningTimer, ...]:
    """The timers of a record that run or are over and whose item is not answered since."""
    from rovlog.domain.checks.elapsed import Instant
    from rovlog.domain.checks.timers import running_timers

    book = logbook.book
    if state.record.is_closed:
        return ()
    here = Instant(instant(book.clock.now()), book.clock.mono_s(), book.writer, book.run)
    return running_timers(state.record, state.fold.items, here)


def timer_notes(logbook: Logbook, state: DiveState, item: Item) -> list[str]:
    """What is to be said about the timers of an item that is answered now."""
    running = {t.timer: t for t in timers_of(logbook, state) if t.item == item.item}
    notes = []
    for timer in item.timers:
        found = running.get(timer.timer)
        words = timer.timer.replace("-", " ")
        if found is None:
            notes.append(f"the timer {words} was not started here")
        elif found.left_s is None:
            notes.append(f"the timer {words} cannot be judged: {found.note}")
        elif not found.is_over:
            notes.append(f"the timer {words} has {found.left_s:.0f} s left")
    return notes


def duration_s(logbook: Logbook, timer: Timer) -> float:
    """How long a timer runs: as the team's policy says, else as the list does."""
    given = logbook.settings().policy.get(POLICY.get(timer.timer, ""))
    return float(given) if given is not None else timer.duration_s


def _timer(item: Item, name: str | None) -> Timer:
    if not item.timers:
        raise UsageError(f"{item.challenge} has no timer", "answer it: rovlog dive tick DIVE ITEM --by …")
    if name is None and len(item.timers) == 1:
        return item.timers[0]
    names = [t.timer for t in item.timers]
    if name is None:
        raise UsageError(f"{item.challenge} has {len(names)} timers", "name one: " + ", ".join(names))
    require_word(f"timer of {item.item}", name, names)
    return next(t for t in item.timers if t.timer == name)
