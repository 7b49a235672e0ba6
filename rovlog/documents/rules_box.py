"""Rules of a surface box by itself: its tables name only channels it has, each firmware once."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

from rovlog.documents.rows import members, rows, text, whole
from rovlog.problems import Problem

if TYPE_CHECKING:
    from rovlog.documents.tree import Tree


def box_problems(tree: Tree) -> Iterator[Problem]:
    """Everything the rules find in a box's file, the tables of other firmwares included."""
    value = tree.value
    channels = whole(value, "channels")
    yield from _tables(tree, "", value, channels)
    for pointer, firmware, tables in members(value, "", "other_firmwares"):
        if firmware == text(value, "firmware"):
            yield tree.problem(
                pointer,
                "firmware-twice",
                f"firmware {firmware} is the one the box has now",
                f"'{firmware}'",
                "firmwares the box had before",
                "keep its tables at the top of the file alone",
                at_key=True,
            )
        yield from _tables(tree, pointer, tables, channels)


def _tables(tree: Tree, pointer: str, tables: Mapping[str, Any], channels: int | None) -> Iterator[Problem]:
    if channels is None:
        return
    for place, key, scheme in members(tables, pointer, "steering_schemes"):
        yield from drives_problems(tree, rows(scheme, place, "controls"), channels, f"steering scheme {key}")
    for place, key, table in members(tables, pointer, "thruster_maps"):
        yield from share_channel_problems(
            tree, f"{place}/shares", table.get("shares"), channels, f"thruster map {key}"
        )


def drives_problems(
    tree: Tree, entries: Iterator[tuple[str, Mapping[str, Any]]], channels: int, what: str
) -> Iterator[Problem]:
    """Controls that drive a channel the box does not have."""
    for place, row in entries:
        drives = text(row, "drives")
        channel = drives.removeprefix("channel-")
        if drives.startswith("channel-") and channel.isdecimal() and int(channel) > channels:
            yield tree.problem(
                f"{place}/drives",
                "channel-out-of-range",
                f"{what} drives channel {channel}",
                drives,
                f"channel-1 to channel-{channels}",
                f"the box has {channels} channels",
            )


def share_channel_problems(
    tree: Tree, pointer: str, shares: Any, channels: int, what: str
) -> Iterator[Problem]:
    """Shares on a channel the box does not have."""
    for place, demand, row in members(shares, pointer):
        for channel in row:
            if channel.isdecimal() and not 1 <= int(channel) <= channels:
                yield tree.problem(
                    f"{place}/{channel}",
                    "channel-out-of-range",
                    f"{what} gives {demand} to channel {channel}",
                    channel,
                    f"1 to {channels}",
                    f"the box has {channels} channels",
                    at_key=True,
                )
