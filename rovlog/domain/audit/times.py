"""Times of records: three grades of clock, and an order that does not trust any of them too much."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Literal

Clock = Literal["agreed", "own", "memory"]

CLOCK_WORDS: dict[str, str] = {
    "agreed": "agreed with another clock",
    "own": "by its own clock",
    "memory": "from memory",
}
"""The three grades of clock, the best first."""

JUMP_S = 120.0
"""A clock that goes back by more than this within a record is told (project default)."""


def instant_s(at: str) -> float | None:
    """Seconds since 1970 UTC of an RFC 3339 time; None where it cannot be read or has no offset."""
    try:
        when = datetime.fromisoformat(at)
    except ValueError:
        return None
    return None if when.tzinfo is None else (when - datetime(1970, 1, 1, tzinfo=UTC)).total_seconds()


def day_of(at: str) -> str:
    """The calendar day of a time by its own offset ("2026-06-13")."""
    return at[:10]


def clock_of(value: object) -> Clock:
    """The grade a record names; its own clock where it names none."""
    if value == "agreed":
        return "agreed"
    return "memory" if value == "memory" else "own"


def or_last(at: str) -> float:
    """The instant of a time for ordering; what cannot be read comes last."""
    instant = instant_s(at) if at else None
    return float("inf") if instant is None else instant
