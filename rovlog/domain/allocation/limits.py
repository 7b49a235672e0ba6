"""The geometric limit: the greatest wrench on one axis that leaves the others at zero."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from itertools import pairwise

from rovlog.domain.allocation.simplex import maximise
from rovlog.domain.allocation.thrust import ends_n, greatest_thrust_n, table, thrust_and_current
from rovlog.domain.allocation.wrench import columns
from rovlog.domain.vehicle import AXES, Configuration, Thruster
from rovlog.values import dataclass

LIMIT_AXES = ("X", "Y", "Z", "N")
"""Roll and pitch are left to the righting moment."""

ROUNDING = 1e-9
"""No unit. What is smaller than this share of its axis' scale is rounding and counts as 0."""

Push = tuple[float, float, float, float]
"""Wrench on LIMIT_AXES of one channel's thrusters; newton, newton, newton, newton metre."""


@dataclass(frozen=True, slots=True)
class Limit:
    """The greatest wrench each way on one axis, signed; newton, or newton metre on N."""

    positive: float
    negative: float


def limits(configuration: Configuration) -> dict[str, Limit]:
    """Per axis X, Y, Z, N the greatest wrench each way while the other three are zero.

    Each thruster's force may lie anywhere between its table's ends; thrusters on one channel move
    together: alike, they share one force; unlike, they go through their tables by command, which is
    solved exactly by branching over the tables' segments. Roll and pitch are left to the righting
    moment. The shares of the map in force play no part: this is what the wiring could do at most.
    """
    paths = [path(configuration, channel) for channel in configuration.channels_in_use]
    scale = _scale(configuration)
    clean = [[_without_rounding(p, scale) for p in points] for points in paths]
    found = {}
    for row, axis in enumerate(LIMIT_AXES):
        ways = [way * _greatest(clean, row, way) for way in (1.0, -1.0)]
        up, down = (w if abs(w) > ROUNDING * scale[row] else 0.0 for w in ways)
        found[axis] = Limit(up, down)
    return found


def path(configuration: Configuration, channel: int) -> list[Push]:
    """Corners of the line that a channel's wrench runs along, straight between them."""
    on = [t for t in configuration.thrusters if t.channel == channel]
    commands = sorted({t.sign * p.command for t in on for p in table(configuration.models[t.model])})
    curves = [[_thrust(configuration, t, c) for c in commands] for t in on]
    alike = [_sign_alike(curves[0], curve) for curve in curves]
    if all(alike):
        low, high = ends_n(configuration.models[on[0].model])
        if on[0].sign < 0:
            low, high = high, low
        return [_sum(configuration, on, [sign * f for sign in alike]) for f in (low, high)]
    corners = [_sum(configuration, on, [curve[i] for curve in curves]) for i in range(len(commands))]
    return _without_straight_corners(corners)


def _thrust(configuration: Configuration, thruster: Thruster, command: float) -> float:
    return thrust_and_current(configuration.models[thruster.model], thruster.sign * command)[0]


def _sign_alike(first: Sequence[float], other: Sequence[float]) -> float:
    """1 or -1 where the curves are the same or each other's opposite, else 0."""
    for sign in (1.0, -1.0):
        if all(
            math.isclose(b, sign * a, rel_tol=1e-12, abs_tol=1e-12) for a, b in zip(first, other, strict=True)
        ):
            return sign
    return 0.0


def _sum(configuration: Configuration, on: Sequence[Thruster], thrusts: Sequence[float]) -> Push:
    of = columns(configuration)
    rows = [AXES.index(axis) for axis in LIMIT_AXES]
    x, y, z, n = (sum(of[t.thruster][row] * f for t, f in zip(on, thrusts, strict=True)) for row in rows)
    return (x, y, z, n)


def _without_straight_corners(corners: list[Push]) -> list[Push]:
    """Leave out points that lie between their neighbours on a straight line."""
    kept = corners[:1]
    for here, after in pairwise(corners[1:]):
        before = kept[-1]
        there = math.dist(before, after)
        if math.dist(before, here) + math.dist(here, after) > there * (1 + 1e-12):
            kept.append(here)
    return kept + corners[-1:]


def _scale(configuration: Configuration) -> Push:
    """Per axis, the size below whose ROUNDING share a sum of thrusts is only rounding."""
    force = moment = 0.0
    for t in configuration.thrusters:
        push = greatest_thrust_n(configuration.models[t.model])
        force += push
        moment += push * math.hypot(*t.position_m)
    return (force, force, force, moment)


def _without_rounding(push: Push, scale: Push) -> Push:
    x, y, z, n = (v if abs(v) > ROUNDING * s else 0.0 for v, s in zip(push, scale, strict=True))
    return (x, y, z, n)


def _greatest(paths: Sequence[Sequence[Push]], row: int, way: float) -> float:
    """Branch and bound over the segments; each node lets a channel mix the corners of a stretch.

    The mixture of a whole stretch is its convex hull, so a node's answer bounds all positions in
    it, and it is a true position once every channel mixes two neighbouring corners only.
    """
    best = 0.0  # everything at rest is always possible
    slack = ROUNDING * sum(max(abs(p[row]) for p in points) for points in paths)
    waiting = [tuple((0, len(points) - 1) for points in paths)]
    while waiting:
        stretches = waiting.pop()
        solved = _mixture(paths, stretches, row, way)
        if solved is None or solved[0] <= best + slack:
            continue
        value, shares = solved
        split = _worst_mixed(stretches, shares)
        if split is None:
            best = value
            continue
        channel, at = split
        low, high = stretches[channel]
        for part in ((low, at), (at, high)):
            waiting.append((*stretches[:channel], part, *stretches[channel + 1 :]))
    return best


def _mixture(
    paths: Sequence[Sequence[Push]], stretches: Sequence[tuple[int, int]], row: int, way: float
) -> tuple[float, list[list[float]]] | None:
    gains: list[float] = []
    owner: list[int] = []
    points: list[Push] = []
    for channel, (low, high) in enumerate(stretches):
        for push in paths[channel][low : high + 1]:
            gains.append(way * push[row])
            owner.append(channel)
            points.append(push)
    balance = [[p[k] for p in points] for k in range(4) if k != row]
    whole = [[1.0 if o == channel else 0.0 for o in owner] for channel in range(len(paths))]
    solved = maximise(gains, balance + whole, [0.0] * 3 + [1.0] * len(paths))
    if solved is None:
        return None
    value, x = solved
    shares = [[v for v, o in zip(x, owner, strict=True) if o == channel] for channel in range(len(paths))]
    return value, shares


def _worst_mixed(
    stretches: Sequence[tuple[int, int]], shares: Sequence[Sequence[float]]
) -> tuple[int, int] | None:
    """The channel whose mixture spans most corners, and the corner to part it at; None if none does."""
    widest: tuple[int, int, int] | None = None
    for channel, mixed in enumerate(shares):
        used = [i for i, v in enumerate(mixed) if v > ROUNDING]
        span = used[-1] - used[0]
        if span > 1 and (widest is None or span > widest[0]):
            middle = sum(i * v for i, v in enumerate(mixed))
            at = min(max(round(middle), used[0] + 1), used[-1] - 1)
            widest = (span, channel, stretches[channel][0] + at)
    return None if widest is None else (widest[1], widest[2])


def limit_numbers(found: Mapping[str, Limit]) -> dict[str, dict[str, float]]:
    """The limits as plain numbers, by axis and way."""
    return {axis: {"positive": limit.positive, "negative": limit.negative} for axis, limit in found.items()}
