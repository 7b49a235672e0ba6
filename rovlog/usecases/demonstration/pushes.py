"""The function test in the demonstration: pushes within the limits in air, and what was really seen.

What is seen follows from how the leads really run, which the files need not know.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from rovlog.domain.diagnosis.dry_limits import DRY_LIMITS
from rovlog.domain.vehicle import Configuration
from rovlog.usecases.predict_push import predicted_push

Push = dict[str, float]


def pushes_for(
    configuration: Configuration, demands: Sequence[str], greatest: float = DRY_LIMITS.command_share
) -> list[Push]:
    """Each demand's control one way and then the other, as far as no thruster is asked for more than that."""
    control = {e.drives: e.control for e in configuration.steering_scheme.entries}
    found = []
    for demand in demands:
        for sign in (1.0, -1.0):
            found.append(_strongest(configuration, control[demand], sign, greatest))
    return found


def _strongest(configuration: Configuration, control: str, sign: float, greatest: float) -> Push:
    from rovlog.domain.allocation.response import response_to_sticks

    best = {control: sign * 0.1}
    for step in range(2, 21):
        push = {control: sign * round(0.05 * step, 2)}
        channels = response_to_sticks(configuration, push).channels
        if max(abs(u) for u in channels.values()) > greatest:
            break
        best = push
    return best


def seen_on(
    resolved: Mapping[str, Any], push: Mapping[str, float], swapped: tuple[int, int] | None = None
) -> dict[str, str]:
    """What each thruster does on a push where the leads of two channels are swapped (None: as on file)."""
    return predicted_push(as_wired(resolved, swapped), push)


def as_wired(resolved: Mapping[str, Any], swapped: tuple[int, int] | None) -> Mapping[str, Any]:
    """The configuration as its leads really run."""
    if swapped is None:
        return resolved
    other = {swapped[0]: swapped[1], swapped[1]: swapped[0]}
    thrusters = {
        name: {**t, "channel": other.get(t["channel"], t["channel"])}
        for name, t in resolved["thrusters"].items()
    }
    return {**resolved, "thrusters": thrusters}
