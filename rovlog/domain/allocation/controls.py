"""What each control does at its ends, through shaping, map, wiring and thrusters."""

from __future__ import annotations

from collections.abc import Mapping

from rovlog.domain.allocation.authority import in_newton, significant
from rovlog.domain.allocation.demand import channel_of, clipped, contributions
from rovlog.domain.allocation.gamepad import CONTROLS, Control
from rovlog.domain.allocation.response import response
from rovlog.domain.allocation.wrench import largest_lever_m
from rovlog.domain.vehicle import Configuration, ControlEntry
from rovlog.values import dataclass


@dataclass(frozen=True, slots=True)
class ControlEnd:
    """One end of one control, all others at rest and no trim.

    `demands` and `direct` are what it asks, no unit; `wrench` what comes of it, X to N in newton
    and newton metre with what counts as nothing at 0; `even` the same with moments divided by
    the largest lever arm, so that axes compare.
    """

    position: float
    demands: Mapping[str, float]
    direct: Mapping[int, float]
    wrench: Mapping[str, float]
    even: Mapping[str, float]


@dataclass(frozen=True, slots=True)
class ControlEffect:
    """One control with its entries in the scheme in force; `unwired` are its channels without a thruster."""

    control: Control
    entries: tuple[ControlEntry, ...]
    ends: tuple[ControlEnd, ...]
    unmapped: tuple[str, ...]
    unwired: tuple[int, ...]


def control_effects(configuration: Configuration) -> dict[str, ControlEffect]:
    """Every control of the scheme in force, in the scheme's order, with what it does at each end.

    `unmapped` are demands it drives that have no share in the map in force.
    """
    by_control: dict[str, list[ControlEntry]] = {}
    for entry in configuration.steering_scheme.entries:
        by_control.setdefault(entry.control, []).append(entry)
    return {name: _effect(configuration, name, tuple(rows)) for name, rows in by_control.items()}


def _effect(configuration: Configuration, name: str, entries: tuple[ControlEntry, ...]) -> ControlEffect:
    control = CONTROLS[name]
    shares = configuration.thruster_map.shares
    demands = dict.fromkeys(e.drives for e in entries if channel_of(e.drives) is None)
    channels = {c for e in entries if (c := channel_of(e.drives)) is not None}
    for demand in demands:
        channels.update(c for c, share in shares.get(demand, {}).items() if share)
    return ControlEffect(
        control,
        entries,
        tuple(_end(configuration, name, position) for position in control.ends),
        tuple(d for d in demands if not any(shares.get(d, {}).values())),
        tuple(sorted(channels - set(configuration.channels_in_use))),
    )


def _end(configuration: Configuration, control: str, position: float) -> ControlEnd:
    asked = contributions(configuration, {control: position})
    demands = {d: clipped(v) for d, v in asked.demands.items() if v}
    direct = {c: v for c, v in asked.direct.items() if v}
    wrench = significant(configuration, response(configuration, demands, direct))
    return ControlEnd(position, demands, direct, wrench, in_newton(wrench, largest_lever_m(configuration)))
