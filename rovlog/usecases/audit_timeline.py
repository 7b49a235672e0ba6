"""The timeline of a vehicle, a box or a part: dives, work, faults, changes and approvals, interleaved."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from rovlog.domain.dive import Entry, Record
from rovlog.problems import RovlogError
from rovlog.usecases.audit_history import VehicleHistory, as_flown_of, problems_of, vehicle_history
from rovlog.usecases.logbook import Logbook
from rovlog.usecases.placed_records import placed_records
from rovlog.values import dataclass

if TYPE_CHECKING:
    from rovlog.domain.audit.history import Change
    from rovlog.domain.audit.timeline import Moment

OF_A_BOX = ("readback", "setup", "trim", "fault")
"""Entries of a dive or of a vehicle's work that speak of its box: what it held, and what went wrong."""

BOX_EVENTS = ("box-changed", "supply-swapped", "fuse-changed", "returned", "knocked")
"""Events of a dive or of a vehicle's work that touch its box."""


@dataclass(frozen=True, slots=True)
class Timeline:
    """The moments, oldest first; `notes` names what could not be used, or not as it stands, and why."""

    moments: tuple[Moment, ...]
    notes: tuple[str, ...] = ()


def vehicle_timeline(
    logbook: Logbook, vehicle: str, since: str = "", until: str = "", kinds: Sequence[str] = ()
) -> tuple[Moment, ...]:
    """Everything that happened to a vehicle, oldest first; `since` and `until` are days or times."""
    return timeline_for_vehicle(logbook, vehicle, since, until, kinds).moments


def timeline_for_vehicle(
    logbook: Logbook, vehicle: str, since: str = "", until: str = "", kinds: Sequence[str] = ()
) -> Timeline:
    """As `vehicle_timeline`, with what could not be used."""
    _check_interval(since, until)
    history = vehicle_history(logbook, vehicle)
    return Timeline(timeline_of(history, since, until, kinds), history.notes)


def timeline_of(
    history: VehicleHistory, since: str = "", until: str = "", kinds: Sequence[str] = ()
) -> tuple[Moment, ...]:
    """As `vehicle_timeline`, of a history at hand."""
    from rovlog.domain.audit.timeline import timeline

    records = list(history.records.values())
    return timeline(records, history.changes, history.approvals, since=since, until=until, kinds=kinds)


def timeline_for_box(
    logbook: Logbook, box: str, since: str = "", until: str = "", kinds: Sequence[str] = ()
) -> Timeline:
    """What happened to a surface box: work on it, the dives flown with it and what they say of it, its file.

    Raises UsageError where no file and no record knows the box.
    """
    from rovlog.domain.audit.timeline import timeline

    _check_interval(since, until)
    notes: list[str] = []
    records = [r for r in logbook.records() if r.box == box or _was_flown_with(logbook, r, box, notes)]
    records = placed_records(logbook, records, notes)
    if not records and box not in logbook.stems("boxes"):
        logbook.box(box)  # raises with the nearest
    notes += problems_of(logbook, {r.id for r in records} | {box})
    found = timeline(
        records,
        _commits(logbook, f"boxes/{box}.yaml", notes),
        since=since,
        until=until,
        kinds=kinds,
        tells=lambda record, entry: record.box == box or _is_of_box(entry, box),
    )
    return Timeline(found, tuple(notes))


def timeline_for_part(
    logbook: Logbook, part: str, since: str = "", until: str = "", kinds: Sequence[str] = ()
) -> Timeline:
    """What happened to a part: where it was fitted, the dives and work it was there for, what names it.

    Raises UsageError where no file and no record knows the part.
    """
    from rovlog.domain.audit.timeline import timeline
    from rovlog.domain.audit.times import or_last
    from rovlog.usecases.part_history import part_history

    _check_interval(since, until)
    life = part_history(logbook, part)
    notes = list(life.notes)

    def was_there(record: Record) -> bool:
        return any(
            stay.vehicle
            and stay.vehicle == record.vehicle
            and or_last(stay.since) <= or_last(_end(record))
            and (not stay.until or or_last(record.started) < or_last(stay.until))
            for stay in life.stays
        )

    records = [r for r in logbook.records() if was_there(r) or any(_names(e, part) for e in r.entries)]
    records = placed_records(logbook, records, notes)
    notes += problems_of(logbook, {r.id for r in records})
    found = timeline(
        records,
        _commits(logbook, f"parts/{part}.yaml", notes),
        since=since,
        until=until,
        kinds=kinds,
        tells=lambda record, entry: _names(entry, part) or (entry.kind == "fault" and was_there(record)),
    )
    return Timeline(found, tuple(notes))


def _check_interval(since: str, until: str) -> None:
    from rovlog.usecases.times import checked_time

    for edge in (since, until):
        if edge:
            checked_time(edge + "T00:00:00Z" if len(edge) == 10 else edge)


def _was_flown_with(logbook: Logbook, record: Record, box: str, notes: list[str]) -> bool:
    read = {e.fields.get("box") for e in record.of_kind("readback")}
    if read:
        return box in read
    try:
        resolved = as_flown_of(logbook, record).resolved if record.vehicle else None
    except RovlogError as error:
        notes.append(f"which box {record.id} was flown with is not known: {error.message}")
        return False
    return bool(resolved) and dict((resolved or {}).get("control_box") or {}).get("box") == box


def _is_of_box(entry: Entry, box: str) -> bool:
    if entry.kind == "event":
        return entry.fields.get("event") in BOX_EVENTS or _names(entry, box)
    if entry.kind == "readback":
        return entry.fields.get("box") == box
    return entry.kind in OF_A_BOX or _names(entry, box)


def _names(entry: Entry, part: str) -> bool:
    return part in (entry.fields.get("part"), entry.fields.get("replaces"))


def _end(record: Record) -> str:
    return record.entries[-1].at if record.entries else record.started


def _commits(logbook: Logbook, name: str, notes: list[str]) -> list[Change]:
    from rovlog.domain.audit.history import Change
    from rovlog.problems import GitError

    try:
        commits = logbook.book.history.log([name])
    except GitError as error:
        notes.append(f"git's history could not be read: {error.message}")
        return []
    return [Change(c.commit, c.author, c.at, c.message) for c in commits]
