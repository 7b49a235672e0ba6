"""The most current that any position of the controls can draw, and the positions that draw it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from rovlog.domain.allocation.channels import channel_commands
from rovlog.domain.allocation.demand import CHANNEL_PREFIX, channel_of, demands_from_sticks
from rovlog.domain.electrical.curves import Curve, channel_current_curve, standing_current_a
from rovlog.domain.electrical.reach import Reach, reach, sticks_for
from rovlog.domain.vehicle import Configuration
from rovlog.values import dataclass, replace

if TYPE_CHECKING:
    from rovlog.domain.electrical.programme import Problem

SAME = 1e-9
"""No unit. Currents that differ by no more than this share of themselves are the same."""


@dataclass(frozen=True, slots=True)
class WorstCase:
    """The greatest total current at rated voltage, ampere, standing loads included.

    `demand` is after trim, as a response is asked for ("channel-3" for a channel driven
    directly); `sticks` are raw positions that give it; `commands` the channels' commands there,
    after saturation. `is_at_most` marks a stated upper bound: then no position need reach it.
    """

    total_a: float
    demand: Mapping[str, float]
    sticks: Mapping[str, float]
    commands: Mapping[int, float]
    is_at_most: bool


def worst_case(configuration: Configuration) -> WorstCase:
    """The greatest total current over all positions of all controls, trims at their defaults.

    Exact, for maps that clip and maps that scale (see `branching.greatest`). Where a control's
    entries differ in shape they are let move apart, and the answer is a stated upper bound.
    Steady figures at rated voltage: a full reversal, or weed in several thrusters, draws more
    for a short time.

    Raises:
        OutOfRangeError: a share, trim, shape, table or load that is no sound number, named.
    """
    from rovlog.domain.electrical.reduction import greatest_in_parts

    space = reach(configuration)
    curves = {c: channel_current_curve(configuration, c) for c in space.channels}
    problem = _problem(configuration, space, curves)
    found = greatest_in_parts(problem)
    standing = standing_current_a(configuration)
    y = found.variables
    demand = dict(zip(space.demands, problem.demands(y).tolist(), strict=True))
    direct = dict(zip(space.channels, (problem.direct @ y).tolist(), strict=True))
    driven = {c for e in configuration.steering_scheme.entries if (c := channel_of(e.drives)) is not None}
    drawn = _Drawn(configuration, curves)
    sticks = drawn.tidied(_positions(configuration, space, y.tolist(), drawn))
    if space.is_upper_bound or not found.is_exact:
        asked = {**demand, **{CHANNEL_PREFIX + str(c): direct[c] for c in sorted(driven)}}
        commands = channel_commands(configuration, demand, {c: direct[c] for c in driven})
        return WorstCase(found.bound + standing, asked, sticks, commands, True)
    shown = demands_from_sticks(configuration, sticks)
    asked = {d: shown.demands[d] for d in space.demands}
    asked.update({CHANNEL_PREFIX + str(c): shown.direct.get(c, 0.0) for c in sorted(driven)})
    commands = channel_commands(configuration, shown.demands, shown.direct)
    return WorstCase(drawn.at(sticks) + standing, asked, sticks, commands, False)


def per_channel_worst_a(configuration: Configuration, above_a: float = float("-inf")) -> dict[int, float]:
    """The greatest current of each channel that has a thruster, on its own, ampere.

    The sum over the thrusters on the channel, over all positions of all controls; the channels
    need not all reach it at once. Where a control's entries differ in shape, an upper bound.
    Channels that draw no more than `above_a` at any command are left out, which costs nothing.

    Raises:
        OutOfRangeError: as `worst_case`.
    """
    from rovlog.domain.electrical.reduction import greatest_in_parts

    space = reach(configuration)
    still = Curve((-1.0, 1.0), (0.0, 0.0))
    found = {}
    for channel in configuration.channels_in_use:
        curves = dict.fromkeys(space.channels, still)
        curves[channel] = channel_current_curve(configuration, channel)
        if max(curves[channel].values) <= above_a:
            continue
        problem = _problem(configuration, space, curves)
        if not problem.is_scaled:  # the other channels do not matter to this one
            n = space.channels.index(channel)
            problem = replace(
                problem,
                mixing=problem.mixing[n : n + 1],
                direct=problem.direct[n : n + 1],
                curves=(curves[channel],),
            )
        found[channel] = greatest_in_parts(problem).bound
    return found


def _problem(configuration: Configuration, space: Reach, curves: Mapping[int, Curve]) -> Problem:
    from rovlog.domain.electrical.programme import problem_of

    thruster_map = configuration.thruster_map
    ordered = tuple(curves[c] for c in space.channels)
    return problem_of(space, thruster_map.shares, ordered, thruster_map.when_saturated == "scale")


def _positions(configuration: Configuration, space: Reach, y: list[float], drawn: _Drawn) -> dict[str, float]:
    """Positions of the controls behind the free numbers; where entries differ in shape, the best of them."""
    named = list(zip(space.variables, y, strict=True))
    own = len(space.variables) - len(space.free_levers)
    positions = sticks_for(space, dict(named[:own]), configuration.trim_defaults)
    for lever, (_, value) in zip(space.free_levers, named[own:], strict=True):
        position = lever.position(value)
        old = positions.get(lever.control)
        if old is None or drawn.at({**positions, lever.control: position}) > drawn.at(positions):
            positions[lever.control] = position
    controls = dict.fromkeys((lever.control for lever in space.levers), 0.0)
    return {**controls, **positions}


class _Drawn:
    """The current that positions of the controls draw, standing loads left out."""

    def __init__(self, configuration: Configuration, curves: Mapping[int, Curve]) -> None:
        self._configuration = configuration
        self._curves = curves

    def at(self, sticks: Mapping[str, float]) -> float:
        """Ampere at rated voltage."""
        asked = demands_from_sticks(self._configuration, sticks)
        commands = channel_commands(self._configuration, asked.demands, asked.direct)
        return sum(self._curves[c].at(u) for c, u in commands.items())

    def tidied(self, sticks: dict[str, float]) -> dict[str, float]:
        """As simple a position as draws the same: controls at rest, or at their ends, where that may be."""
        least = self.at(sticks)
        least -= SAME * abs(least) / 2
        for control, position in sticks.items():
            for simple in (0.0, 1.0 if position > 0 else -1.0):
                if position not in (0.0, simple) and self.at({**sticks, control: simple}) >= least:
                    sticks = {**sticks, control: simple}
                    break
        return sticks
