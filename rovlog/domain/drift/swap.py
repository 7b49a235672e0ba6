"""One value of a configuration replaced by what another one has there, with what belongs to it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from rovlog.domain.drift.leaves import ABSENT, Difference, escaped, value_at, with_value

CODES = ("steering_scheme", "thruster_map")


def swapped(reference: Mapping[str, Any], pointer: str, source: Mapping[str, Any]) -> dict[str, Any]:
    """The reference with one value as the source has it.

    A box's number brings its meaning along; a firmware or a box brings what it makes of the
    numbers that stayed the same; a thruster's model brings the model's table.
    """
    after = with_value(reference, pointer, value_at(source, pointer))
    model = _model_named(pointer, value_at(source, pointer))
    if model and model not in after.get("models", {}) and model in source.get("models", {}):
        after["models"] = {**after.get("models", {}), model: source["models"][model]}
    here, there = dict(reference.get("control_box", {})), dict(source.get("control_box", {}))
    for code in CODES:
        is_asked = pointer == f"/control_box/{code}"
        is_carrier = pointer in ("/control_box/firmware", "/control_box/box") and here.get(code) == there.get(
            code
        )
        if (is_asked or is_carrier) and code in source:
            after[code] = source[code]
    return after


def _model_named(pointer: str, value: Any) -> str:
    """The thruster model that a difference names; "" for any other difference."""
    keys = pointer.split("/")
    if keys[1:2] == ["thrusters"] and keys[-1] == "model" and isinstance(value, str):
        return value
    if keys[1:2] == ["thrusters"] and len(keys) == 3 and isinstance(value, Mapping):
        return str(value.get("model", ""))
    return ""


def causes(found: Sequence[Difference]) -> list[Difference]:
    """Leave out what a difference brings with it.

    A changed number of the box brings its meaning, a thruster with another model brings that model's
    table and leaves its old one behind: the number and the thruster are the differences.
    """
    numbers = {p.removeprefix("/control_box/") for p, _, _ in found if p.startswith("/control_box/")}
    brought = tuple(f"/{code}/" for code in CODES if code in numbers)
    tables = {
        f"/models/{escaped(model)}" for p, *values in found for model in (_model_named(p, v) for v in values)
    }
    return [
        d
        for d in found
        if not (brought and d[0].startswith(brought))
        and not (d[0] in tables and (d[1] is ABSENT or d[2] is ABSENT))
    ]
