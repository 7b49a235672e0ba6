"""The resolved configuration: a vehicle with its box's tables and its thruster models filled in."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any, NoReturn

from rovlog.documents.code_tables import CodeTables, decode, tables_of
from rovlog.problems import UsageError

__all__ = ["CodeTables", "configuration", "decode", "resolve", "tables_of"]

if TYPE_CHECKING:
    from rovlog.domain.vehicle import Configuration

NOT_CONFIGURATION = frozenset({"format", "name", "note", "notes"})
"""Keys that people write for people; a change of them is no change of the configuration."""


def configuration(resolved: Mapping[str, Any]) -> Configuration:
    """The typed values of a resolved object; what makes them is loaded by whoever computes with them."""
    from rovlog.documents.typed_configuration import configuration as typed

    return typed(resolved)


def resolve(
    vehicle: Mapping[str, Any], box: Mapping[str, Any], models: Mapping[str, Mapping[str, Any]]
) -> dict[str, Any]:
    """The resolved object of a valid vehicle, its box and its thruster models (by id).

    Raises UsageError where the box is another one, its tables lack a number the vehicle asks for,
    or a model is missing.
    """
    asked = vehicle["control_box"]
    if asked["box"] != box["box"]:
        _refuse(
            f"{vehicle['vehicle']} asks for box {asked['box']}, not {box['box']}", "give that box's record"
        )
    tables = tables_of(box)
    scheme = _entry(box, tables.steering_schemes, "steering scheme", asked["steering_scheme"])
    thruster_map = _entry(box, tables.thruster_maps, "thruster map", asked["thruster_map"])
    used = sorted({str(thruster["model"]) for thruster in vehicle["thrusters"]})
    for model in used:
        if model not in models:
            _refuse(
                f"there is no thruster model {model}", f"write thrusters/{model}.yaml, or name another model"
            )
    electrical = _without_words(vehicle["electrical"])
    resolved = {
        "vehicle": vehicle["vehicle"],
        "hull": _without_words(vehicle["hull"]),
        "housings": _by_id(vehicle.get("housings", ()), "housing"),
        "control_box": {**_without_words(asked), "firmware": box["firmware"], "channels": box["channels"]},
        "steering_scheme": {"controls": _by_control(scheme["controls"])},
        "thruster_map": {
            "shares": {
                demand: {str(channel): share for channel, share in shares.items()}
                for demand, shares in thruster_map["shares"].items()
            },
            "when_saturated": thruster_map["when_saturated"],
        },
        "thrusters": _by_id(vehicle["thrusters"], "thruster"),
        "models": {model: _without(_without_words(models[model]), "model") for model in used},
        "trim_defaults": {d: t for d, t in vehicle.get("trim_defaults", {}).items() if t != 0},
        "electrical": {**electrical, "standing_loads": _by_id(electrical.get("standing_loads", ()), "load")},
    }
    if vehicle.get("limits"):
        resolved["limits"] = dict(vehicle["limits"])
    return resolved


def _entry(box: Mapping[str, Any], table: Mapping[str, Any], what: str, number: int) -> Mapping[str, Any]:
    if str(int(number)) not in table:
        known = ", ".join(table) or "none"
        _refuse(
            f"box {box['box']} with firmware {box['firmware']} has no {what} {number}",
            f"its numbers are: {known}",
        )
    entry: Mapping[str, Any] = table[str(int(number))]
    return entry


def _refuse(message: str, mend: str) -> NoReturn:
    raise UsageError(message, mend)


def _without(row: Mapping[str, Any], key: str) -> dict[str, Any]:
    return {k: v for k, v in row.items() if k != key}


def _without_words(value: Any) -> Any:
    if isinstance(value, Mapping):
        return {k: _without_words(v) for k, v in value.items() if k not in NOT_CONFIGURATION}
    if isinstance(value, list | tuple):
        return [_without_words(row) for row in value]
    return value


def _by_id(rows: Sequence[Mapping[str, Any]], key: str) -> dict[str, Any]:
    return {row[key]: _without(_without_words(row), key) for row in rows}


def _by_control(rows: Sequence[Mapping[str, Any]]) -> dict[str, list[dict[str, Any]]]:
    controls: dict[str, list[dict[str, Any]]] = {}
    for row in rows:
        controls.setdefault(row["control"], []).append(_without(_without_words(row), "control"))
    return controls
