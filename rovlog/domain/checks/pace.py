"""Checking or only ticking: a neutral note to the supervisor, never a reproach and never a stop.

An answer given faster than the thing can be looked at, the same reading dive after dive, and an item
that never fails and takes two seconds may each have a good reason. All counts are project defaults.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from statistics import median
from typing import Any

from rovlog.domain.checks.checklist import Item
from rovlog.domain.checks.elapsed import elapsed, moment_of
from rovlog.domain.checks.limits import is_same
from rovlog.domain.dive import Entry, Record
from rovlog.values import dataclass

QUICK_S = 2.0
"""Project default: quicker than this is quicker than a look."""

MANY = 5
"""Project default: so many quick answers in one record are worth a word, if they are half of those timed."""

DIVES_ALIKE = 3
"""Project default: the same reading on so many dives running is worth a word."""

HABIT = 10
"""Project default: so many answers without one failure, half of them quick, make a habit."""


@dataclass(frozen=True, slots=True)
class QuickAnswers:
    """Stop items answered quicker than a look: `items` of `timed` whose time is known."""

    items: tuple[str, ...]
    timed: int


@dataclass(frozen=True, slots=True)
class SameReading:
    """One value that was read alike, to the last digit, on so many dives running."""

    item: str
    value: str
    reading: float
    unit: str
    dives: int


@dataclass(frozen=True, slots=True)
class Habit:
    """An item that never failed in so many answers; `median_s` is how long it usually takes."""

    item: str
    answers: int
    median_s: float


@dataclass(frozen=True, slots=True)
class Pace:
    """What is worth a word to the supervisor; empty where nothing is."""

    quick: QuickAnswers | None = None
    same: tuple[SameReading, ...] = ()
    habits: tuple[Habit, ...] = ()

    def __bool__(self) -> bool:
        return bool(self.quick or self.same or self.habits)


def pace(
    record: Record, earlier: Sequence[Record], items: Mapping[str, Item], quick_s: float = QUICK_S
) -> Pace:
    """The pace of a record, beside the earlier ones of the same vehicle, oldest first."""
    every = [*earlier, record]
    return Pace(
        quick_answers(record, items, quick_s), same_readings(every, items), habits(every, items, quick_s)
    )


def answer_times(record: Record) -> list[tuple[Entry, float]]:
    """Each first answer with the seconds since the writer's entry before it.

    Left out is what was typed in later: from paper, from memory, or with a clock that was set; and a
    second person's answer, whose look may lie beside the first one's.
    """
    found = []
    before: dict[str, Entry] = {}
    for entry in record.entries:
        last = before.get(entry.writer)
        before[entry.writer] = entry
        is_own = entry.kind == "check" and not entry.fields.get("witness")
        is_typed_in = entry.fields.get("source") == "paper" or entry.fields.get("clock") == "memory"
        if last is None or not is_own or is_typed_in or last.fields.get("clock") == "memory":
            continue
        since = elapsed(moment_of(last), moment_of(entry))
        if since.seconds is not None:
            found.append((entry, since.seconds))
    return found


def quick_answers(record: Record, items: Mapping[str, Item], quick_s: float = QUICK_S) -> QuickAnswers | None:
    """The stop items of a record that were answered quicker than a look; None unless they are many."""
    timed = [
        (name, seconds)
        for entry, seconds in answer_times(record)
        if (name := str(entry.fields.get("item", ""))) in items and items[name].stops != "no"
    ]
    quick = tuple(dict.fromkeys(name for name, seconds in timed if seconds < quick_s))
    count = sum(seconds < quick_s for _, seconds in timed)
    return QuickAnswers(quick, len(timed)) if count >= MANY and 2 * count >= len(timed) else None


def same_readings(records: Sequence[Record], items: Mapping[str, Item]) -> tuple[SameReading, ...]:
    """Values read alike on the last three dives or more, up to the last of these records.

    Only of what the list says varies: a plan, a setting or a count may be the same every time.
    """
    found = []
    last = {str(e.fields.get("item", "")): e for e in records[-1].of_kind("check")} if records else {}
    answers = [_first_answers(record) for record in records]
    for name in last:
        item = items.get(name)
        for ask in item.asks if item is not None else ():
            is_exact = ask.limit is not None and ask.limit.equals is not None
            if not ask.varies or is_exact or ask.proposed is not None:
                continue
            readings = _one_a_dive(answers, name, ask.value)
            alike = 0
            while alike < len(readings) and is_same(readings[-1 - alike], readings[-1]):
                alike += 1
            if alike >= DIVES_ALIKE:
                found.append(SameReading(name, ask.words, readings[-1], ask.unit, alike))
    return tuple(found)


def habits(
    records: Sequence[Record], items: Mapping[str, Item], quick_s: float = QUICK_S
) -> tuple[Habit, ...]:
    """Items that never failed in many answers and are usually answered quicker than a look."""
    times: dict[str, list[float]] = {}
    failed: set[str] = set()
    for record in records:
        failed |= {
            str(e.fields.get("item")) for e in record.of_kind("check") if e.fields.get("outcome") == "fail"
        }
        for entry, seconds in answer_times(record):
            times.setdefault(str(entry.fields.get("item")), []).append(seconds)
    found = [
        Habit(name, len(all_times), median(all_times))
        for name, all_times in times.items()
        if name in items and name not in failed and len(all_times) >= HABIT
    ]
    return tuple(h for h in found if h.median_s < quick_s)


def _first_answers(record: Record) -> dict[str, list[Mapping[str, Any]]]:
    """The values of each item's answers in a record, newest first; the second person's are left out."""
    found: dict[str, list[Mapping[str, Any]]] = {}
    for entry in reversed(record.of_kind("check")):
        values = entry.fields.get("values")
        if isinstance(values, Mapping) and not entry.fields.get("witness"):
            found.setdefault(str(entry.fields.get("item", "")), []).append(values)
    return found


def _one_a_dive(
    answers: Sequence[Mapping[str, list[Mapping[str, Any]]]], item: str, value: str
) -> list[float]:
    """The last reading of each record that has one, oldest first."""
    found = []
    for of_record in answers:
        for values in of_record.get(item, ()):
            number = values.get(value)
            if isinstance(number, int | float) and not isinstance(number, bool):
                found.append(float(number))
                break
    return found
