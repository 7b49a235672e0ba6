"""Status accounting (ISO 10007): what is approved, what is loaded, what is pending, waived and due."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rovlog.domain.dive import Entry, Record
from rovlog.problems import RovlogError
from rovlog.usecases.approvals import InForce
from rovlog.usecases.compare_drift import Drift, compare_drift, is_dated_in_force
from rovlog.usecases.logbook import Logbook
from rovlog.usecases.times import instant
from rovlog.values import dataclass

if TYPE_CHECKING:
    from rovlog.domain.audit.parts import PartLife
    from rovlog.domain.checks.quarantine import Quarantine


@dataclass(frozen=True, slots=True)
class OpenWaiver:
    """A waiver that still holds: the record it was given in, and its entry."""

    record: str
    entry: Entry

    @property
    def what(self) -> str:
        """What is waived: an item, a deviation's pointer, or a stop."""
        fields = self.entry.fields
        return str(fields.get("item") or fields.get("pointer") or fields.get("stop") or "")


@dataclass(frozen=True, slots=True)
class VehicleStatus:
    """One vehicle as it stands. `problems` names what could not be told, and why."""

    vehicle: str
    name: str
    in_force: InForce
    drift: Drift | None
    waivers: tuple[OpenWaiver, ...]
    quarantine: Quarantine | None
    open_records: tuple[str, ...]
    dives: int
    last_dive: Record | None
    running_s: float
    parts: tuple[PartLife, ...]
    problems: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class TeamStatus:
    """Every vehicle, and the parts that are on none of them."""

    title: str
    at: str
    vehicles: tuple[VehicleStatus, ...]
    other_parts: tuple[PartLife, ...]
    notes: tuple[str, ...]


def status_accounting(logbook: Logbook) -> TeamStatus:
    """The whole team's kit as it stands now. A broken file is named, and hides nothing else."""
    from rovlog.usecases.audit_history import problems_of
    from rovlog.usecases.part_history import part_histories
    from rovlog.usecases.placed_records import placed_records

    lives, notes = part_histories(logbook)
    rows = tuple(_vehicle(logbook, v, lives) for v in logbook.vehicles())
    of_records: list[str] = []
    placed_records(logbook, logbook.records(), of_records)
    of_records += problems_of(logbook, None)
    placed = {life.part for row in rows for life in row.parts}
    return TeamStatus(
        logbook.settings().title,
        logbook.book.clock.now(),
        rows,
        tuple(life for life in lives if life.part not in placed),
        tuple(dict.fromkeys([*notes, *of_records])),
    )


def open_waivers(logbook: Logbook, vehicle: str) -> tuple[OpenWaiver, ...]:
    """Waivers that hold now: dated ones that have not run out, others while their record is open."""
    now = instant(logbook.book.clock.now())
    return tuple(
        OpenWaiver(record.id, entry)
        for record in logbook.records(vehicle)
        for entry in record.of_kind("waiver")
        if not record.is_closed or is_dated_in_force(str(entry.fields.get("until", "")), now)
    )


def _vehicle(logbook: Logbook, vehicle: str, lives: tuple[PartLife, ...]) -> VehicleStatus:
    from rovlog.domain.audit.running import not_counted, running_s

    records = logbook.records(vehicle)
    problems = [f"{r.id}: {words}" for r in records for words in not_counted(r)]
    dives = [r for r in records if r.kind == "dive"]
    name, force, drift = vehicle, InForce(None, "its approvals cannot be read"), None
    try:
        name = str(logbook.vehicle(vehicle).get("name", vehicle))
        force = logbook.in_force(vehicle)
        drift = compare_drift(logbook, vehicle)
    except RovlogError as error:
        problems.append(error.message)
    return VehicleStatus(
        vehicle,
        name,
        force,
        drift,
        open_waivers(logbook, vehicle),
        _quarantine(logbook, records, problems),
        tuple(r.id for r in records if not r.is_closed),
        len(dives),
        dives[-1] if dives else None,
        sum(running_s(r) for r in records),
        tuple(life for life in lives if life.now is not None and life.now.vehicle == vehicle),
        tuple(problems),
    )


def _quarantine(logbook: Logbook, records: list[Record], problems: list[str]) -> Quarantine | None:
    if not any(r.of_kind("fault") for r in records):
        return None
    from rovlog.usecases.dive_state import dive_state

    try:
        return dive_state(logbook, records[-1]).quarantine
    except RovlogError as error:
        problems.append(f"whether it is in quarantine cannot be told: {error.message}")
        return None
