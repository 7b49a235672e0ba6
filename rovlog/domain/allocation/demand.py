"""From sticks to demands: dead band, cubic share, full stick, reversal, trims."""

from __future__ import annotations

from collections.abc import Mapping

from rovlog.domain.allocation.gamepad import require_control
from rovlog.domain.vehicle import DEMANDS, Configuration, ControlEntry
from rovlog.values import dataclass

CHANNEL_PREFIX = "channel-"
"""A control that drives a channel directly names it so: `channel-3`."""


@dataclass(frozen=True, slots=True)
class Demanded:
    """What is asked of the thruster map, no units, shares of full demand.

    `demands` has all six demands, each within -1 to 1. `direct` adds to channels with share 1 and
    may exceed 1 where several controls drive one channel; the saturation deals with that.
    """

    demands: Mapping[str, float]
    direct: Mapping[int, float]


def channel_of(drives: str) -> int | None:
    """The channel a control drives directly, or None where it drives a demand."""
    if drives.startswith(CHANNEL_PREFIX):
        return int(drives.removeprefix(CHANNEL_PREFIX))
    return None


def shaped(entry: ControlEntry, position: float) -> float:
    """What one control contributes to what it drives.

    Args:
        entry: the control's entry in the steering scheme.
        position: raw position as the W3C Gamepad standard gives it, -1 to 1; buttons 0 to 1.

    Returns:
        Share of full demand, no unit: dead band b rescaled, sign(x)(|x| - b)/(1 - b); then
        (1 - c)x + c x^3 with c the cubic share; times full stick; turned round where reversed.
    """
    size = abs(position)
    if size <= entry.dead_band:
        return 0.0
    x = (size - entry.dead_band) / (1.0 - entry.dead_band)
    x = (1.0 - entry.cubic_share) * x + entry.cubic_share * x**3
    is_negative = (position < 0) != entry.is_reversed
    return (-x if is_negative else x) * entry.full_stick


def contributions(configuration: Configuration, sticks: Mapping[str, float]) -> Demanded:
    """What the controls alone ask for: contributions to one demand add up, no trim, nothing clipped.

    Controls that are not given are at rest.
    """
    demands = dict.fromkeys(DEMANDS, 0.0)
    direct: dict[int, float] = {}
    for entry in configuration.steering_scheme.entries:
        share = shaped(entry, sticks.get(entry.control, 0.0))
        channel = channel_of(entry.drives)
        if channel is None:
            demands[entry.drives] += share
        else:
            direct[channel] = direct.get(channel, 0.0) + share
    return Demanded(demands, direct)


def demands_from_sticks(configuration: Configuration, sticks: Mapping[str, float]) -> Demanded:
    """Demands after trim, and what drives channels directly, for some positions of the controls.

    Controls that are not given are at rest. The trim is added after the controls, each demand is
    then clipped to +-1; channels driven directly have no trim.

    Raises:
        UsageError: a name that is no control, or a position outside its range.
    """
    for control, position in sticks.items():
        require_control(control, position)
    asked = contributions(configuration, sticks)
    trims = configuration.trim_defaults
    demands = {d: clipped(asked.demands[d] + trims.get(d, 0.0)) for d in DEMANDS}
    return Demanded(demands, asked.direct)


def clipped(value: float) -> float:
    """The value cut to -1 to 1."""
    return min(1.0, max(-1.0, value))
