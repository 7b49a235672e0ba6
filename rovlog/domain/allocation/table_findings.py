"""Oddities of a thruster model's table that are worth saying at approval."""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise

from rovlog.domain.allocation.thrust import table
from rovlog.domain.findings import Finding
from rovlog.domain.vehicle import Configuration, ThrusterModel, ThrustPoint

FALLING_MOTOR = "motor-current-falls"
"""I / |c| is the motor's own current: where it falls with voltage, several operating points may exist."""


def table_findings(configuration: Configuration) -> list[Finding]:
    """For each model in use: thrust, current, or current per command that falls as the command grows."""
    used = {t.model for t in configuration.thrusters}
    return [f for name, model in configuration.models.items() if name in used for f in model_findings(model)]


def model_findings(model: ThrusterModel) -> list[Finding]:
    """The same for one model; at most one finding of a kind, at the first place it happens."""
    rules: tuple[tuple[str, str, str, Callable[[ThrustPoint], float]], ...] = (
        ("thrust-falls", "thrust falls", "N", lambda p: abs(p.thrust_n)),
        ("current-falls", "current falls", "A", lambda p: p.current_a),
        (FALLING_MOTOR, "current divided by command falls", "A", _per_command),
    )
    found = []
    for rule, words, unit, size in rules:
        fall = _first_fall(model, size)
        if fall is None:
            continue
        inner, outer = fall
        found.append(
            Finding(
                f"{rule}-{model.model}",
                "note",
                f"{model.model}: {words} from {size(inner):.3g} to {size(outer):.3g} {unit} "
                f"as the command grows from {inner.command:g} to {outer.command:g}"
                + (
                    ", so voltages under load may not be unique: the highest is shown"
                    if rule == FALLING_MOTOR
                    else ""
                ),
                f"/models/{model.model}/points",
                size(outer),
                size(inner),
                size(outer) - size(inner),
                unit,
                "measure these points again; if they are right, accept it with that reason",
            )
        )
    return found


def _per_command(point: ThrustPoint) -> float:
    """Motor current at a share of rated voltage, I / |c|, ampere (the driver's duty taken out)."""
    return point.current_a / abs(point.command)


def _first_fall(
    model: ThrusterModel, size: Callable[[ThrustPoint], float]
) -> tuple[ThrustPoint, ThrustPoint] | None:
    """The first two neighbours, going outwards from the origin, where `size` falls by more than rounding."""
    points = [p for p in table(model) if p.command]
    ahead = [p for p in points if p.command > 0]
    astern = [p for p in reversed(points) if p.command < 0]
    for way in (ahead, astern):
        for inner, outer in pairwise(way):
            if size(outer) < size(inner) * (1 - 1e-9):
                return inner, outer
    return None
