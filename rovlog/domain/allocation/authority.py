"""How each demand answers: its authority each way, its sign, and what else it moves."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Literal

from rovlog.domain.allocation.demand import channel_of
from rovlog.domain.allocation.response import Response, response
from rovlog.domain.allocation.wrench import largest_lever_m
from rovlog.domain.vehicle import AXES, DEMANDS, Configuration
from rovlog.values import dataclass

Answers = Literal["as-commanded", "backwards", "one-way", "not-at-all"]

AXIS_OF = dict(zip(DEMANDS, AXES, strict=True))
"""The axis each demand is meant to move."""

NOTHING_SHARE = 1e-3
"""No unit. A wrench below this share of what the thrusters at work push altogether counts as nothing:
directions are written to a thousandth, so less cannot be told from none (project default)."""


@dataclass(frozen=True, slots=True)
class Authority:
    """One demand. Newton or newton metre on its own axis, signed as it comes out.

    `positive` is the wrench at full positive demand, `negative` at full negative; both without
    trim. `coupling` is, per other axis, its wrench divided by that on the own axis, at full
    positive demand, moments divided by the largest lever arm first; empty where the own axis does
    not move. `is_asked`: the map in force gives it a share, or a control drives it.
    """

    positive: float
    negative: float
    answers: Answers
    coupling: Mapping[str, float]
    is_asked: bool


def authority(configuration: Configuration) -> dict[str, Authority]:
    """The authority of all six demands; those that nobody asks for answer `not-at-all`."""
    asked = asked_demands(configuration)
    return {d: _authority(configuration, d, d in asked) for d in DEMANDS}


def asked_demands(configuration: Configuration) -> tuple[str, ...]:
    """Demands with a share in the map in force, or driven by a control."""
    shares = configuration.thruster_map.shares
    driven = driven_demands(configuration)
    return tuple(d for d in DEMANDS if any(shares.get(d, {}).values()) or d in driven)


def driven_demands(configuration: Configuration) -> tuple[str, ...]:
    """Demands that some control drives by more than nothing."""
    entries = configuration.steering_scheme.entries
    driven = {e.drives for e in entries if channel_of(e.drives) is None and e.full_stick}
    return tuple(d for d in DEMANDS if d in driven)


def smallest_wrench(configuration: Configuration, found: Response) -> dict[str, float]:
    """Per axis the size, N or N m, below which a response counts as nothing."""
    force = moment = 0.0
    for t in configuration.thrusters:
        push = abs(found.thrusters[t.thruster].thrust_n)
        force += push
        moment += push * math.hypot(*t.position_m)
    return {axis: NOTHING_SHARE * (force if axis in "XYZ" else moment) for axis in AXES}


def significant(configuration: Configuration, found: Response) -> dict[str, float]:
    """The response's wrench with what counts as nothing set to 0."""
    smallest = smallest_wrench(configuration, found)
    return {a: w if abs(w) > smallest[a] else 0.0 for a, w in found.wrench.items()}


def in_newton(wrench: Mapping[str, float], lever_m: float) -> dict[str, float]:
    """The wrench with moments divided by a lever arm, so that its axes compare; not divided at 0."""
    return {a: w / lever_m if a in "KMN" and lever_m > 0 else w for a, w in wrench.items()}


def _authority(configuration: Configuration, demand: str, is_asked: bool) -> Authority:
    axis = AXIS_OF[demand]
    ahead = response(configuration, {demand: 1.0})
    back = response(configuration, {demand: -1.0})
    positive = significant(configuration, ahead)[axis]
    negative = significant(configuration, back)[axis]
    coupling: dict[str, float] = {}
    if positive:
        even = in_newton(significant(configuration, ahead), largest_lever_m(configuration))
        coupling = {a: even[a] / even[axis] for a in AXES if a != axis}
    return Authority(positive, negative, _answers(positive, negative), coupling, is_asked)


def _answers(positive: float, negative: float) -> Answers:
    if positive > 0 > negative:
        return "as-commanded"
    if positive > 0 or negative < 0:
        return "one-way"
    # What never goes the right way and sometimes the wrong one is backwards: it must not pass as dead.
    return "backwards" if positive < 0 or negative > 0 else "not-at-all"
