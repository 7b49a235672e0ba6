"""Times a person types: RFC 3339 with an offset, or refused with the mend."""

from __future__ import annotations

from datetime import datetime

from rovlog.problems import UsageError


def checked_time(text: str) -> str:
    """The time as given if it is RFC 3339 with seconds and an offset; UsageError otherwise."""
    from rovlog.documents.times import parse_time

    parse_time(text)
    return text


def instant(at: str) -> datetime | None:
    """An aware datetime, or None where a record holds something else."""
    from rovlog.documents.times import parse_time

    try:
        return parse_time(at)
    except UsageError:
        return None
