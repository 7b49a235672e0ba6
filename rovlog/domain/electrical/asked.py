"""What some demands draw with sag, model by model: what a clamp meter's reading stands beside."""

from __future__ import annotations

from collections.abc import Mapping

from rovlog.domain.allocation.channels import channel_commands
from rovlog.domain.electrical.curves import standing_current_a
from rovlog.domain.electrical.motor import motor_table
from rovlog.domain.electrical.sag import OperatingPoint, sag
from rovlog.domain.ranges import require_within
from rovlog.domain.vehicle import Configuration
from rovlog.values import dataclass


@dataclass(frozen=True, slots=True)
class AskedCurrent:
    """Current from the source at some demands, ampere; None with the reason where there is no answer.

    `by_model` is the part of each thruster model in it, `standing_a` the standing loads'; together
    they are `total_a`.
    """

    total_a: float | None
    standing_a: float
    by_model: Mapping[str, float]
    reason: str = ""


def asked_current(
    configuration: Configuration, demands: Mapping[str, float], direct: Mapping[int, float] | None = None
) -> AskedCurrent:
    """What is drawn at demands (after trim, -1 to 1) and at channels driven by themselves, supply full.

    Raises:
        OutOfRangeError: a demand or command beyond full, or a number no computation can use, named.
    """
    for name, value in (*demands.items(), *((f"channel-{c}", u) for c, u in (direct or {}).items())):
        require_within(name, value, -1.0, 1.0)
    standing = standing_current_a(configuration)
    found = sag(configuration, channel_commands(configuration, demands, direct or {}))
    if found.point is None:
        return AskedCurrent(None, standing, {}, found.reason)
    return AskedCurrent(found.point.current_a, standing, _by_model(configuration, found.point))


def _by_model(configuration: Configuration, point: OperatingPoint) -> dict[str, float]:
    """A driver takes |u| times its motors' current; motors that stand still share theirs evenly."""
    drawn: dict[str, float] = {}
    for channel, at in point.channels.items():
        on = [t for t in configuration.thrusters if t.channel == channel]
        for t in on:
            if at.effective_v is None:
                current = at.motor_current_a / len(on)
            else:
                motor = motor_table(
                    t.thruster, configuration.models[t.model], t.sign * (1 if at.command > 0 else -1)
                )
                current = motor.motor_current_a(at.effective_v)
            drawn[t.model] = drawn.get(t.model, 0.0) + abs(at.command) * current
    return drawn
