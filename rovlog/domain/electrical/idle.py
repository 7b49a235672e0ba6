"""What is drawn with the sticks centred: standing loads, and whatever the trims ask of the thrusters."""

from __future__ import annotations

from collections.abc import Mapping

from rovlog.domain.allocation.channels import channel_commands
from rovlog.domain.allocation.demand import demands_from_sticks
from rovlog.domain.electrical.curves import channel_current_curve, standing_current_a
from rovlog.domain.vehicle import Configuration
from rovlog.values import dataclass


@dataclass(frozen=True, slots=True)
class Idle:
    """Current with the sticks centred and the trims at their defaults, ampere at rated voltage."""

    current_a: float
    standing_a: float
    trim_a: float
    demand: Mapping[str, float]


def nominal_current_a(configuration: Configuration, sticks: Mapping[str, float]) -> float:
    """Total current at some positions of the controls at rated voltage, ampere, standing loads included.

    Raises:
        UsageError: a control that does not exist, or a position outside its range.
        OutOfRangeError: a table or load that is no sound number.
    """
    asked = demands_from_sticks(configuration, sticks)
    commands = channel_commands(configuration, asked.demands, asked.direct)
    drawn = sum(
        channel_current_curve(configuration, c).at(commands[c]) for c in configuration.channels_in_use
    )
    return standing_current_a(configuration) + drawn


def idle(configuration: Configuration) -> Idle:
    """Sticks centred: the standing loads, and the current with which trims hold the vehicle.

    Raises:
        OutOfRangeError: a table or load that is no sound number, named.
    """
    total = nominal_current_a(configuration, {})
    standing = standing_current_a(configuration)
    demands = demands_from_sticks(configuration, {}).demands
    return Idle(total, standing, total - standing, {d: v for d, v in demands.items() if v})
