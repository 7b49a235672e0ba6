"""A season of one vehicle: dives, what failed and what never did, what was learnt, measured current."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import TYPE_CHECKING

from rovlog.domain.dive import Entry, Record
from rovlog.problems import RovlogError, UsageError
from rovlog.usecases.approvals import Approval
from rovlog.usecases.logbook import Logbook
from rovlog.usecases.reading_names import CURRENT_KEYS, VOLTAGE_KEYS
from rovlog.usecases.report_dive import vehicle_name
from rovlog.values import dataclass

if TYPE_CHECKING:
    from rovlog.domain.audit.flights import Flight
    from rovlog.domain.audit.parts import PartLife
    from rovlog.domain.checks.checklist import Item
    from rovlog.domain.checks.pace import Pace, QuickAnswers
    from rovlog.usecases.audit_history import VehicleHistory


@dataclass(frozen=True, slots=True)
class SeasonDive:
    """One dive of the season. Currents in ampere, None where unknown; `lowest_v`: supply or box."""

    number: int
    flight: Flight
    record: Record
    running_s: float
    measured_a: float | None
    computed_a: float | None
    continuous_a: float | None
    fuse_a: float | None
    lowest_v: float | None
    trim: Mapping[str, float]


@dataclass(frozen=True, slots=True)
class Tally:
    """How often an item of the lists was answered, and how often it failed or was set aside."""

    item: Item
    passed: int
    failed: int
    set_aside: int


@dataclass(frozen=True, slots=True)
class SeasonReport:
    """The season. `tallies` are items by what the dives and work say of them; `pace` is that of the last
    dive beside those before it; `quick` gives the dives, by number, answered quicker than a look."""

    vehicle: str
    name: str
    since: str
    until: str
    dives: tuple[SeasonDive, ...]
    work: tuple[Record, ...]
    tallies: tuple[Tally, ...]
    learnt: tuple[tuple[str, Entry], ...]
    revisions: tuple[Approval, ...]
    parts: tuple[PartLife, ...]
    notes: tuple[str, ...]
    pace: Pace
    quick: tuple[tuple[int, QuickAnswers], ...]


def report_season(logbook: Logbook, vehicle: str, since: str = "", until: str = "") -> SeasonReport:
    """Gather a season; `since` and `until` are days (2026-04-01), both included, "" for no end.

    Raises UsageError for an unknown vehicle or a day that is none.
    """
    from rovlog.domain.audit.fault_case import is_step
    from rovlog.usecases.audit_history import vehicle_history
    from rovlog.usecases.part_history import part_histories

    for edge in (since, until):
        _check_day(edge)
    history = vehicle_history(logbook, vehicle, with_changes=False)
    every = [r for r in history.records.values() if _within(r.started, since, until)]
    lives, more = part_histories(logbook)
    dives = _dives(logbook, history, since, until)
    return SeasonReport(
        vehicle,
        vehicle_name(logbook, vehicle),
        since,
        until,
        dives,
        tuple(r for r in every if r.kind == "work"),
        _tallies(logbook, vehicle, every),
        tuple((r.id, e) for r in every for e in r.of_kind("note") if not is_step(e)),
        tuple(a for a in logbook.approvals(vehicle) if _within(a.at, since, until)),
        tuple(life for life in lives if any(s.vehicle == vehicle for s in life.stays)),
        (*history.notes, *more),
        *_pace(logbook, vehicle, dives),
    )


def _pace(
    logbook: Logbook, vehicle: str, dives: tuple[SeasonDive, ...]
) -> tuple[Pace, tuple[tuple[int, QuickAnswers], ...]]:
    """The pace of the last dive beside those before it, and the dives that were only ticked."""
    from rovlog.domain.checks.pace import QUICK_S, Pace, pace, quick_answers
    from rovlog.usecases.checklists_of import checklists_for

    lists, _ = checklists_for(logbook, vehicle)
    items = {i.item: i for c in lists for i in c.items()}
    quick_s = float(logbook.settings().policy.get("quick_answer_s", QUICK_S))
    records = [d.record for d in dives]
    found = [(d.number, quick) for d in dives if (quick := quick_answers(d.record, items, quick_s))]
    last = pace(records[-1], records[:-1], items, quick_s) if records else Pace()
    return last, tuple(found)


def _check_day(edge: str) -> None:
    if edge:
        try:
            date.fromisoformat(edge)
        except ValueError:
            raise UsageError(f"{edge!r} is no day", "write a day as 2026-04-01") from None


def _within(at: str, since: str, until: str) -> bool:
    return (not since or at[:10] >= since) and (not until or at[:10] <= until)


def _dives(logbook: Logbook, history: VehicleHistory, since: str, until: str) -> tuple[SeasonDive, ...]:
    from rovlog.domain.audit.running import running_s

    rows = []
    for flight in history.flights.flights:
        if not _within(flight.started, since, until):
            continue
        record = history.records[flight.dive]
        computed, continuous, fuse = _computed(logbook, flight)
        rows.append(
            SeasonDive(
                flight.number,
                flight,
                record,
                running_s(record),
                max(readings(record, CURRENT_KEYS), default=None),
                computed,
                continuous,
                fuse,
                min(readings(record, VOLTAGE_KEYS), default=None),
                _trim(flight),
            )
        )
    return tuple(rows)


def readings(record: Record, keys: tuple[str, ...]) -> list[float]:
    """Every value a record's readings hold under these names."""
    found = []
    for entry in record.of_kind("reading"):
        for key, value in dict(entry.fields.get("values") or {}).items():
            if key in keys and isinstance(value, int | float) and not isinstance(value, bool):
                found.append(float(value))
    return found


def _computed(logbook: Logbook, flight: Flight) -> tuple[float | None, float | None, float | None]:
    """Worst-case current, what may flow for ever, and the fuse's rating, of what flew; None where unknown."""
    from rovlog.usecases.computed_quantities import configuration_quantities
    from rovlog.usecases.configurations import Named, digest_of

    resolved = flight.as_flown.resolved
    if resolved is None:
        return None, None, None
    named = Named(flight.dive, flight.vehicle, resolved, digest_of(resolved), None)
    try:
        values, _ = configuration_quantities(logbook, named, None, None)
        rating = dict(resolved["electrical"]["fuse"]).get("rating_a")
    except (RovlogError, KeyError):
        # What flew cannot be computed any more: the dive is still listed, without the figure.
        return None, None, None
    return values.get("worst_case_current_a"), values.get("continuous_limit_a"), rating


def _trim(flight: Flight) -> dict[str, float]:
    resolved = flight.as_flown.resolved or {}
    return {k: float(v) for k, v in dict(resolved.get("trim_defaults") or {}).items()}


def _tallies(logbook: Logbook, vehicle: str, records: list[Record]) -> tuple[Tally, ...]:
    from rovlog.domain.checks.blind import is_covered
    from rovlog.usecases.checklists_of import checklists_for
    from rovlog.usecases.covered_record import covered_record

    lists, _ = checklists_for(logbook, vehicle)
    passed: dict[str, int] = {}
    failed: dict[str, int] = {}
    aside: dict[str, int] = {}
    for record in records:
        for entry in covered_record(logbook, record).entries:
            item = str(entry.fields.get("item", ""))
            if is_covered(entry):
                continue
            if entry.kind == "check":
                count = failed if entry.fields.get("outcome") == "fail" else passed
                count[item] = count.get(item, 0) + 1
            elif entry.kind in ("waiver", "deferral", "not-applicable") and item:
                aside[item] = aside.get(item, 0) + 1
    return tuple(
        Tally(i, passed.get(i.item, 0), failed.get(i.item, 0), aside.get(i.item, 0))
        for c in lists
        for i in c.items()
        if i.item in passed or i.item in failed or i.item in aside
    )
