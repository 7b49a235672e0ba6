"""The best shares for the thrusters as they are: what a builder could put into the box."""

from __future__ import annotations

from collections.abc import Mapping

from rovlog.domain.allocation.arrangement import channel_columns
from rovlog.domain.allocation.authority import AXIS_OF, asked_demands
from rovlog.domain.vehicle import AXES, DEMANDS, Configuration
from rovlog.values import dataclass

DECIMALS = 3
"""Shares are given with so many decimals: what people type into a box (project default)."""

SMALLEST_RATIO = 0.01
"""No unit. Less of another axis than this share of the own one is not worth naming (project default)."""


@dataclass(frozen=True, slots=True)
class BestShares:
    """Shares by channel, no unit, the largest +-1; `unwanted` is per axis what they still move.

    `unwanted` is the wrench on another balanced axis divided by that on the own axis, moments
    divided by the largest lever arm; empty where the demand comes out pure.
    """

    shares: Mapping[int, float]
    unwanted: Mapping[str, float]


def best_shares(configuration: Configuration) -> dict[str, BestShares]:
    """Per demand the least-effort shares that move its own axis and, if they can, no other.

    Balanced are surge, sway, heave and yaw, and roll or pitch where someone asks for them;
    otherwise those are left to the righting moment. Each channel counts with the mean of its full
    thrust both ways, all its thrusters together. Given are the demands asked for, and of surge,
    sway, heave and yaw those the thrusters could give purely; never one they cannot give.

    Source: the Moore-Penrose inverse as least-effort allocation, Fossen, Handbook of Marine Craft
        Hydrodynamics and Motion Control, 2nd ed. (2021), section 11.2.
    """
    import numpy as np

    asked = asked_demands(configuration)
    demands = [d for d in DEMANDS if d in asked or AXIS_OF[d] in "XYZN"]
    channels = configuration.channels_in_use
    if not channels:
        return {}
    of = channel_columns(configuration)
    matrix = np.array([[of[c][AXES.index(AXIS_OF[d])] for c in channels] for d in demands])
    inverse = np.linalg.pinv(matrix, rcond=1e-6)
    found: dict[str, BestShares] = {}
    for row, demand in enumerate(demands):
        u = inverse[:, row]
        largest = float(np.abs(u).max())
        wrench = matrix @ u
        # The inverse gives 1 on the own axis where it can, and nearly 0 where nothing moves it.
        if largest == 0.0 or wrench[row] < 1e-6:
            continue
        ratios = {
            AXIS_OF[d]: float(w / wrench[row]) for d, w in zip(demands, wrench, strict=True) if d != demand
        }
        unwanted = {axis: ratio for axis, ratio in ratios.items() if abs(ratio) > SMALLEST_RATIO}
        if demand not in asked and unwanted:
            continue
        rounded = {c: round(float(v) / largest, DECIMALS) + 0.0 for c, v in zip(channels, u, strict=True)}
        found[demand] = BestShares({c: v for c, v in rounded.items() if v}, unwanted)
    return found
