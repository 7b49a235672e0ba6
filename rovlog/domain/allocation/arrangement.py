"""How thrusters, channels and the map fit together: what is idle, uneven, or cannot be told apart."""

from __future__ import annotations

import math
from itertools import combinations

from rovlog.domain.allocation.authority import AXIS_OF, asked_demands
from rovlog.domain.allocation.demand import channel_of
from rovlog.domain.allocation.response import response
from rovlog.domain.allocation.thrust import ends_n
from rovlog.domain.allocation.wrench import columns, largest_lever_m, unit
from rovlog.domain.vehicle import AXES, Configuration, Thruster
from rovlog.values import dataclass

MIRROR_DISTANCE_M = 0.02
"""Two thrusters count as mirrored where one lies this near to the other's mirror image (project default)."""

MIRROR_DIRECTION = 0.05
"""No unit: the same for their unit directions, about three degrees (project default)."""

MIRROR_DIFFERENCE = 0.10
"""No unit: the difference of two mirrored thrusters' wrenches that is worth a look (project default)."""

_MIRRORED = dict(zip(AXES, (1.0, -1.0, 1.0, -1.0, 1.0, -1.0), strict=True))
"""Sign each axis takes when port and starboard change places; the same for the demand on it."""


@dataclass(frozen=True, slots=True)
class Unused:
    """A thruster that no demand uses; `controls` drive its channel directly, if any do."""

    thruster: str
    channel: int
    controls: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class EmptyChannel:
    """A channel that is driven although no thruster is wired to it; by demands and by controls."""

    channel: int
    demands: tuple[str, ...]
    controls: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class MirrorMismatch:
    """Two thrusters built as mirror images that do not push as mirror images.

    `difference`: the greatest difference of their wrenches over the demands, as a share of the
    larger one, no unit; `demand` is where it is greatest.
    """

    port: str
    starboard: str
    demand: str
    difference: float


@dataclass(frozen=True, slots=True)
class Rank:
    """How many of the axes asked for can be moved independently, thrusters on a channel moving together."""

    rank: int
    axes: tuple[str, ...]


def unused_thrusters(configuration: Configuration) -> tuple[Unused, ...]:
    """Thrusters whose channel no demand of the map in force has a share in."""
    used = {c for row in configuration.thruster_map.shares.values() for c, share in row.items() if share}
    return tuple(
        Unused(t.thruster, t.channel, _controls_on(configuration, t.channel))
        for t in configuration.thrusters
        if t.channel not in used
    )


def empty_channels(configuration: Configuration) -> tuple[EmptyChannel, ...]:
    """Channels that the map or a control drives but that have no thruster."""
    shares = configuration.thruster_map.shares
    wired = set(configuration.channels_in_use)
    driven = {c for row in shares.values() for c, share in row.items() if share}
    direct = (channel_of(e.drives) for e in configuration.steering_scheme.entries)
    driven.update(c for c in direct if c is not None)
    return tuple(
        EmptyChannel(c, tuple(d for d, row in shares.items() if row.get(c)), _controls_on(configuration, c))
        for c in sorted(driven - wired)
    )


def mirror_mismatches(configuration: Configuration) -> tuple[MirrorMismatch, ...]:
    """Pairs mirrored in y (within 2 cm) and in direction whose wrenches differ by over 10 %.

    Compared is what each does for every demand of the map against what the other does for the
    mirrored demand (yaw to starboard against yaw to port), so that a table that differs ahead and
    astern, or a polarity that the shares make good, is no difference.
    """
    pairs = [p for p in combinations(configuration.thrusters, 2) if _is_mirrored(*p)]
    found = []
    for a, b in pairs:
        worst = max(((_difference(configuration, a, b, d), d) for d in _mapped(configuration)), default=None)
        if worst is not None and worst[0] > MIRROR_DIFFERENCE:
            port, starboard = sorted((a, b), key=lambda t: t.position_m[1])
            found.append(MirrorMismatch(port.thruster, starboard.thruster, worst[1], worst[0]))
    return tuple(found)


def rank(configuration: Configuration) -> Rank:
    """The rank of the wrench matrix over the axes of the demands asked for."""
    axes = tuple(AXIS_OF[d] for d in asked_demands(configuration))
    matrix = [[column[AXES.index(a)] for column in channel_columns(configuration).values()] for a in axes]
    return Rank(_rank(matrix), axes)


def channel_columns(configuration: Configuration) -> dict[int, list[float]]:
    """Per channel in use the wrench at full command, the mean of both ways, moments divided by the lever arm.

    Newton throughout (moments are left in newton metre where the largest lever arm is zero), in the
    order of AXES.
    """
    lever_m = largest_lever_m(configuration) or 1.0
    of = columns(configuration)
    found = {c: [0.0] * 6 for c in configuration.channels_in_use}
    for t in configuration.thrusters:
        low, high = ends_n(configuration.models[t.model])
        gain = t.sign * (high - low) / 2
        for row, share in enumerate(of[t.thruster]):
            found[t.channel][row] += gain * share / (lever_m if row > 2 else 1.0)
    return found


def _controls_on(configuration: Configuration, channel: int) -> tuple[str, ...]:
    entries = configuration.steering_scheme.entries
    return tuple(dict.fromkeys(e.control for e in entries if channel_of(e.drives) == channel))


def _mapped(configuration: Configuration) -> list[str]:
    return [d for d, row in configuration.thruster_map.shares.items() if any(row.values())]


def _is_mirrored(a: Thruster, b: Thruster) -> bool:
    x, y, z = a.position_m
    if math.dist((x, -y, z), b.position_m) > MIRROR_DISTANCE_M:
        return False
    ex, ey, ez = unit(a.thrust_direction)
    fx, fy, fz = unit(b.thrust_direction)
    # A push described the other way round is still a mirror image: the wiring decides the sign.
    return any(math.dist((ex, -ey, ez), (s * fx, s * fy, s * fz)) <= MIRROR_DIRECTION for s in (1, -1))


def _difference(configuration: Configuration, a: Thruster, b: Thruster, demand: str) -> float:
    here = _own_wrench(configuration, a, demand, 1.0)
    there = _own_wrench(configuration, b, demand, _MIRRORED[AXIS_OF[demand]])
    mirrored = [sign * w for sign, w in zip(_MIRRORED.values(), here, strict=True)]
    larger = max(math.hypot(*mirrored), math.hypot(*there))
    return math.dist(mirrored, there) / larger if larger else 0.0


def _own_wrench(configuration: Configuration, thruster: Thruster, demand: str, way: float) -> list[float]:
    push = response(configuration, {demand: way}).thrusters[thruster.thruster].thrust_n
    lever_m = largest_lever_m(configuration) or 1.0
    column = columns(configuration)[thruster.thruster]
    return [push * c / (lever_m if row > 2 else 1.0) for row, c in enumerate(column)]


def _rank(matrix: list[list[float]]) -> int:
    """Gaussian elimination with complete pivoting; what is left below a millionth is rounding."""
    rows = [row[:] for row in matrix]
    largest = max((abs(v) for row in rows for v in row), default=0.0)
    count = 0
    while rows and rows[0] and largest:
        size, i, j = max((abs(v), i, j) for i, row in enumerate(rows) for j, v in enumerate(row))
        if size <= 1e-6 * largest:
            break
        pivot = rows.pop(i)
        rows = [[v - row[j] / pivot[j] * p for v, p in zip(row, pivot, strict=True)] for row in rows]
        count += 1
    return count
