"""The heave trim that holds depth: how much of full heave demand pushes a light vehicle down."""

from __future__ import annotations

from itertools import pairwise

from rovlog.domain.allocation.response import response
from rovlog.domain.allocation.thrust import table
from rovlog.domain.vehicle import Configuration
from rovlog.values import dataclass


@dataclass(frozen=True, slots=True)
class HeaveTrim:
    """The trim alone, nothing else demanded. `share` of full heave demand, no unit, down positive.

    None with a `reason` (a clause) where no downward trim does it. `current_a` is what the thrusters
    then draw together, nominal, without standing loads; `endurance_lost` = I / (I + standing loads),
    None where nothing else draws.
    """

    share: float | None
    reason: str
    current_a: float | None
    endurance_lost: float | None


def heave_trim(configuration: Configuration, net_up_n: float) -> HeaveTrim:
    """The smallest downward heave trim whose thrust balances `net_up_n` (newton, up positive).

    Exact: the force is linear between the demands at which a thruster passes a point of its table or
    a channel saturates, so only those are looked at. Upward trim is never proposed: a vehicle that
    hangs on its thrusters sinks when they stop.
    """
    if net_up_n < 0.0:
        return HeaveTrim(
            None, "the vehicle is heavy: take ballast off, an upward trim is never proposed", None, None
        )
    knots = [(share, _down_n(configuration, share)) for share in _knots(configuration)]
    for (low, weak), (high, strong) in pairwise(knots):
        if min(weak, strong) <= net_up_n <= max(weak, strong):
            part = (net_up_n - weak) / (strong - weak) if strong != weak else 0.0
            return _at(configuration, low + part * (high - low))
    greatest = max(force for _, force in knots)
    return HeaveTrim(
        None,
        f"full heave demand gives no more than {greatest:.2f} N down, {net_up_n:.2f} N are needed",
        None,
        None,
    )


def _at(configuration: Configuration, share: float) -> HeaveTrim:
    current_a = response(configuration, {"heave": share}).current_a if share > 0.0 else 0.0
    standing_a = sum(load.current_a for load in configuration.electrical.standing_loads)
    lost = current_a / (current_a + standing_a) if standing_a > 0.0 else None
    return HeaveTrim(share, "", current_a, lost)


def _down_n(configuration: Configuration, share: float) -> float:
    return response(configuration, {"heave": share}).wrench["Z"]


def _knots(configuration: Configuration) -> list[float]:
    """Heave demands from 0 to 1 between which every thruster's force is a straight line."""
    row = configuration.thruster_map.shares.get("heave", {})
    knots = {0.0, 1.0}
    knots.update(1.0 / abs(share) for share in row.values() if share)
    for thruster in configuration.thrusters:
        gain = thruster.sign * row.get(thruster.channel, 0.0)
        if gain:
            knots.update(p.command / gain for p in table(configuration.models[thruster.model]))
    return sorted(knot for knot in knots if 0.0 <= knot <= 1.0)
