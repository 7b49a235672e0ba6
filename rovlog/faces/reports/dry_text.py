"""Dry running of a day in words and as data."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from rovlog.domain.checks.dry_running import DryRunning


def dry_words(dry: DryRunning, gone_s: float = 0.0, *, is_short: bool = False) -> str:
    """The tally of dry running, and when the next burst may begin; `gone_s` is how old it is."""
    used = f"{dry.used_s:g} of {dry.limits.day_s:g} s"
    words = f"dry today {used}" if is_short else f"dry running today: {used} in {_bursts(dry.bursts)}"
    wait_s = math.ceil(max(0.0, dry.wait_s - gone_s))
    if dry.is_spent:
        return f"{words}; no more in air today"
    note = f" ({dry.note})" if dry.note and wait_s else ""
    return f"{words}; next burst in {wait_s} s{note}" if wait_s else f"{words}; rested"


def _bursts(count: int) -> str:
    return f"{count} burst{'' if count == 1 else 's'}"


def dry_data(dry: DryRunning) -> dict[str, Any]:
    """Dry running of the day as data."""
    return {
        "bursts": dry.bursts,
        "used_s": dry.used_s,
        "left_s": dry.left_s,
        "wait_s": math.ceil(dry.wait_s),
        "command_share": dry.limits.command_share,
        "burst_s": dry.limits.burst_s,
        "rest_s": dry.limits.rest_s,
        "day_s": dry.limits.day_s,
    }
