"""How long an answer holds: the words of `valid_for`, durations, and when an age has run out."""

from __future__ import annotations

import re
from datetime import datetime, timedelta

from rovlog.domain.checks.checklist import VALID_WORDS
from rovlog.problems import UsageError
from rovlog.values import dataclass

_SECONDS = {"s": 1.0, "min": 60.0, "h": 3600.0, "d": 86400.0, "day": 86400.0, "days": 86400.0}
_DURATION = re.compile(r"(\d{1,5}(?:\.\d{1,3})?) ?(s|min|h|d|days?|months?|running h)")

CLOCK_TOLERANCE_S = 120.0
"""An answer may lie this far in the future before its age cannot be judged: two laptops' clocks."""


FIRST_YEAR, LAST_YEAR = 1900, 9000
"""Times outside cannot be reckoned with: adding a day to the last one there is fails."""


@dataclass(frozen=True, slots=True)
class Duration:
    """A length of time: seconds, or calendar months, or seconds of running (power on to power off)."""

    seconds: float = 0.0
    months: int = 0
    running_s: float = 0.0


def parse_duration(text: str) -> Duration | None:
    """The duration `valid_for` names; None for its words (dive, setup, day, until-voided, now).

    Raises UsageError for anything else.
    """
    if text in VALID_WORDS:
        return None
    match = _DURATION.fullmatch(text)
    if match is None:
        raise UsageError(
            f"{text!r} is no time an answer can be valid for",
            "write "
            + ", ".join(VALID_WORDS)
            + ", or a duration such as 30 min, 24 h, 90 d, 6 months, 25 running h",
        )
    number, unit = float(match[1]), match[2]
    if unit in ("month", "months"):
        return Duration(months=int(number))
    if unit == "running h":
        return Duration(running_s=number * 3600.0)
    return Duration(seconds=number * _SECONDS[unit])


def instant(text: str) -> datetime | None:
    """The aware time an entry's `at` names, or None where it cannot be read or is out of all reason."""
    try:
        at = datetime.fromisoformat(text.upper())
    except ValueError:
        return None
    return at if at.tzinfo is not None and FIRST_YEAR < at.year < LAST_YEAR else None


def add_months(at: datetime, months: int) -> datetime:
    """The same day and time so many months later; the last of the month where there is no such day."""
    years, month = divmod(at.month - 1 + months, 12)
    year = min(at.year + years, 9999)
    for day in (at.day, 30, 29, 28):
        try:
            return at.replace(year=year, month=month + 1, day=min(day, at.day))
        except ValueError:
            continue
    raise AssertionError("every month has 28 days")


def end_of_day(at: datetime) -> datetime:
    """The last second of the calendar day `at` lies in, in its own offset."""
    return at.replace(hour=23, minute=59, second=59, microsecond=0)


def expiry(valid_for: tuple[str, ...], at: datetime) -> datetime | None:
    """When an answer given at `at` runs out by its age alone; None where no clock ends it."""
    ends = []
    for word in valid_for:
        duration = parse_duration(word)
        if word in ("day", "setup"):
            ends.append(end_of_day(at))
        elif duration is not None and duration.months:
            ends.append(add_months(at, duration.months))
        elif duration is not None and duration.seconds:
            ends.append(at + timedelta(seconds=duration.seconds))
    return min(ends, default=None)


def aged_out(valid_for: tuple[str, ...], at: datetime, now: datetime, running_s: float) -> str:
    """Why an answer given at `at` is too old at `now`, or "".

    `running_s` is the running time since the answer. An answer from the future has no age that can
    be judged: where a clock limits it, it counts as too old.
    """
    ends_by_clock = expiry(valid_for, at)
    if ends_by_clock is not None:
        if (at - now).total_seconds() > CLOCK_TOLERANCE_S:
            return "the clock went back since: its age cannot be judged"
        if now > ends_by_clock:
            words = [w for w in valid_for if expiry((w,), at) == ends_by_clock]
            return _age_words(words[0] if words else valid_for[0])
    for word in valid_for:
        duration = parse_duration(word)
        if duration is not None and duration.running_s and running_s > duration.running_s:
            return f"older than {word}"
    return ""


def _age_words(word: str) -> str:
    if word == "day":
        return "it held for the day"
    if word == "setup":
        return "it held for the setup, which ended with the day"
    return f"older than {word}"
