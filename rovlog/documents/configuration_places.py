"""Where a value of the resolved configuration stands in the files: the way back from `resolve`."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from rovlog.documents.pointer import tokens
from rovlog.domain.drift.leaves import escaped
from rovlog.domain.nearest import nearest_mend
from rovlog.problems import UsageError
from rovlog.values import dataclass

PLACES = ("hull", "housings", "control_box", "steering_scheme", "thruster_map", "thrusters", "models",
          "trim_defaults", "electrical", "limits")  # fmt: skip


@dataclass(frozen=True, slots=True)
class FilePlace:
    """A file of the logbook and an RFC 6901 pointer into that document, "" for the whole."""

    file: str
    pointer: str


def place_in_files(pointer: str, vehicle: Mapping[str, Any], box: Mapping[str, Any]) -> FilePlace:
    """The file and the place in it where the value at a pointer into the configuration is written.

    The value need not exist there yet (a trim of 0, a default). Raises UsageError for a pointer
    that no file can hold, and for ids that do not exist, with the nearest one.
    """
    path = tokens(pointer)
    if not path:
        raise UsageError("the whole configuration is not one value", "name one, as /trim_defaults/heave")
    first, rest = path[0], path[1:]
    own = f"vehicles/{vehicle['vehicle']}.yaml"
    if first == "vehicle":
        raise UsageError(
            "a vehicle's id is its file's name and stands in all its records",
            "write a vehicle file of another name by hand",
        )
    if first not in PLACES:
        raise UsageError(f"a configuration has nothing at /{escaped(first)}", nearest_mend(first, PLACES))
    if first == "control_box" and rest[:1] in (["firmware"], ["channels"]):
        return _of_the_box(box, rest)
    if first == "steering_scheme":
        return _in_scheme(vehicle, box, rest, pointer)
    if first == "thruster_map":
        number = int(vehicle["control_box"]["thruster_map"])
        return FilePlace(f"boxes/{box['box']}.yaml", _joined(["thruster_maps", str(number), *rest]))
    if first == "models":
        return _in_model(vehicle, rest)
    if first in ("thrusters", "housings"):
        return FilePlace(own, _in_rows(vehicle.get(first, ()), [first], first[:-1], rest))
    if first == "electrical" and rest[:1] == ["standing_loads"]:
        loads = vehicle["electrical"].get("standing_loads", ())
        return FilePlace(own, _in_rows(loads, ["electrical", "standing_loads"], "load", rest[1:]))
    return FilePlace(own, _joined(path))


def _of_the_box(box: Mapping[str, Any], rest: list[str]) -> FilePlace:
    if rest[0] == "firmware":
        raise UsageError(
            "another firmware brings other code tables with it",
            f"in boxes/{box['box']}.yaml move the present tables under other_firmwares by hand, "
            "then write the new firmware and its tables",
        )
    return FilePlace(f"boxes/{box['box']}.yaml", _joined(rest))


def _in_scheme(
    vehicle: Mapping[str, Any], box: Mapping[str, Any], rest: list[str], pointer: str
) -> FilePlace:
    """`controls/<control>/<k>/…`: the k-th row of that control, wherever it stands in the box's list."""
    if len(rest) < 4 or rest[0] != "controls":
        raise UsageError(
            f"{pointer} is not one value of a steering scheme",
            "write /steering_scheme/controls/CONTROL/0/KEY, with full_stick, dead_band, cubic_share, …",
        )
    number = str(int(vehicle["control_box"]["steering_scheme"]))
    rows: Sequence[Mapping[str, Any]] = box["steering_schemes"][number]["controls"]
    mine = [index for index, row in enumerate(rows) if row.get("control") == rest[1]]
    if not mine:
        known = [str(row.get("control")) for row in rows]
        raise UsageError(f"steering scheme {number} has no control {rest[1]!r}", nearest_mend(rest[1], known))
    if not rest[2].isdecimal() or int(rest[2]) >= len(mine):
        raise UsageError(
            f"{rest[1]} has {len(mine)} entr{'y' if len(mine) == 1 else 'ies'} in steering scheme {number}",
            "count them from 0",
        )
    place = ["steering_schemes", number, "controls", str(mine[int(rest[2])]), *rest[3:]]
    return FilePlace(f"boxes/{box['box']}.yaml", _joined(place))


def _in_model(vehicle: Mapping[str, Any], rest: list[str]) -> FilePlace:
    known = sorted({str(thruster["model"]) for thruster in vehicle["thrusters"]})
    if len(rest) < 2 or rest[0] not in known:
        found = rest[0] if rest else ""
        raise UsageError(
            f"this vehicle has no value at /models/{escaped(found)}",
            nearest_mend(found, known) if rest else f"models are: {', '.join(known)}",
        )
    return FilePlace(f"thrusters/{rest[0]}.yaml", _joined(rest[1:]))


def _in_rows(rows: Sequence[Mapping[str, Any]], above: list[str], key: str, rest: list[str]) -> str:
    """A row of a list that the configuration keys by id: the id becomes the row's place in the list."""
    known = [str(row[key]) for row in rows]
    if len(rest) < 2 or rest[0] not in known:
        found = rest[0] if rest else ""
        raise UsageError(
            f"this vehicle has no value at {_joined([*above, *rest])}",
            f"name one value of it, as {_joined([*above, found])}/KEY"
            if found in known
            else nearest_mend(found, known),
        )
    return _joined([*above, str(known.index(rest[0])), *rest[1:]])


def _joined(path: Sequence[str]) -> str:
    return "".join(f"/{escaped(token)}" for token in path)
