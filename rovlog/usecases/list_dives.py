"""Listing dives or work with what a person looks for: number, place, crew, state, faults."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from rovlog.domain.dive import Record
from rovlog.usecases.logbook import Logbook


@dataclass(frozen=True, slots=True)
class ListedRecord:
    """One row: `number` counts the vehicle's dives from the first; it is never stored."""

    id: str
    subject: str
    number: int
    started: str
    where: str
    crew: Mapping[str, str]
    revision: int | None
    departs: bool
    faults: tuple[str, ...]
    is_closed: bool
    entries: int
    kind: Literal["dive", "work"] = "dive"
    is_on_box: bool = False


def list_dives(
    logbook: Logbook, kind: Literal["dive", "work"], subject: str | None = None
) -> list[ListedRecord]:
    """All records of a kind, newest first; of one vehicle or box where named."""
    counts: dict[str, int] = {}
    rows = []
    if subject is not None and subject not in logbook.stems("boxes"):
        logbook.vehicle(subject)
    for record in logbook.records(kinds=(kind,)):
        owner = record.vehicle or record.box
        counts[owner] = counts.get(owner, 0) + 1
        if subject is None or owner == subject:
            rows.append(_row(record, owner, counts[owner]))
    return rows[::-1]


def number_of(logbook: Logbook, record: Record) -> int:
    """Which dive of its vehicle this is, counted from 1 in order of their start; the next one's, if it
    is not on record."""
    peers = [r.id for r in logbook.records(record.vehicle or None, (record.kind,))]
    return 1 + (peers.index(record.id) if record.id in peers else len(peers))


def _row(record: Record, owner: str, number: int) -> ListedRecord:
    start = next(iter(record.of_kind("start")), None)
    fields = start.fields if start else {}
    crew = dict(fields.get("crew") or {})
    for change in record.of_kind("crew"):
        crew.update(change.fields.get("crew") or {})
    return ListedRecord(
        record.id,
        owner,
        number,
        record.started,
        str(fields.get("site") or fields.get("purpose") or ""),
        crew,
        fields.get("revision"),
        bool(fields.get("deviations")),
        tuple(str(f.fields.get("symptom", "")) for f in record.of_kind("fault")),
        record.is_closed,
        len(record.entries),
        record.kind,
        not record.vehicle,
    )
