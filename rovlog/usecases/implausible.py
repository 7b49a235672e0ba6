"""Values that look like a slip: far from their limit, far from the last readings, or always the same."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from rovlog.problems import UsageError
from rovlog.usecases.logbook import Logbook

if TYPE_CHECKING:
    from rovlog.domain.checks.checklist import Ask, Item
    from rovlog.usecases.dive_state import DiveState

FAR = 5.0
"""A value over 5 times, or under a fifth of, what it is held against is asked about (project default)."""

SAME_DIVES = 3
"""The same reading to the last digit so many dives running is asked about (project default)."""


def implausible(logbook: Logbook, state: DiveState, item: Item, typed: Mapping[str, str]) -> str:
    """One question about the typed values, or "" where nothing about them is odd."""
    from rovlog.domain.checks.answer import parse_answer

    questions = []
    for ask in item.asks:
        text = typed.get(ask.value, "")
        if not text.strip() or ask.type != "number":
            continue
        try:
            value = parse_answer(ask, text)
        except UsageError:
            continue  # refused with its own words when it is kept
        if isinstance(value, str | bool):
            continue
        question = _question(logbook, state, item, ask, float(value))
        if question:
            questions.append(question)
    return "; ".join(questions)


def _question(logbook: Logbook, state: DiveState, item: Item, ask: Ask, value: float) -> str:
    unit = f" {ask.unit}" if ask.unit else ""
    said = f"{ask.words} {value:g}{unit}"
    limit = _limit_of(ask, state)
    last = _last_readings(logbook, state, item.item, ask.value)
    if limit is not None and _is_far(value, limit):
        return f"{said} is {_times(value, limit)} the limit of {limit:g}{unit}. Was it read like this?"
    if last and all(_is_far(value, other) for other in last):
        return (
            f"{said} is {_times(value, last[0])} the last reading, {last[0]:g}{unit}. Was it read like this?"
        )
    is_fixed = not ask.unit or (ask.limit is not None and ask.limit.equals is not None)
    if (
        len(last) >= SAME_DIVES - 1
        and not is_fixed
        and value
        and all(other == value for other in last[: SAME_DIVES - 1])
    ):
        return f"{said} is to the last digit that of {SAME_DIVES - 1} dives before. Was it read today?"
    return ""


def _is_far(value: float, other: float) -> bool:
    if not other or not value:
        return False
    share = abs(value / other)
    return share > FAR or share < 1 / FAR


def _times(value: float, other: float) -> str:
    share = abs(value / other)
    return f"{share:.3g} times" if share >= 1 else f"a {1 / share:.3g}th of"


def _limit_of(ask: Ask, state: DiveState) -> float | None:
    """The number the value is held against, None where there is none."""
    from rovlog.domain.checks.limits import resolve

    limit = ask.limit
    if limit is None:
        return None
    for reference in (limit.equals, limit.middle, limit.at_most, limit.at_least):
        if reference is not None:
            found = resolve(reference, state.resolved, state.computed, limit.origin).value
            if isinstance(found, int | float) and not isinstance(found, bool):
                return float(found)
    return None


def _last_readings(logbook: Logbook, state: DiveState, item: str, value: str) -> list[float]:
    """The last three readings of earlier records of the vehicle, newest first."""
    found: list[float] = []
    if not state.record.vehicle:
        return found
    for record in reversed(logbook.records(state.record.vehicle)):
        if record.id == state.record.id:
            continue
        for entry in reversed(record.of_kind("check")):
            if entry.fields.get("item") == item:
                given = (entry.fields.get("values") or {}).get(value)
                if isinstance(given, int | float) and not isinstance(given, bool):
                    found.append(float(given))
                break
        if len(found) == 3:
            break
    return found
