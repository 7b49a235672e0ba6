"""Times as records write them: RFC 3339 with offset."""

from __future__ import annotations

import re
from datetime import UTC, datetime, timedelta, timezone

from rovlog.problems import UsageError

EXAMPLE = '"2026-05-09T10:20:30+01:00"'

_TIME = re.compile(
    r"([0-9]{4})-([0-9]{2})-([0-9]{2})[Tt]([0-9]{2}):([0-9]{2}):([0-9]{2})(?:\.([0-9]+))?"
    r"(?:([Zz])|([+-])([0-9]{2}):([0-9]{2}))"
)


def parse_time(text: str) -> datetime:
    """The instant of an RFC 3339 time, with its offset. Raises UsageError for anything else.

    A leap second (23:59:60 UTC at the end of a month, RFC 3339 section 5.7) gives the following
    second, as Unix time does. Digits beyond the microsecond are cut.
    """
    match = _TIME.fullmatch(text)
    if match is None and _TIME.fullmatch(text + "Z"):
        raise _refused(text, "it has no offset from UTC")
    if match is None:
        raise _refused(text, "it has not the form of an RFC 3339 time with offset")
    year, month, day, hour, minute, second = (int(part) for part in match.groups()[:6])
    fraction = int((match[7] or "0")[:6].ljust(6, "0"))
    if match[9] and (int(match[10]) > 23 or int(match[11]) > 59):
        raise _refused(text, "its offset is beyond 23:59")
    offset = timedelta(hours=int(match[10] or 0), minutes=int(match[11] or 0))
    zone = timezone(-offset if match[9] == "-" else offset)
    is_leap = second == 60
    try:
        time = datetime(year, month, day, hour, minute, 59 if is_leap else second, fraction, zone)
        utc = time.astimezone(UTC)
        if not is_leap:
            return time
        following = time + timedelta(seconds=1)
        next_utc = utc + timedelta(seconds=1)
    except (ValueError, OverflowError):
        raise _refused(text, "there is no such day or time") from None
    if (next_utc.day, next_utc.hour, next_utc.minute) != (1, 0, 0):
        raise _refused(text, "a 60th second exists only at the end of a month at 23:59 UTC")
    return following


def is_time(text: str) -> bool:
    """True for an RFC 3339 time with offset."""
    try:
        parse_time(text)
    except UsageError:
        return False
    return True


def _refused(text: str, why: str) -> UsageError:
    return UsageError(f"{text!r} is no time: {why}", f"write it as {EXAMPLE}")
