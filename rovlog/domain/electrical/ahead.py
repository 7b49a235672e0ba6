"""Full ahead: the positions of the controls that ask for the most surge, all others at rest."""

from __future__ import annotations

from collections.abc import Mapping

from rovlog.domain.allocation.channels import channel_commands
from rovlog.domain.allocation.demand import demands_from_sticks
from rovlog.domain.electrical.reach import levers
from rovlog.domain.vehicle import Configuration
from rovlog.values import dataclass


@dataclass(frozen=True, slots=True)
class FullAhead:
    """The sticks of full ahead, the demands after trim, and the channels' commands."""

    sticks: Mapping[str, float]
    demand: Mapping[str, float]
    commands: Mapping[int, float]


def full_ahead(configuration: Configuration) -> FullAhead | None:
    """Full ahead, trims at their defaults; None where no control drives surge ahead.

    Every control that adds to surge stands at its end; a control that also drives other things
    drives them with it.
    """
    share: dict[str, float] = {}
    lowest: dict[str, float] = {}
    for lever in levers(configuration):
        share[lever.control] = share.get(lever.control, 0.0) + lever.drives.get("surge", 0.0)
        lowest[lever.control] = lever.lowest
    sticks = {c: 1.0 if s > 0 else lowest[c] for c, s in share.items() if s and (s > 0 or lowest[c] < 0)}
    if not sticks:
        return None
    asked = demands_from_sticks(configuration, sticks)
    commands = channel_commands(configuration, asked.demands, asked.direct)
    return FullAhead(sticks, {d: v for d, v in asked.demands.items() if v}, commands)
