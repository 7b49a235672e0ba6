"""A factor for a thruster model's currents from clamp readings, with the sag between them counted in."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from rovlog.domain.electrical.asked import asked_current
from rovlog.domain.electrical.bench import Fitted, model_scale
from rovlog.domain.electrical.motor import motor_table
from rovlog.domain.ranges import require_within
from rovlog.domain.vehicle import Configuration, ThrusterModel
from rovlog.problems import OutOfRangeError
from rovlog.values import dataclass, replace

STEPS = 40
CLOSE = 1e-7
"""No unit. A factor that changes by less than this is settled."""


@dataclass(frozen=True, slots=True)
class VehicleReading:
    """A whole current read on a vehicle at demands and at channels driven by themselves, ampere."""

    configuration: Configuration
    demands: Mapping[str, float]
    direct: Mapping[int, float]
    read_a: float
    where: str = ""


@dataclass(frozen=True, slots=True)
class ThrusterReading:
    """The current that the supply feeds one thruster, ampere, at a command and a supply voltage."""

    command: float
    read_a: float
    supply_v: float | None = None
    where: str = ""


@dataclass(frozen=True, slots=True)
class Compared:
    """What the model was read to draw, beside what its table as it stands gives there, ampere."""

    where: str
    computed_a: float
    read_a: float


@dataclass(frozen=True, slots=True)
class ModelFit:
    """The factor on every `current_a` of the table, and the readings it rests on, before scaling."""

    factor: Fitted
    rows: tuple[Compared, ...]


def scaled_model(model: ThrusterModel, factor: float) -> ThrusterModel:
    """The model with every current of its table times a factor; thrust is left as it is.

    Raises:
        OutOfRangeError: a factor that is not above 0.
    """
    require_within("scale factor", factor, 1e-6, 1e6)
    points = tuple(replace(p, current_a=p.current_a * factor) for p in model.points)
    return replace(model, points=points)


def fit_model(
    model: ThrusterModel,
    on_vehicles: Sequence[VehicleReading] = (),
    on_bench: Sequence[ThrusterReading] = (),
) -> ModelFit:
    """The factor that brings the model's currents to what was read, by least squares.

    What else a vehicle draws (standing loads, other models) is taken off both sides. More current
    sags the supply further, so the computed side is done again with each factor until it settles.

    Raises:
        OutOfRangeError: no readings, nothing computed to flow, a reading below what else is drawn,
            no operating point, a number that cannot be used.
    """
    if not on_vehicles and not on_bench:
        raise OutOfRangeError(
            f"there is no reading to scale {model.model} by", "read the clamp meter at a known command"
        )
    readings: list[VehicleReading | ThrusterReading] = [*on_vehicles, *on_bench]
    first = tuple(compared(model, reading) for reading in readings)
    factor, fitted = 1.0, model_scale([(row.computed_a, row.read_a) for row in first])
    for _ in range(STEPS):
        if fitted.value <= 0.0:
            raise OutOfRangeError(
                f"the readings leave no current for {model.model}", "look at the readings first"
            )
        previous, factor = factor, factor * fitted.value
        turned = scaled_model(model, factor)
        rows = tuple(compared(turned, reading) for reading in readings)
        fitted = model_scale([(row.computed_a, row.read_a) for row in rows])
        if abs(factor - previous) <= CLOSE * factor:
            break
    unsure = None if fitted.uncertainty is None else factor * fitted.uncertainty
    return ModelFit(Fitted(factor, unsure), first)


def compared(model: ThrusterModel, reading: VehicleReading | ThrusterReading) -> Compared:
    """One reading beside what the model gives there.

    Raises:
        OutOfRangeError: a reading nothing can be made of, with the reason.
    """
    return _on_bench(model, reading) if isinstance(reading, ThrusterReading) else _on_vehicle(model, reading)


def _on_vehicle(model: ThrusterModel, reading: VehicleReading) -> Compared:
    require_within("current read", reading.read_a, 0.0, 1e5)
    models = {**reading.configuration.models, model.model: model}
    found = asked_current(replace(reading.configuration, models=models), reading.demands, reading.direct)
    if found.total_a is None:
        raise OutOfRangeError(found.reason, "leave this reading out")
    own = found.by_model.get(model.model, 0.0)
    others = found.total_a - own
    if own <= 0.0:
        raise OutOfRangeError(
            f"no {model.model} turns at what was asked", "read it at a demand that turns one"
        )
    if reading.read_a <= others:
        raise OutOfRangeError(
            f"{reading.read_a:g} A is less than all else draws there ({others:.2f} A)",
            "look at the reading, and at the standing loads",
        )
    return Compared(reading.where, own, reading.read_a - others)


def _on_bench(model: ThrusterModel, reading: ThrusterReading) -> Compared:
    """A driver at duty |u| without resistance: v = |u| V, and the supply feeds |u| I(c) / c."""
    where = reading.where or f"command {reading.command:g}"
    require_within(f"command of the reading at {where}", reading.command, -1.0, 1.0)
    require_within(f"current read at {where}", reading.read_a, 0.0, 1e5)
    if reading.command == 0.0:
        raise OutOfRangeError("a reading at command 0 tells nothing of a thruster", "leave it out")
    supply_v = model.rated_v if reading.supply_v is None else reading.supply_v
    require_within("supply_v of the readings", supply_v, 1e-3, 1.25 * model.rated_v)
    duty = abs(reading.command)
    motor = motor_table("", model, 1 if reading.command > 0 else -1)
    return Compared(where, duty * motor.motor_current_a(duty * supply_v), reading.read_a)
