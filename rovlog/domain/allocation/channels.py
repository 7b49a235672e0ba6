"""From demands to channels: the thruster map's shares, then saturation."""

from __future__ import annotations

from collections.abc import Mapping

from rovlog.domain.allocation.demand import clipped
from rovlog.domain.vehicle import Configuration


def channel_numbers(configuration: Configuration) -> tuple[int, ...]:
    """All channels: the box's, and any that the map, a thruster or a control names beyond them."""
    from rovlog.domain.allocation.demand import channel_of

    named = set(range(1, configuration.control_box.channels + 1))
    named.update(c for row in configuration.thruster_map.shares.values() for c in row)
    named.update(configuration.channels_in_use)
    driven = (channel_of(e.drives) for e in configuration.steering_scheme.entries)
    named.update(c for c in driven if c is not None)
    return tuple(sorted(named))


def channel_commands(
    configuration: Configuration, demands: Mapping[str, float], direct: Mapping[int, float]
) -> dict[int, float]:
    """Commands of all channels, no unit, each within -1 to 1: u = M d plus what drives them directly.

    `clip` cuts each channel to +-1; `scale` divides all by max(1, max |u|).
    """
    u = dict.fromkeys(channel_numbers(configuration), 0.0)
    for demand, row in configuration.thruster_map.shares.items():
        asked = demands.get(demand, 0.0)
        if asked:
            for channel, share in row.items():
                u[channel] += share * asked
    for channel, share in direct.items():
        u[channel] = u.get(channel, 0.0) + share
    if configuration.thruster_map.when_saturated == "clip":
        return {channel: clipped(value) for channel, value in u.items()}
    largest = max(1.0, max((abs(value) for value in u.values()), default=0.0))
    return {channel: value / largest for channel, value in u.items()}
