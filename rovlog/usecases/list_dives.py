"""Listing dives or work with what a person looks for: number, place, crew, state, faults."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Literal

from rovlog.domain.dive import Record
from rovlog.problems import UsageError
from rovlog.usecases.logbook import Logbook, start_order
from rovlog.values import asdict, dataclass, replace


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


LISTED_FORMAT = "2"
"""Part of every cache key: raise it when what is kept of a row changes."""

FOLDERS = {"dive": "dives", "work": "work"}


def list_dives(
    logbook: Logbook, kind: Literal["dive", "work"], subject: str | None = None
) -> list[ListedRecord]:
    """All records of a kind, newest first; of one vehicle or box where named."""
    counts: dict[str, int] = {}
    rows = []
    for row in _kept_rows(logbook, kind) or _fresh_rows(logbook, kind):
        counts[row.subject] = counts.get(row.subject, 0) + 1
        if subject is None or row.subject == subject:
            rows.append(replace(row, number=counts[row.subject]))
    if subject is not None and not rows and subject not in (*logbook.vehicles(), *logbook.stems("boxes")):
        logbook.vehicle(subject)  # raises with the nearest; a broken file is no reason to hide its dives
    return rows[::-1]


def _fresh_rows(logbook: Logbook, kind: Literal["dive", "work"]) -> list[ListedRecord]:
    """The rows in the order of their start, from the records; kept for the next time."""
    rows = [_row(r) for r in logbook.records(kinds=(kind,))]
    keys = _keys(logbook, kind)
    sound = {r: k for r, (k, names) in keys.items() if not any(n in logbook.record_problems for n in names)}
    logbook.book.cache.put_many({sound[r.id]: json.dumps(asdict(r)).encode() for r in rows if r.id in sound})
    return rows


def _kept_rows(logbook: Logbook, kind: Literal["dive", "work"]) -> list[ListedRecord]:
    """The same from what was kept, by the content of the files; [] where one of them is not known."""
    keys = {record: key for record, (key, _) in _keys(logbook, kind).items()}
    known = logbook.book.cache.get_many(list(keys.values()))
    if len(known) < len(keys):
        return []
    values = [json.loads(v) for v in known.values()]
    rows = [ListedRecord(**{**v, "faults": tuple(v["faults"])}) for v in values]
    return sorted(rows, key=lambda row: (start_order(row.started), row.id))


def _keys(logbook: Logbook, kind: str) -> dict[str, tuple[str, list[str]]]:
    """Of each record, by the stem of its files: a key that changes with their content, and their names."""
    from hashlib import sha256

    files = logbook.book.files
    groups: dict[str, list[str]] = {}
    for name in files.names(FOLDERS[kind]):
        groups.setdefault(name.rpartition("/")[2].partition(".")[0], []).append(name)
    found = {}
    schemas = logbook.book.shipped.schemas_digest()
    for record, names in groups.items():
        total = sha256(f"{LISTED_FORMAT}:{schemas}:{names}".encode())
        try:
            for name in names:
                total.update(sha256(files.read(name)).digest())
        except UsageError:
            total.update(b"unreadable")
        found[record] = (f"listed:{kind}:{total.hexdigest()}", names)
    return found


def number_of(logbook: Logbook, record: Record) -> int:
    """Which dive of its vehicle this is, counted from 1 in order of their start; the next one's, if it
    is not on record."""
    peers = [r.id for r in logbook.records(record.vehicle or None, (record.kind,))]
    return 1 + (peers.index(record.id) if record.id in peers else len(peers))


def _row(record: Record) -> ListedRecord:
    start = next(iter(record.of_kind("start")), None)
    fields = start.fields if start else {}
    crew = dict(fields.get("crew") or {})
    for change in record.of_kind("crew"):
        crew.update(change.fields.get("crew") or {})
    return ListedRecord(
        record.id,
        record.vehicle or record.box,
        0,
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
