"""What vehicles, boxes and approvals refer to: box, numbers in its tables, models, channels, parts."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

from rovlog.documents.code_tables import CodeTables, tables_of
from rovlog.documents.index import Index
from rovlog.documents.rows import mapping, rows, text, whole
from rovlog.documents.rules_vehicle import channel_problems, share_problems
from rovlog.problems import Problem

if TYPE_CHECKING:
    from rovlog.documents.tree import Tree


def vehicle_references(index: Index) -> Iterator[Problem]:
    """Everything that vehicles, boxes and approvals name and that does not exist."""
    for tree in index.by_stem.get("vehicles", {}).values():
        yield from _vehicle(index, tree)
    for tree in index.by_stem.get("boxes", {}).values():
        if isinstance(tree.value, Mapping):
            yield from index.missing(tree, "/part", "parts", tree.value.get("part"), "part of the box")
    for name, tree in index.trees.items():
        if name.startswith("approvals/") and isinstance(tree.value, Mapping):
            value = tree.value
            yield from index.missing(tree, "/vehicle", "vehicles", value.get("vehicle"), "vehicle")
            for key in ("approved_by", "withdrawn_by"):
                yield from index.unknown_person(tree, f"/{key}", value.get(key), key)


def _vehicle(index: Index, tree: Tree) -> Iterator[Problem]:
    value = mapping(tree.value)
    for pointer, row in rows(value, "", "thrusters"):
        name = text(row, "thruster")
        yield from index.missing(
            tree, f"{pointer}/model", "thrusters", row.get("model"), f"model of thruster {name}"
        )
        yield from index.missing(
            tree, f"{pointer}/part", "parts", row.get("part"), f"part of thruster {name}"
        )
    for pointer, row in rows(value, "", "housings"):
        yield from index.missing(
            tree, f"{pointer}/part", "parts", row.get("part"), f"part of housing {text(row, 'housing')}"
        )
    for key in ("supply", "fuse", "tether"):
        found = mapping(value, "electrical", key).get("part")
        yield from index.missing(tree, f"/electrical/{key}/part", "parts", found, f"part of {key}")
    asked = mapping(value, "control_box")
    name = text(asked, "box")
    yield from index.missing(tree, "/control_box/box", "boxes", name, "box of control_box")
    box = index.value("boxes", name)
    if box:
        yield from _in_box(tree, value, box, name)


def _in_box(tree: Tree, value: Mapping[str, Any], box: Mapping[str, Any], name: str) -> Iterator[Problem]:
    channels = whole(box, "channels")
    used: set[int | None] = set()
    for pointer, row in rows(value, "", "thrusters"):
        yield from channel_problems(tree, pointer, row, text(row, "thruster"), channels, name)
        used.add(whole(row, "channel"))
    if not isinstance(box.get("firmware"), str):
        return
    tables = tables_of(
        {
            **box,
            "steering_schemes": mapping(box, "steering_schemes"),
            "thruster_maps": mapping(box, "thruster_maps"),
        }
    )
    asked = mapping(value, "control_box")
    for key, what, table in (
        ("steering_scheme", "steering scheme", tables.steering_schemes),
        ("thruster_map", "thruster map", tables.thruster_maps),
    ):
        number = whole(asked, key)
        if number is not None and str(number) not in table:
            yield _not_in_table(tree, f"/control_box/{key}", what, number, table, box, tables)
    number = whole(asked, "thruster_map")
    wired = {channel for channel in used if channel and (channels is None or channel <= channels)}
    if number is not None and used and wired == used:  # a wrong channel has its own problem
        shares = mapping(tables.thruster_maps.get(str(number)), "shares")
        what = f"thruster map {number} of {name}"
        yield from share_problems(tree, "", shares, wired, what, at="/control_box/thruster_map")


def _not_in_table(
    tree: Tree,
    pointer: str,
    what: str,
    number: int,
    table: Mapping[str, Any],
    box: Mapping[str, Any],
    now: CodeTables,
) -> Problem:
    key = "steering_schemes" if what == "steering scheme" else "thruster_maps"
    others = [
        f for f, tables in mapping(box, "other_firmwares").items() if str(number) in mapping(tables, key)
    ]
    known = ", ".join(_in_table(n, row) for n, row in table.items()) or "none"
    mend = f"numbers in its table: {known}"
    if others:
        mend += f"; firmware {others[0]} had a {number}"
    return tree.problem(
        pointer,
        "number-not-in-table",
        f"{what} is {number}, and firmware {now.firmware} of {text(box, 'box')} has none",
        str(number),
        f"a {what} of the box's table",
        mend,
    )


def _in_table(number: str, row: Any) -> str:
    """A number of a table with its name, where it has one."""
    return f"{number} {row['name']!r}" if isinstance(row, Mapping) and "name" in row else number
