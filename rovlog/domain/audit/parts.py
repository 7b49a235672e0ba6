"""Parts with an identity: what each was fitted to, its running hours there, and what is due."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import UTC, date, datetime, timedelta
from typing import Any

from rovlog.domain.audit.running import not_counted, powered, running_s
from rovlog.domain.audit.times import or_last
from rovlog.domain.dive import Entry, Record
from rovlog.values import dataclass

LENT = ("lent", "on loan", "borrowed by")
"""How a person begins to say that a part is with somebody else."""

OFF = ("shelf", "store", "stored", "removed", "off", "none", "spare", "scrap", "scrapped")
"""Words for a part that is on nothing."""

SOON_SHARE = 0.1
"""A thing is called soon due when less than this share of its interval is left (project default)."""


@dataclass(frozen=True, slots=True)
class Stay:
    """One stretch on one place. `vehicle` is "" where it is on none of ours; `until` "" while it lasts."""

    to: str
    vehicle: str
    since: str
    until: str
    by: str
    record: str
    running_s: float
    dives: int
    is_from_files: bool = False

    @property
    def is_lent(self) -> bool:
        """True while somebody else has it."""
        return is_lent(self.to)


@dataclass(frozen=True, slots=True)
class Due:
    """One thing due from time to time. `left_h` and `left_days` are None where no interval is given, or
    nobody noted when it was last done; negative once it is past due."""

    what: str
    every_hours: float | None
    every_days: float | None
    last: str
    left_h: float | None
    left_days: float | None
    state: str


@dataclass(frozen=True, slots=True)
class PartLife:
    """One part as it stands: `hours` counts those it came with."""

    part: str
    kind: str
    name: str
    serial: str
    stays: tuple[Stay, ...]
    hours: float
    hours_at_entry: float
    due: tuple[Due, ...]
    notes: tuple[str, ...] = ()

    @property
    def now(self) -> Stay | None:
        """Where it is now, None where nobody said."""
        return self.stays[-1] if self.stays and not self.stays[-1].until else None


@dataclass(frozen=True, slots=True)
class _Fit:
    position: int
    place: int
    entry: Entry
    record: Record
    part: str
    to: str
    vehicle: str


def is_lent(to: str) -> bool:
    """True for a place that is somebody else's hands ("lent to the harbour school")."""
    return to.strip().casefold().startswith(LENT)


def part_lives(
    documents: Mapping[str, Mapping[str, Any]],
    records: Sequence[Record],
    vehicles: Sequence[str],
    named_by: Mapping[str, Mapping[str, str]],
    now: datetime,
) -> tuple[PartLife, ...]:
    """Every part's life.

    Args:
        documents: the parts' documents by id.
        records: dives and work of the whole logbook.
        vehicles: ids of the vehicles, to be recognised in what a part was fitted to.
        named_by: dive id to the parts its configuration names, with where ("supply"): a part that nobody
            ever noted as fitted counts the dives of configurations that name it.
        now: an aware time, for what is due by the calendar.
    """
    ordered = sorted(records, key=lambda r: (or_last(r.started), r.id))
    fits = _fits(ordered, vehicles)
    noted = {f.part for f in fits}
    every = list(dict.fromkeys([*documents, *(f.part for f in fits)]))
    lives = []
    for part in every:
        document = documents.get(part, {})
        stays = _stays(part, ordered, fits) if part in noted else _from_files(part, ordered, named_by)
        at_entry = float(document.get("hours_at_entry", 0.0))
        hours = at_entry + sum(s.running_s for s in stays) / 3600.0
        missing = [] if documents.get(part) else [f"{part} has no file in parts/"]
        notes = tuple(missing + _open_notes(ordered, stays))
        due = tuple(_due(row, document, hours, at_entry, now) for row in document.get("due", ()))
        lives.append(
            PartLife(
                part,
                str(document.get("kind", "not known")),
                str(document.get("name", part)),
                str(document.get("serial", "")),
                stays,
                hours,
                at_entry,
                due,
                notes,
            )
        )
    return tuple(lives)


def _fits(records: Sequence[Record], vehicles: Sequence[str]) -> list[_Fit]:
    found = []
    for position, record in enumerate(records):
        for place, entry in enumerate(record.entries):
            if entry.kind != "fitted":
                continue
            to = str(entry.fields.get("to", ""))
            vehicle = _vehicle_of(to, record, vehicles)
            found.append(_Fit(position, place, entry, record, str(entry.fields.get("part", "")), to, vehicle))
    return found


def _vehicle_of(to: str, record: Record, vehicles: Sequence[str]) -> str:
    words = to.casefold().replace(",", " ").replace("/", " ").split()
    if is_lent(to) or (words and words[0] in OFF):
        return ""
    return next((v for v in vehicles if v in words), record.vehicle)


def _stays(part: str, records: Sequence[Record], fits: Sequence[_Fit]) -> tuple[Stay, ...]:
    stays = []
    for number, fit in enumerate(fits):
        if fit.part != part:
            continue
        end = next((f for f in fits[number + 1 :] if _ends(f, fit)), None)
        seconds, dives = _ran(fit, end, records)
        until = end.entry.at if end else ""
        stays.append(
            Stay(fit.to, fit.vehicle, fit.entry.at, until, fit.entry.by, fit.record.id, seconds, dives)
        )
    return tuple(stays)


def _ends(later: _Fit, fit: _Fit) -> bool:
    """Whether a later fitting ends this one: the part went elsewhere, or another took its place."""
    is_same_place = (later.vehicle, later.to.casefold()) == (fit.vehicle, fit.to.casefold())
    return later.part == fit.part or later.entry.fields.get("replaces") == fit.part or is_same_place


def _ran(fit: _Fit, end: _Fit | None, records: Sequence[Record]) -> tuple[float, int]:
    if not fit.vehicle:
        return 0.0, 0
    seconds, dives = 0.0, 0
    last = end.position if end else len(records) - 1
    for position in range(fit.position, last + 1):
        record = records[position]
        if record.vehicle != fit.vehicle:
            continue
        start = fit.place if position == fit.position else 0
        stop = end.place if end and position == end.position else None
        ran = running_s(record, start, stop)
        seconds += ran
        dives += record.kind == "dive" and ran > 0
    return seconds, dives


def _from_files(
    part: str, records: Sequence[Record], named_by: Mapping[str, Mapping[str, str]]
) -> tuple[Stay, ...]:
    """Stays of a part that only configurations name: one for each run of dives on one place."""
    stays: list[Stay] = []
    for record in records:
        where = named_by.get(record.id, {}).get(part)
        if where is None:
            continue
        ran = running_s(record)
        to = f"{record.vehicle} {where}"
        if stays and stays[-1].to == to:
            last = stays[-1]
            stays[-1] = Stay(
                to,
                record.vehicle,
                last.since,
                "",
                "",
                last.record,
                last.running_s + ran,
                last.dives + 1,
                True,
            )
        else:
            if stays:
                old = stays[-1]
                stays[-1] = Stay(
                    old.to,
                    old.vehicle,
                    old.since,
                    record.started,
                    "",
                    old.record,
                    old.running_s,
                    old.dives,
                    True,
                )
            stays.append(Stay(to, record.vehicle, record.started, "", "", record.id, ran, 1, True))
    return tuple(stays)


def _open_notes(records: Sequence[Record], stays: Sequence[Stay]) -> list[str]:
    vehicles = {s.vehicle for s in stays if s.vehicle}
    return [
        f"{r.id} has no power off: its last entry stands for it"
        for r in records
        if r.vehicle in vehicles and any(p.is_open and not p.not_counted for p in powered(r))
    ] + [f"{r.id}: {words}" for r in records if r.vehicle in vehicles for words in not_counted(r)]


def _due(
    row: Mapping[str, Any], document: Mapping[str, Any], hours: float, at_entry: float, now: datetime
) -> Due:
    every_hours, every_days = row.get("every_hours"), row.get("every_days")
    last = str(row.get("last") or document.get("made") or "")
    left_h = None
    if every_hours is not None:
        left_h = float(every_hours) - (hours - float(row.get("last_hours", at_entry)))
    left_days = None
    since = _day(last)
    if every_days is not None and since is not None:
        left_days = float((since + timedelta(days=float(every_days)) - now.astimezone(UTC).date()).days)
    return Due(
        str(row.get("what", "")),
        None if every_hours is None else float(every_hours),
        None if every_days is None else float(every_days),
        last,
        left_h,
        left_days,
        _state(every_hours, every_days, left_h, left_days),
    )


def _state(
    every_hours: float | None, every_days: float | None, left_h: float | None, left_days: float | None
) -> str:
    left = [(v, e) for v, e in ((left_h, every_hours), (left_days, every_days)) if v is not None and e]
    if any(v <= 0 for v, _ in left):
        return "past due"
    if every_days is not None and left_days is None:
        return "not known"
    if any(v <= SOON_SHARE * e for v, e in left):
        return "soon"
    return "not yet" if left else "not known"


def _day(text: str) -> date | None:
    try:
        return date.fromisoformat(text[:10])
    except ValueError:
        return None
