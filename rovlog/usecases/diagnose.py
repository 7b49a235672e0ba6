"""Diagnose a vehicle from the function tests of a dive, or from a file of observations."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from rovlog.domain.diagnosis.diagnose import DEFAULT_SETTINGS, Diagnosis, DiagnosisSettings
from rovlog.domain.diagnosis.dry_limits import dry_limits
from rovlog.usecases.configurations import named
from rovlog.values import dataclass, replace

if TYPE_CHECKING:
    from rovlog.domain.checks.dry_running import DryRunning
    from rovlog.domain.diagnosis.observation import Observation
    from rovlog.domain.dive import Entry, Record
    from rovlog.domain.vehicle import Configuration, SteeringScheme, ThrusterMap
    from rovlog.usecases.logbook import Logbook

REWIRING_EVENTS = frozenset(
    {"configuration-changed", "box-changed", "housing-opened", "connector-parted", "thruster-touched"}
)
"""After one of these, what was seen before was seen of other wiring and is set aside."""


@dataclass(frozen=True, slots=True)
class Diagnosed:
    """A diagnosis with what it was made from. `set_aside` observations lie before a rewiring.

    `is_dry`: what is proposed keeps to the limits in air; `dry` is then the vehicle's dry running today,
    None where no record says whose it is.
    """

    name: str
    configuration: Configuration
    diagnosis: Diagnosis
    observations: tuple[Observation, ...]
    set_aside: int
    is_dry: bool
    dry: DryRunning | None = None


def diagnose_record(
    logbook: Logbook,
    record_id: str,
    *,
    is_dry: bool | None = None,
    settings: DiagnosisSettings = DEFAULT_SETTINGS,
) -> Diagnosed:
    """Diagnose from the observations in a dive or work record, against what it flew.

    Pushes are proposed for air or for water as `is_dry` says; where it does not, for water while the
    record is marked in water, else for where the last push was made, and for air before any.

    Raises UsageError where the record is on a box alone or does not say what it flew.
    """
    from rovlog.usecases.function_test import dry_running_of, flown_resolved, medium_of
    from rovlog.usecases.judged_configuration import start_or_none
    from rovlog.usecases.recording import find_record

    record = find_record(logbook, record_id)
    resolved = flown_resolved(logbook, record)
    entries, set_aside = observations_in_force(record)
    start = start_or_none(logbook, record)
    trims = trims_at(record, None if start is None else dict(start.get("trim_defaults") or {}))
    rows = [
        (e.fields["push"], e.fields["seen"], str(e.fields.get("medium", "wet")), trims.get(e.id))
        for e in entries
    ]
    box = _box(logbook, resolved)
    in_air = medium_of(record) == "dry" if is_dry is None else is_dry
    found = _diagnosed(
        record.id, resolved, box, rows, set_aside=set_aside, is_dry=in_air, settings=_team(logbook, settings)
    )
    return replace(found, dry=dry_running_of(logbook, record)) if in_air and not record.is_closed else found


def diagnose_file(
    logbook: Logbook,
    vehicle: str,
    data: bytes,
    file: str,
    *,
    is_dry: bool | None = None,
    settings: DiagnosisSettings = DEFAULT_SETTINGS,
) -> Diagnosed:
    """Diagnose from a file of observations against a named configuration.

    Where `is_dry` does not say, pushes are proposed for where the last one was made; in water before any.

    Raises DocumentError for a file of another form, UsageError for controls and thrusters that do
    not exist.
    """
    from rovlog.documents.observations import read_observations

    found = named(logbook, vehicle)
    rows = [(row.push, row.seen, row.medium, None) for row in read_observations(data, file)]
    in_air = bool(rows) and rows[-1][2] == "dry" if is_dry is None else is_dry
    return _diagnosed(
        found.name,
        found.resolved,
        found.box_document,
        rows,
        set_aside=0,
        is_dry=in_air,
        settings=_team(logbook, settings),
    )


def _team(logbook: Logbook, settings: DiagnosisSettings) -> DiagnosisSettings:
    """The settings with the team's own share of command in air."""
    share = dry_limits(logbook.settings().policy).command_share
    return replace(settings, dry_command=share)


def trims_at(record: Record, start: Mapping[str, float] | None) -> dict[str, dict[str, float]]:
    """The trims in force at each observation of a record, by the entry's id.

    `start` are those it started with, then what the box and the pilot said, in the order of the entries. An
    observation is left out where its trims are not known: it counts as made at those of the configuration.
    """
    found: dict[str, dict[str, float]] = {}
    now = None if start is None else dict(start)
    for entry in record.entries:
        said = {"readback": "in_use", "setup": "values"}.get(entry.kind)
        fields = dict(entry.fields.get(said) or {}) if said else entry.fields
        if entry.kind == "observation" and now is not None:
            found[entry.id] = now
        elif entry.kind in ("readback", "setup", "trim") and "trim" in fields:
            # A readback tells every trim: one that it leaves out is 0.
            before = {} if entry.kind == "readback" else now or {}
            now = {**before, **dict(fields["trim"] or {})}
    return found


def observations_in_force(record: Record) -> tuple[tuple[Entry, ...], int]:
    """The observations since the last rewiring, and how many before it are set aside."""
    kept: list[Entry] = []
    set_aside = 0
    for entry in record.entries:
        if entry.kind == "observation":
            kept.append(entry)
        elif entry.kind == "event" and entry.fields.get("event") in REWIRING_EVENTS:
            set_aside += len(kept)
            kept = []
    return tuple(kept), set_aside


def typed_tables(
    resolved: Mapping[str, Any], box: Mapping[str, Any] | None
) -> tuple[dict[int, SteeringScheme], dict[int, ThrusterMap]]:
    """The box's schemes and maps by number as typed values, for the firmware the configuration names.

    Without the box's record, or for a firmware that is not in it, both are empty: only the entries
    in force are known then.
    """
    from rovlog.documents.code_tables import tables_of
    from rovlog.documents.configuration import configuration

    if box is None:
        return {}, {}
    tables = tables_of(box, resolved["control_box"]["firmware"])
    schemes, maps = {}, {}
    for number, row in tables.steering_schemes.items():
        controls: dict[str, list[dict[str, Any]]] = {}
        for entry in row["controls"]:
            shape = {k: v for k, v in entry.items() if k != "control"}
            controls.setdefault(entry["control"], []).append(shape)
        swapped = {**resolved, "steering_scheme": {"controls": controls}}
        schemes[int(number)] = configuration(swapped).steering_scheme
    for number, row in tables.thruster_maps.items():
        shares = {d: {str(c): s for c, s in of.items()} for d, of in row["shares"].items()}
        swapped = {**resolved, "thruster_map": {"shares": shares, "when_saturated": row["when_saturated"]}}
        maps[int(number)] = configuration(swapped).thruster_map
    return schemes, maps


def _diagnosed(
    name: str,
    resolved: Mapping[str, Any],
    box: Mapping[str, Any] | None,
    rows: Sequence[tuple[Mapping[str, float], Mapping[str, str], str, Mapping[str, float] | None]],
    *,
    set_aside: int,
    is_dry: bool,
    settings: DiagnosisSettings,
) -> Diagnosed:
    from rovlog.documents.configuration import configuration
    from rovlog.domain.diagnosis.diagnose import diagnose
    from rovlog.domain.diagnosis.observation import observation

    typed = configuration(resolved)
    schemes, maps = typed_tables(resolved, box)
    seen = tuple(observation(typed, push, words, medium, trims) for push, words, medium, trims in rows)
    found = diagnose(typed, schemes, maps, seen, is_dry=is_dry, settings=settings)
    return Diagnosed(name, typed, found, seen, set_aside, is_dry)


def _box(logbook: Logbook, resolved: Mapping[str, Any]) -> Mapping[str, Any] | None:
    name = f"boxes/{resolved['control_box']['box']}.yaml"
    return logbook.document(name) if logbook.book.files.exists(name) else None
