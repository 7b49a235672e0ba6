"""One vehicle's dives in order, each with what it flew with, who flew it, where, and what happened before."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from rovlog.domain.audit.flown import AsFlown
from rovlog.domain.audit.times import day_of, instant_s, or_last
from rovlog.domain.dive import ROLES, VOID_EVENTS, Entry, Record
from rovlog.values import dataclass, field


@dataclass(frozen=True, slots=True)
class Fault:
    """One fault as it was logged."""

    record: str
    entry: str
    at: str
    symptom: str
    part: str = ""
    text: str = ""


@dataclass(frozen=True, slots=True)
class Happening:
    """Something that was done to the vehicle or befell it: an event, or a whole piece of work.

    `kind` is "event" or "work"; `what` an event's slug or the work record's id.
    """

    kind: str
    what: str
    record: str
    at: str
    part: str = ""
    text: str = ""


@dataclass(frozen=True, slots=True)
class Flight:
    """One dive as the audit sees it.

    `number` counts the vehicle's dives from 1. `parts` is what was fitted where. `crew` gives, for each
    role, everybody who had it. `before` happened since the dive before it and up to its start or during
    it before any fault; `after` during it after its first fault.
    """

    dive: str
    vehicle: str
    number: int
    started: str
    day: str
    as_flown: AsFlown
    parts: Mapping[str, str] = field(default_factory=dict)
    crew: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    place: Mapping[str, str] = field(default_factory=dict)
    faults: tuple[Fault, ...] = ()
    before: tuple[Happening, ...] = ()
    after: tuple[Happening, ...] = ()
    is_closed: bool = False

    def has_symptom(self, symptom: str | None) -> bool:
        """True if a fault with this symptom was logged; any fault where it is None."""
        return any(symptom is None or f.symptom == symptom for f in self.faults)


@dataclass(frozen=True, slots=True)
class Logbook:
    """The vehicle's dives in order. `loose_faults` were logged outside dives; `notes` what was odd."""

    flights: tuple[Flight, ...]
    loose_faults: tuple[Fault, ...] = ()
    notes: tuple[str, ...] = ()


def flights_of(records: Sequence[Record], as_flown: Mapping[str, AsFlown]) -> Logbook:
    """One vehicle's dives in the order they began, with the work between them folded in.

    Args:
        records: the vehicle's dives and work, and the work on its box, in any order.
        as_flown: by dive id; a dive that is missing here has an unknown configuration.
    """
    ordered, notes = _in_order(records)
    parts: dict[str, str] = {}
    pending: list[Happening] = []
    flights: list[Flight] = []
    loose: list[Fault] = []
    for record in ordered:
        _fit(record, parts)
        if record.kind == "work":
            pending += _work_happenings(record)
            loose += faults_in(record)
            continue
        before, after = _dive_happenings(record)
        flown = as_flown.get(record.id) or AsFlown(record.id, None, gaps=("the configuration is not known",))
        flights.append(
            Flight(
                record.id,
                record.vehicle,
                len(flights) + 1,
                record.started,
                day_of(record.started),
                flown,
                dict(parts),
                _crew(record),
                _place(record),
                faults_in(record),
                (*pending, *before),
                after,
                record.is_closed,
            )
        )
        if not record.is_closed:
            notes.append(f"{record.id} was never closed; it is counted as it stands")
        pending = []
    return Logbook(tuple(flights), tuple(loose), tuple(notes))


def faults_in(record: Record) -> tuple[Fault, ...]:
    """The faults logged in a record."""
    return tuple(
        Fault(record.id, e.id, e.at, str(e.fields.get("symptom", "")), _text(e, "part"), _text(e, "text"))
        for e in record.of_kind("fault")
    )


def _in_order(records: Sequence[Record]) -> tuple[list[Record], list[str]]:
    """By time begun; a dive said to be the same as another one that is here is left out, and named."""
    ids = {r.id for r in records}
    kept, notes = [], []
    for record in records:
        twin = next((str(e.fields.get("record")) for e in record.of_kind("same-as")), None)
        if twin in ids and twin != record.id:
            notes.append(f"{record.id} is the same as {twin} and is counted once")
            continue
        if instant_s(record.started) is None:
            notes.append(f"{record.id} has no time that can be read; it is put last")
        kept.append(record)
    kept.sort(key=lambda r: (or_last(r.started), r.id))
    return kept, notes


def _fit(record: Record, parts: dict[str, str]) -> None:
    for entry in record.of_kind("fitted"):
        part, to = _text(entry, "part"), _text(entry, "to")
        for place in [p for p, fitted in parts.items() if fitted == part]:
            del parts[place]
        parts[to or part] = part


def _work_happenings(record: Record) -> list[Happening]:
    start = next(iter(record.of_kind("start")), None)
    purpose = _text(start, "purpose") if start else ""
    whole = Happening("work", record.id, record.id, record.started, text=purpose or "work")
    return [whole, *(_happening(record, e) for e in record.of_kind("event"))]


def _dive_happenings(record: Record) -> tuple[tuple[Happening, ...], tuple[Happening, ...]]:
    before: list[Happening] = []
    after: list[Happening] = []
    is_faulty = False
    for entry in record.entries:
        is_faulty = is_faulty or entry.kind == "fault"
        if entry.kind == "event":
            (after if is_faulty else before).append(_happening(record, entry))
    return tuple(before), tuple(after)


def _happening(record: Record, entry: Entry) -> Happening:
    slug = _text(entry, "event")
    words = VOID_EVENTS.get(slug, slug.replace("-", " "))
    said = _text(entry, "text")
    return Happening(
        "event", slug, record.id, entry.at, _text(entry, "part"), f"{words}: {said}" if said else words
    )


def _crew(record: Record) -> dict[str, tuple[str, ...]]:
    crew: dict[str, list[str]] = {}
    for entry in record.of_kind("start", "crew"):
        for role, person in dict(entry.fields.get("crew") or {}).items():
            for one in person if isinstance(person, list | tuple) else [person]:
                if str(one) not in crew.setdefault(str(role), []):
                    crew[str(role)].append(str(one))
    return {role: tuple(crew[role]) for role in (*ROLES, *sorted(set(crew) - set(ROLES))) if role in crew}


def _place(record: Record) -> dict[str, str]:
    place: dict[str, str] = {}
    for entry in record.of_kind("start", "place"):
        if entry.fields.get("site"):
            place["site"] = _text(entry, "site")
        water: Any = entry.fields.get("water")
        if isinstance(water, Mapping) and "kind" in water:
            place["water"] = str(water["kind"])
    return place


def _text(entry: Entry, key: str) -> str:
    value = entry.fields.get(key)
    return "" if value is None else str(value)
