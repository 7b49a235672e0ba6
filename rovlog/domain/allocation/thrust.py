"""A thruster model's table: thrust and current at a command, linear between points and through the origin."""

from __future__ import annotations

from bisect import bisect_right
from functools import lru_cache

from rovlog.domain.ranges import require_within
from rovlog.domain.vehicle import ThrusterModel, ThrustPoint

GREATEST_COMMAND = 1.25
"""No unit. The last segment of a table goes on to here; beyond it there is no answer (project default)."""


@lru_cache(maxsize=256)
def table(model: ThrusterModel) -> tuple[ThrustPoint, ...]:
    """The model's points by command, with the origin put in where the table has none."""
    points = tuple(sorted(model.points, key=lambda p: p.command))
    if any(p.command == 0.0 for p in points):
        return points
    return tuple(sorted((*points, ThrustPoint(0.0, 0.0, 0.0)), key=lambda p: p.command))


def thrust_and_current(model: ThrusterModel, command: float) -> tuple[float, float]:
    """Thrust and current of one thruster at rated terminal voltage.

    Args:
        model: the thruster model.
        command: command seen by the thruster, polarity included, no unit; -1.25 to 1.25. Beyond
            +-1 the table's last segment goes on.

    Returns:
        Thrust in newton, signed like the command, and current in ampere.

    Raises:
        OutOfRangeError: a command beyond +-1.25, or NaN.
    """
    require_within("command", command, -GREATEST_COMMAND, GREATEST_COMMAND)
    points = table(model)
    upper = min(max(bisect_right([p.command for p in points], command), 1), len(points) - 1)
    a, b = points[upper - 1], points[upper]
    share = (command - a.command) / (b.command - a.command)
    if share == 1.0:
        return b.thrust_n, b.current_a
    thrust_n = a.thrust_n + share * (b.thrust_n - a.thrust_n)
    return thrust_n, a.current_a + share * (b.current_a - a.current_a)


def greatest_thrust_n(model: ThrusterModel) -> float:
    """The greatest size of thrust anywhere in the table, newton."""
    return max(abs(p.thrust_n) for p in model.points)


def ends_n(model: ThrusterModel) -> tuple[float, float]:
    """Thrust at command -1 and at command 1, newton."""
    return thrust_and_current(model, -1.0)[0], thrust_and_current(model, 1.0)[0]
