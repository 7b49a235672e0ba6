"""One vehicle's past gathered for the audit: its dives with what they flew, its changes, its approvals."""

from __future__ import annotations

import json
from collections.abc import Mapping
from contextlib import suppress
from typing import TYPE_CHECKING, Any

from rovlog.domain.dive import Record
from rovlog.problems import DocumentError, GitError, RovlogError
from rovlog.usecases.configurations import start_configuration
from rovlog.usecases.former_names import former_names
from rovlog.usecases.logbook import Logbook
from rovlog.usecases.placed_records import placed_records
from rovlog.values import dataclass

if TYPE_CHECKING:
    from rovlog.domain.audit.flights import Logbook as Flights
    from rovlog.domain.audit.flown import AsFlown
    from rovlog.domain.audit.history import ApprovalNote, Change
    from rovlog.domain.drift.tables import BoxTables


@dataclass(frozen=True, slots=True)
class VehicleHistory:
    """Everything the audit knows of one vehicle.

    `notes` names what could not be used, or not as it stands, and why; `names` are the ids it has had.
    """

    vehicle: str
    flights: Flights
    records: Mapping[str, Record]
    changes: tuple[Change, ...]
    approvals: tuple[ApprovalNote, ...]
    tables: BoxTables | None
    notes: tuple[str, ...] = ()
    former: tuple[str, ...] = ()

    @property
    def names(self) -> frozenset[str]:
        """Every id it has had, its present one included."""
        return frozenset((self.vehicle, *self.former))


def vehicle_history(logbook: Logbook, vehicle: str, *, with_changes: bool = True) -> VehicleHistory:
    """Gather a vehicle's past. Records that fail are used as far as they go and named in `notes`."""
    from rovlog.domain.audit.flights import flights_of
    from rovlog.domain.audit.odd_records import odd_records

    notes: list[str] = []
    former = former_names(logbook, vehicle, notes)
    records = [r for name in (vehicle, *former) for r in logbook.records(name)]
    if not records and vehicle not in logbook.vehicles():
        logbook.vehicle(vehicle)  # raises with the nearest
    approvals = tuple(a for name in (*reversed(former), vehicle) for a in _approvals(logbook, name, notes))
    boxes = _boxes_of(logbook, vehicle, records, approvals)
    records = records + [r for r in logbook.records(kinds=("work",)) if r.box in boxes]
    tables = _tables(logbook, vehicle)
    records = placed_records(logbook, records, notes)
    flown = {r.id: _as_flown(logbook, r, tables) for r in records if r.kind == "dive"}
    flights = flights_of(records, flown)
    notes += flights.notes
    notes += odd_records(records)
    notes += problems_of(logbook, {vehicle, *former, *(r.id for r in records)})
    changes: tuple[Change, ...] = ()
    if with_changes:
        try:
            changes = tuple(c for name in (*reversed(former), vehicle) for c in changes_of(logbook, name))
        except GitError as error:
            notes.append(f"git's history could not be read: {error.message}")
    return VehicleHistory(
        vehicle,
        flights,
        {r.id: r for r in records},
        changes,
        approvals,
        tables,
        tuple(dict.fromkeys(notes)),
        former,
    )


def problems_of(logbook: Logbook, ids: set[str] | None) -> list[str]:
    """What is wrong in the records' files of these dives, work or subjects (None: of all)."""
    told = []
    for name, problems in logbook.record_problems.items():
        stem = name.rpartition("/")[2].removesuffix(".yaml").partition(".")[0]
        if ids is None or any(stem == one or stem.startswith(one + "-") for one in ids):
            told.append(f"{name}: {len(problems)} problem(s), used as far as it goes: {problems[0].message}")
    return told


def _approvals(logbook: Logbook, vehicle: str, notes: list[str]) -> tuple[ApprovalNote, ...]:
    """The approvals as the audit takes them; what cannot be read is named and hides no other."""
    from rovlog.domain.audit.history import ApprovalNote

    approvals, unreadable = logbook.readable_approvals(vehicle)
    notes += unreadable
    return tuple(
        ApprovalNote(
            a.revision,
            a.digest,
            a.at,
            a.approved_by,
            a.reason,
            a.configuration,
            str(a.withdrawn["reason"]) if a.withdrawn else None,
            str(a.withdrawn["at"]) if a.withdrawn else "",
        )
        for a in approvals
    )


def changes_of(logbook: Logbook, vehicle: str) -> tuple[Change, ...]:
    """Every commit that changed the vehicle's resolved configuration, oldest first.

    A commit whose files do not resolve is passed over: the next one that does carries its change.
    """
    from rovlog.domain.audit.history import Change
    from rovlog.domain.drift.leaves import differences

    history = logbook.book.history
    commits = history.log([f"vehicles/{vehicle}.yaml", "boxes", "thrusters"])
    before: Mapping[str, Any] = {}
    found = []
    for commit in reversed(commits):
        after = resolved_at(logbook, vehicle, commit.commit)
        if after is None:
            continue
        rows = tuple(differences(before, after))
        if rows:
            found.append(Change(commit.commit, commit.author, commit.at, commit.message, rows))
        before = after
    return tuple(found)


def resolved_at(logbook: Logbook, vehicle: str, commit: str) -> Mapping[str, Any] | None:
    """The resolved object of a commit's files, None where they are missing or not valid. Remembered."""
    from rovlog.documents.configuration import resolve

    key = f"resolved:{logbook.book.shipped.schemas_digest()}:{commit}:{vehicle}"
    known = logbook.book.cache.get_many([key]).get(key)
    if known is not None:
        value: Mapping[str, Any] | None = json.loads(known)
        return value

    def at(name: str) -> Mapping[str, Any]:
        data = logbook.book.history.read_at(commit, name)
        if data is None:
            raise RovlogError(f"{name} is not in {commit}")
        checked: Mapping[str, Any] = logbook.checked(data, name)
        return checked

    resolved: Mapping[str, Any] | None
    try:
        document = at(f"vehicles/{vehicle}.yaml")
        box = at(f"boxes/{document['control_box']['box']}.yaml")
        resolved = resolve(
            document, box, {t["model"]: at(f"thrusters/{t['model']}.yaml") for t in document["thrusters"]}
        )
    except (DocumentError, RovlogError):
        resolved = None
    logbook.book.cache.put_many({key: json.dumps(resolved).encode()})
    return resolved


def as_flown_of(logbook: Logbook, record: Record) -> AsFlown:
    """What one dive flew with, from its own entries."""
    return _as_flown(logbook, record, _tables(logbook, record.vehicle))


def _as_flown(logbook: Logbook, record: Record, tables: BoxTables | None) -> AsFlown:
    from rovlog.domain.audit.flown import as_flown

    start = next(iter(record.of_kind("start")), None)
    baseline = str(start.fields.get("baseline")) if start else ""
    approvals, _ = logbook.readable_approvals(record.vehicle)
    held = next((a for a in approvals if a.digest == baseline), None)
    working = None
    with suppress(RovlogError):  # What cannot be read is named by whoever asked for the history.
        working = start_configuration(logbook, record)
    return as_flown(held.configuration if held else None, record, tables, working=working)


def _tables(logbook: Logbook, vehicle: str) -> BoxTables | None:
    from rovlog.domain.drift.tables import box_tables

    try:
        box = logbook.vehicle(vehicle)["control_box"]["box"]
        logbook.box(box)  # raises where it is not on file
        return logbook.made(f"boxes/{box}.yaml", box_tables)
    except RovlogError:
        # An audit of a vehicle whose files are gone or broken goes on without the words of its numbers.
        return None


def _boxes_of(
    logbook: Logbook, vehicle: str, records: list[Record], approvals: tuple[ApprovalNote, ...]
) -> set[str]:
    boxes = {str(e.fields.get("box")) for r in records for e in r.of_kind("readback")}
    boxes |= {str(a.resolved["control_box"]["box"]) for a in approvals}
    try:
        boxes.add(str(logbook.vehicle(vehicle)["control_box"]["box"]))
    except RovlogError:
        # As above: what the approvals and the records name is used.
        return boxes
    return boxes
