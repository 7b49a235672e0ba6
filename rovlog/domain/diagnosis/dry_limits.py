"""How far, how long and how often thrusters may run in air, where no water cools or greases them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from rovlog.values import dataclass


@dataclass(frozen=True, slots=True)
class DryLimits:
    """Project defaults, each settable in the team's policy.

    `command_share` is the greatest command of any thruster, share of full; `burst_s` the longest burst
    and `rest_s` the least rest after one, seconds; `day_s` the longest running of one vehicle in a day,
    seconds, all its bursts together, since nobody knows which thrusters turn while their wiring is in doubt.
    """

    command_share: float = 0.3
    burst_s: float = 3.0
    rest_s: float = 10.0
    day_s: float = 60.0


DRY_LIMITS = DryLimits()


def dry_limits(policy: Mapping[str, Any]) -> DryLimits:
    """The team's numbers where its policy gives them, the project defaults where not."""
    usual = DRY_LIMITS
    return DryLimits(
        float(policy.get("dry_command_share", usual.command_share)),
        float(policy.get("dry_burst_s", usual.burst_s)),
        float(policy.get("dry_rest_s", usual.rest_s)),
        float(policy.get("dry_day_s", usual.day_s)),
    )


def percent(share: float) -> str:
    """A share of full in words: "30 %"."""
    return f"{share * 100:.0f} %"
