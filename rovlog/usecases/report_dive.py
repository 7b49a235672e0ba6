"""Everything that a dive's record needs to say, gathered: what trade practice asks of a dive log."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from rovlog.domain.dive import Entry, Record
from rovlog.problems import UsageError
from rovlog.usecases.approvals import Approval
from rovlog.usecases.as_it_stood import first_mark, state_before
from rovlog.usecases.covered_record import covered_record
from rovlog.usecases.dive_state import DiveState, dive_state
from rovlog.usecases.logbook import Logbook, start_order
from rovlog.usecases.recording import find_record
from rovlog.values import dataclass, replace

if TYPE_CHECKING:
    from rovlog.domain.audit.completeness import Expected
    from rovlog.domain.audit.parts import PartLife
    from rovlog.domain.checks.pace import Pace
    from rovlog.domain.drift.tables import BoxTables


@dataclass(frozen=True, slots=True)
class DiveReport:
    """One dive with what it stands on. `hours` are the vehicle's up to and with this dive.

    `pace` is the note for the supervisor, `expected` what a dive log records, held here or not.
    `at_launch` is how it stood just before it went into the water, `at_leaving` just before it left the
    surface, None where that was not marked; `launched` is when it went in.
    """

    state: DiveState
    at_launch: DiveState | None
    at_leaving: DiveState | None
    launched: str
    name: str
    baseline: Approval | None
    tables: BoxTables | None
    running_s: float
    hours: float
    is_power_open: bool
    parts: tuple[PartLife, ...]
    named_parts: Mapping[str, str]
    late: tuple[Entry, ...]
    pace: Pace
    expected: tuple[Expected, ...]

    @property
    def record(self) -> Record:
        """The dive's record."""
        return self.state.record

    @property
    def start(self) -> Entry | None:
        """Its first entry."""
        return next(iter(self.record.of_kind("start")), None)


def report_dive(logbook: Logbook, name: str) -> DiveReport:
    """Gather a dive (by its id, or a vehicle with one open dive); UsageError for what is no dive."""
    from rovlog.domain.audit.completeness import completeness
    from rovlog.domain.audit.running import powered, running_s
    from rovlog.usecases.part_history import part_histories, parts_named
    from rovlog.usecases.watch_pace import pace_of

    record = find_dive(logbook, name)
    state = dive_state(logbook, record)
    launch = first_mark(record, "in-water", "off-surface")
    leaving = first_mark(record, "off-surface")
    start = next(iter(record.of_kind("start")), None)
    digest = str(start.fields.get("baseline")) if start else ""
    lives, _ = part_histories(logbook)
    end = record.entries[-1].at if record.entries else record.started
    earlier = logbook.records(record.vehicle)
    before = earlier[: [r.id for r in earlier].index(record.id) + 1]
    parts = tuple(life for life in lives if _was_on(life, record, end))
    named = parts_named(state.resolved)
    shown = replace(state, record=covered_record(logbook, record))
    return DiveReport(
        shown,
        state_before(logbook, record, launch) if launch else None,
        state_before(logbook, record, leaving) if leaving else None,
        launch.at if launch else "",
        vehicle_name(logbook, record.vehicle),
        next((a for a in logbook.approvals(record.vehicle) if a.digest == digest), None),
        _tables(logbook, state),
        running_s(record),
        sum(running_s(r) for r in before) / 3600.0,
        any(p.is_open for p in powered(record)),
        parts,
        named,
        record.uncovered,
        pace_of(logbook, state),
        completeness(record, state.resolved, len(parts) + len(named)),
    )


def find_dive(logbook: Logbook, name: str) -> Record:
    """The dive a person named: an id, or a vehicle (its open dive, else its last)."""
    if name in logbook.vehicles():
        dives = logbook.records(name, ("dive",))
        if not dives:
            raise UsageError(f"{name} has no dive yet", f"start one: rovlog dive start {name} …")
        return next((d for d in dives if not d.is_closed), dives[-1])
    return find_record(logbook, name, "dive")


def vehicle_name(logbook: Logbook, vehicle: str) -> str:
    """The vehicle's name as people say it, its id where its file is gone or broken."""
    from rovlog.problems import RovlogError

    try:
        return str(logbook.vehicle(vehicle).get("name", vehicle))
    except RovlogError:
        # A report of what was flown does not need the file of today.
        return vehicle


def _tables(logbook: Logbook, state: DiveState) -> BoxTables | None:
    from rovlog.domain.drift.tables import box_tables

    box = dict(state.resolved.get("control_box", {})).get("box")
    name = f"boxes/{box}.yaml"
    return box_tables(logbook.document(name)) if box and logbook.book.files.exists(name) else None


def _was_on(life: PartLife, record: Record, end: str) -> bool:
    began, ended = start_order(record.started), start_order(end)
    return any(
        s.vehicle == record.vehicle
        and start_order(s.since) <= ended
        and (not s.until or start_order(s.until) > began)
        for s in life.stays
    )
