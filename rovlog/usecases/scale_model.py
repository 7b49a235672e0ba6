"""Propose a factor for a thruster model's currents from clamp readings; writes nothing."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from rovlog.problems import OutOfRangeError, RovlogError, UsageError
from rovlog.values import dataclass, replace

if TYPE_CHECKING:
    from rovlog.domain.dive import Record
    from rovlog.domain.electrical.bench import Fitted
    from rovlog.domain.electrical.model_fit import Compared, VehicleReading
    from rovlog.domain.vehicle import Configuration, ThrusterModel
    from rovlog.usecases.logbook import Logbook


@dataclass(frozen=True, slots=True)
class ProposedPoint:
    """One point of the table, `index` as in the file: current as it stands and as proposed, ampere."""

    index: int
    command: float
    thrust_n: float
    current_a: float
    proposed_a: float


@dataclass(frozen=True, slots=True)
class VehicleEffect:
    """What the proposal does to a vehicle that carries the model: worst case in ampere, fuse verdicts."""

    vehicle: str
    worst_before_a: float
    worst_after_a: float
    verdict_before: str
    verdict_after: str


@dataclass(frozen=True, slots=True)
class ScaleProposal:
    """A change to approve. `left_out` says of each reading that could not be used why."""

    model: str
    factor: Fitted
    rows: tuple[Compared, ...]
    points: tuple[ProposedPoint, ...]
    effects: tuple[VehicleEffect, ...]
    left_out: tuple[str, ...] = ()

    @property
    def is_within_scatter(self) -> bool:
        """True where the readings do not tell the factor from 1: nothing to change."""
        unsure = self.factor.uncertainty
        return unsure is not None and abs(self.factor.value - 1.0) <= 2.0 * unsure


def propose_scale(
    logbook: Logbook,
    model: str,
    *,
    readings: Sequence[tuple[float, float]] = (),
    supply_v: float | None = None,
    records: Sequence[Record] = (),
) -> ScaleProposal:
    """A factor for a model from bench readings (command, ampere) and from readings on records.

    Readings on records count where they name what was asked for (`surge=1`, `channel-2=0.5`).

    Raises:
        UsageError: no such model, or no reading that can be used, with why.
        OutOfRangeError: a bench reading that cannot be used.
    """
    from rovlog.domain.electrical.model_fit import ThrusterReading, compared, fit_model

    document = logbook.model(model)
    typed = _typed(document)
    bench = [ThrusterReading(command, read_a, supply_v) for command, read_a in readings]
    for one in bench:
        compared(typed, one)
    from_records, left_out = _on_records(logbook, typed, records)
    if not bench and not from_records:
        why = "; ".join(left_out) or "no reading names at which demand or channel it was taken"
        raise UsageError(
            f"there is no reading to scale {model} by: {why}",
            "give --reading COMMAND=AMPERE, or log one:"
            " rovlog work reading WORK clamp-meter current_a=6,2 surge=1",
        )
    fit = fit_model(typed, from_records, bench)
    points = tuple(
        ProposedPoint(
            index,
            float(p["command"]),
            float(p["thrust_n"]),
            float(p["current_a"]),
            float(f"{float(p['current_a']) * fit.factor.value:.4g}"),
        )
        for index, p in enumerate(document["points"])
    )
    return ScaleProposal(
        model, fit.factor, fit.rows, points, _effects(logbook, typed, fit.factor.value), tuple(left_out)
    )


def _typed(document: Mapping[str, Any]) -> ThrusterModel:
    from rovlog.documents.typed_configuration import thruster_model

    return thruster_model(str(document["model"]), document)


def _on_records(
    logbook: Logbook, model: ThrusterModel, records: Sequence[Record]
) -> tuple[list[VehicleReading], list[str]]:
    from rovlog.domain.electrical.model_fit import VehicleReading, compared
    from rovlog.usecases.measured_current import as_flown_configuration, currents_of, demands_at

    used: list[VehicleReading] = []
    left_out: list[str] = []
    for record in records:
        rows = [row for row in currents_of(logbook, record) if row.asked]
        configuration, reason = as_flown_configuration(logbook, record) if rows else (None, "")
        for row in rows:
            where = f"{record.id}, {row.what} at {', '.join(f'{n} {v:g}' for n, v in row.asked.items())}"
            if configuration is None:
                left_out.append(f"{where}: {reason}")
                continue
            if model.model not in configuration.models:
                left_out.append(f"{where}: no {model.model} was fitted")
                continue
            reading = VehicleReading(
                configuration, *demands_at(configuration, row.asked), row.measured_a, where
            )
            try:
                compared(model, reading)
            except OutOfRangeError as error:
                left_out.append(f"{where}: {error.message}")
                continue
            used.append(reading)
    return used, left_out


def _effects(logbook: Logbook, model: ThrusterModel, factor: float) -> tuple[VehicleEffect, ...]:
    from rovlog.domain.electrical.model_fit import scaled_model
    from rovlog.usecases.configurations import working

    found = []
    for vehicle in logbook.vehicles():
        try:
            now = working(logbook, vehicle).configuration
            if model.model in now.models:
                then = replace(now, models={**now.models, model.model: scaled_model(model, factor)})
                found.append(_effect(vehicle, now, then))
        except RovlogError:
            # Its own files are broken, with the factor and without it: `validate` says how.
            continue
    return tuple(found)


def _effect(vehicle: str, now: Configuration, then: Configuration) -> VehicleEffect:
    from rovlog.domain.electrical.electrics import electrics

    before, after = electrics(now), electrics(then)
    return VehicleEffect(
        vehicle, before.worst.total_a, after.worst.total_a, before.fuse.verdict, after.fuse.verdict
    )
