"""From thrusts to forces and moments on the vehicle."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING

from rovlog.domain.vehicle import AXES, Configuration, Thruster, Vector
from rovlog.problems import OutOfRangeError

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

Column = tuple[float, float, float, float, float, float]
"""Surge, sway, heave in N per N; roll, pitch, yaw in N m per N."""


def unit(direction: Vector) -> Vector:
    """The direction with length 1.

    Raises:
        OutOfRangeError: a direction of length zero, or not finite.
    """
    length = math.hypot(*direction)
    if not (math.isfinite(length) and length > 0.0):
        raise OutOfRangeError(
            f"thrust direction is {list(direction)}; it has no length",
            "give thrust_direction as a unit vector, e.g. [1, 0, 0] for a push ahead",
        )
    return (direction[0] / length, direction[1] / length, direction[2] / length)


def column(position_m: Vector, direction: Vector) -> Column:
    """What 1 N along `direction` (normalised here) at `position_m` does: [e; r x e]."""
    ex, ey, ez = unit(direction)
    x, y, z = position_m
    return (ex, ey, ez, y * ez - z * ey, z * ex - x * ez, x * ey - y * ex)


def columns(configuration: Configuration) -> dict[str, Column]:
    """The column of every thruster, by its id."""
    return {t.thruster: column(t.position_m, t.thrust_direction) for t in configuration.thrusters}


def wrench_of(
    thrusters: Iterable[Thruster], of: Mapping[str, Column], thrust_n: Mapping[str, float]
) -> dict[str, float]:
    """X, Y, Z in newton and K, M, N in newton metre of these thrusters at these thrusts."""
    total = [0.0] * 6
    for thruster in thrusters:
        push = thrust_n[thruster.thruster]
        for row, share in enumerate(of[thruster.thruster]):
            total[row] += share * push
    return dict(zip(AXES, total, strict=True))


def largest_lever_m(configuration: Configuration) -> float:
    """The largest lever arm of any thruster, max |r x e|, in metres; 0 without thrusters.

    An arm below a thousandth of the thruster's distance from the origin is taken as none: the
    line of thrust goes through the origin as nearly as directions are written.
    """
    largest = 0.0
    for t in configuration.thrusters:
        arm = math.hypot(*column(t.position_m, t.thrust_direction)[3:])
        if arm > 1e-3 * math.hypot(*t.position_m):
            largest = max(largest, arm)
    return largest


def wrench_matrix(positions_m: Sequence[Vector], directions: Sequence[Vector]) -> NDArray[np.float64]:
    """The thrust configuration matrix.

    Args:
        positions_m: point of action from the body origin, metres; shape (n, 3), columns x, y, z.
        directions: push of a positive thrust; shape (n, 3); normalised here.

    Returns:
        Shape (6, n); rows 0-2 surge, sway, heave, N per N; rows 3-5 roll, pitch, yaw, N m per N;
        column j is [e_j, r_j x e_j].

    Source: SNAME (1950) for the axes; Fossen, Handbook of Marine Craft Hydrodynamics and Motion
        Control, 2nd ed. (2021), chapter 11, for the form of the matrix.
    """
    import numpy as np

    pairs = zip(positions_m, directions, strict=True)
    return np.array([column(r, e) for r, e in pairs], dtype=float).reshape(-1, 6).T
