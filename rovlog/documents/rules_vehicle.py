"""Rules of a vehicle by itself: unique ids, directions of unit length, one way to say a size."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from math import hypot, isfinite
from typing import TYPE_CHECKING, Any

from rovlog.documents.rows import mapping, members, number, rows, said, text, whole
from rovlog.problems import Problem

if TYPE_CHECKING:
    from rovlog.documents.tree import Tree

UNIT_TOLERANCE = 0.001
"""How far the length of a direction may be from 1; it is normalised in use."""

FURTHEST_M = 3.0
"""A place on a small vehicle is no further from its origin than this, metres (project default)."""


def vehicle_problems(tree: Tree) -> Iterator[Problem]:
    """Everything the rules find in a vehicle's file."""
    value = tree.value
    yield from duplicates(tree, rows(value, "", "thrusters"), "thruster")
    yield from duplicates(tree, rows(value, "", "housings"), "housing")
    yield from duplicates(tree, rows(value, "", "electrical", "standing_loads"), "load")
    for pointer, row in rows(value, "", "thrusters"):
        yield from direction_problems(tree, pointer, row, text(row, "thruster"))
        yield from far_problems(tree, f"{pointer}/position_m", row, f"thruster {text(row, 'thruster')}")
    for key in ("centre_of_mass_m", "centre_of_buoyancy_m"):
        yield from far_problems(tree, f"/hull/{key}", mapping(value, "hull"), "hull")
    yield from tether_problems(tree, mapping(value, "electrical", "tether"), "/electrical/tether")


def duplicates(tree: Tree, found: Iterable[tuple[str, Mapping[str, Any]]], key: str) -> Iterator[Problem]:
    """Rows that carry an id another row has already; compared without case."""
    seen: dict[str, str] = {}
    for pointer, row in found:
        name = text(row, key)
        if not name:
            continue
        first = seen.setdefault(name.casefold(), pointer)
        if first != pointer:
            line = tree.place(f"{first}/{key}").line
            yield tree.problem(
                f"{pointer}/{key}",
                "duplicate-id",
                f"{key} {name} stands here a second time",
                f"'{name}'",
                f"an id that no other {key} has",
                f"give it another id; the first is in line {line}",
            )


def direction_problems(tree: Tree, pointer: str, row: Mapping[str, Any], name: str) -> Iterator[Problem]:
    """A thrust direction that has no length, or not the length 1."""
    direction = row.get("thrust_direction")
    if not isinstance(direction, list) or len(direction) != 3:
        return
    parts = [number({"at": part}, "at") for part in direction]
    if any(part is None or not isfinite(part) for part in parts):
        return
    x, y, z = (float(part) for part in parts if part is not None)
    length = hypot(x, y, z)
    found = f"[{said(x)}, {said(y)}, {said(z)}]"
    if length == 0:
        yield tree.problem(
            f"{pointer}/thrust_direction",
            "direction-zero",
            f"thrust_direction of thruster {name} has no length",
            found,
            "a vector of length 1",
            "say where it pushes the vehicle: [1, 0, 0] is ahead, [0, 1, 0] to starboard, [0, 0, 1] down",
        )
    elif abs(length - 1) > UNIT_TOLERANCE:
        unit = ", ".join(f"{part / length:.4f}" for part in (x, y, z))
        yield tree.problem(
            f"{pointer}/thrust_direction",
            "direction-not-unit",
            f"thrust_direction of thruster {name} has the length {length:.4g}",
            found,
            f"a vector of length 1, within {UNIT_TOLERANCE}",
            f"[{unit}] is the same direction with length 1",
        )


def far_problems(tree: Tree, pointer: str, row: Mapping[str, Any], whose: str) -> Iterator[Problem]:
    """A place further from the origin than a small vehicle reaches: centimetres taken for metres."""
    key = pointer.rpartition("/")[2]
    parts = row.get(key)
    if not isinstance(parts, list) or not all(number({"at": part}, "at") is not None for part in parts):
        return
    lengths = [float(part) for part in parts]
    furthest = max((abs(part) for part in lengths), default=0.0)
    if furthest <= FURTHEST_M or not isfinite(furthest):
        return
    unit, size = ("centimetres", 100.0) if furthest <= 100.0 * FURTHEST_M else ("millimetres", 1000.0)
    metres = ", ".join(f"{part / size:g}" for part in lengths)
    yield tree.problem(
        pointer,
        "implausible-length",
        f"{key} of {whose} lies {furthest:g} m from the origin, which no small vehicle reaches",
        f"[{', '.join(said(part) for part in lengths)}]",
        f"metres, within {FURTHEST_M:g} of the origin",
        f"are these {unit}? then write [{metres}]",
    )


def tether_problems(tree: Tree, tether: Mapping[str, Any], pointer: str) -> Iterator[Problem]:
    """A conductor size that is given twice."""
    if "conductor_area_mm2" in tether and "conductor_awg" in tether:
        yield tree.problem(
            f"{pointer}/conductor_awg",
            "given-twice",
            "the conductor is given by area and by gauge",
            "conductor_area_mm2 and conductor_awg",
            "one of the two",
            "leave one of them out",
            at_key=True,
        )


def channel_problems(
    tree: Tree, pointer: str, row: Mapping[str, Any], name: str, channels: int | None, box: str
) -> Iterator[Problem]:
    """A thruster on a channel that the box does not have."""
    channel = whole(row, "channel")
    if channel is not None and channels is not None and channel > channels:
        yield tree.problem(
            f"{pointer}/channel",
            "channel-out-of-range",
            f"channel of thruster {name} is {channel}",
            str(channel),
            f"1 to {channels}, the channels of {box}",
            f"write the channel its leads are on; {box} has {channels}",
        )


def share_problems(
    tree: Tree, pointer: str, shares: Any, used: set[int], what: str, *, at: str | None = None
) -> Iterator[Problem]:
    """Shares of the map in force on channels that no thruster is wired to; `at` is where to report."""
    idle: dict[str, list[str]] = {}
    for _, demand, row in members(shares, ""):
        for channel in row:
            share = number(row, channel)
            if channel.isdecimal() and share and int(channel) not in used:
                idle.setdefault(channel, []).append(demand)
    for channel, demands in idle.items():
        where = at if at is not None else f"{pointer}/{demands[0]}/{channel}"
        wired = ", ".join(str(number) for number in sorted(used)) or "none"
        yield tree.problem(
            where,
            "share-without-thruster",
            f"{what} gives {' and '.join(demands)} to channel {channel}, and no thruster is on it",
            f"channel {channel}",
            f"channels with a thruster: {wired}",
            "correct the channel of a thruster, or choose a map that fits the wiring",
        )
