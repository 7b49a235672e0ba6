"""Where else a symptom was, with the same part, box, firmware or setup, over every vehicle of the team."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Literal

from rovlog.domain.audit.fault_case import FaultCase
from rovlog.domain.audit.flights import Fault, Flight, Logbook
from rovlog.domain.audit.times import or_last
from rovlog.values import dataclass

TraitKind = Literal["vehicle", "part", "model", "box", "firmware", "setup"]


@dataclass(frozen=True, slots=True, order=True)
class Trait:
    """One thing that dives can have in common: a part, a thruster model, a box, its firmware, its setup."""

    kind: TraitKind
    what: str


@dataclass(frozen=True, slots=True)
class Elsewhere:
    """The symptom in another record, with what that record had in common with the fault looked at."""

    vehicle: str
    fault: Fault
    shared: tuple[Trait, ...]


@dataclass(frozen=True, slots=True)
class SharedTrait:
    """One trait of the fault looked at: how many of the team's dives had it, and the symptom with it.

    `others` are the other records with the symptom that had it too.
    """

    trait: Trait
    dives: int
    with_symptom: int
    others: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Correction:
    """One corrective action: the case it answers, and whether it held since.

    `state` is open (not closed yet), watching, held (no such symptom since), untried (no dive since) or
    came-back.
    """

    case: FaultCase
    state: Literal["open", "watching", "held", "untried", "came-back"]


@dataclass(frozen=True, slots=True)
class Recurrence:
    """A symptom's recurrence; `here` is the fault looked at."""

    symptom: str
    here: Fault
    elsewhere: tuple[Elsewhere, ...]
    traits: tuple[SharedTrait, ...]
    corrections: tuple[Correction, ...]


def traits_of(flight: Flight, named_parts: Mapping[str, str]) -> frozenset[Trait]:
    """What a dive had that others may have too; `named_parts` are those its configuration names, by id."""
    found: set[Trait] = {Trait("vehicle", flight.vehicle)}
    found |= {Trait("part", part) for part in (*flight.parts.values(), *named_parts)}
    resolved = flight.as_flown.resolved
    if resolved is None:
        return frozenset(found)
    thrusters = dict(resolved.get("thrusters") or {})
    found |= {Trait("model", str(t["model"])) for t in thrusters.values() if t.get("model")}
    box = dict(resolved.get("control_box") or {})
    name = str(box.get("box", ""))
    if name:
        found.add(Trait("box", name))
        # The same firmware on another box counts, the same setup only as that firmware numbers it.
        found.add(Trait("firmware", str(box.get("firmware"))))
        for code, word in (("steering_scheme", "steering scheme"), ("thruster_map", "thruster map")):
            setup = f"{word} {box.get(code)} of firmware {box.get('firmware')}, box {name}"
            found.add(Trait("setup", setup))
    return frozenset(found)


def recurrence(
    symptom: str,
    vehicle: str,
    logbooks: Mapping[str, Logbook],
    traits: Mapping[str, frozenset[Trait]],
    cases: Sequence[FaultCase],
    record: str = "",
) -> Recurrence | None:
    """Where else the symptom was; None where the vehicle never had it.

    Args:
        symptom: a fault's symptom.
        vehicle: whose last fault with it is looked at.
        logbooks: every vehicle's dives.
        traits: of every dive, by its id.
        cases: every fault case of the team.
        record: the record whose fault is looked at instead of the last one.
    """
    every = [
        (v, fault)
        for v, book in logbooks.items()
        for fault in (*(f for flight in book.flights for f in flight.faults), *book.loose_faults)
        if fault.symptom == symptom
    ]
    mine = [fault for v, fault in every if v == vehicle]
    if not mine:
        return None
    here = max(mine, key=lambda f: (f.record == record, or_last(f.at)))
    at_fault = _traits_at(here, logbooks[vehicle], traits)
    found, seen = [], {here.record}
    for v, fault in sorted(every, key=lambda row: or_last(row[1].at)):
        if fault.record not in seen:
            seen.add(fault.record)
            shared = at_fault & _traits_at(fault, logbooks[v], traits)
            found.append(Elsewhere(v, fault, tuple(sorted(shared))))
    flights = [f for book in logbooks.values() for f in book.flights]
    rows = [_shared(trait, symptom, flights, traits, found) for trait in sorted(at_fault)]
    rows.sort(key=lambda r: (-len(r.others), -(r.with_symptom / max(1, r.dives)), r.trait))
    return Recurrence(symptom, here, tuple(found), tuple(rows), corrections(symptom, vehicle, cases))


def corrections(symptom: str, vehicle: str, cases: Sequence[FaultCase]) -> tuple[Correction, ...]:
    """Corrective actions for the symptom anywhere, and those of the vehicle that are still open."""
    found = []
    for case in cases:
        state = correction_state(case)
        is_open_here = case.vehicle == vehicle and state in ("open", "watching")
        if not (case.actions or case.cause or case.released):
            continue
        if case.symptom == symptom or is_open_here:
            found.append(Correction(case, state))
    return tuple(found)


def correction_state(case: FaultCase) -> Literal["open", "watching", "held", "untried", "came-back"]:
    """How a case's corrective action stands: a symptom that came back shows that it did not hold."""
    if case.came_back:
        return "came-back"
    if case.released is None:
        return "open"
    if len(case.dives_since) < case.watch:
        return "watching"
    return "held" if case.dives_since else "untried"


def _traits_at(fault: Fault, book: Logbook, traits: Mapping[str, frozenset[Trait]]) -> frozenset[Trait]:
    """The traits of a fault's dive; of a fault in work those of the dive before it, else the next one."""
    if fault.record in traits:
        return traits[fault.record]
    before = [f for f in book.flights if or_last(f.started) <= or_last(fault.at)]
    near = before[-1] if before else next(iter(book.flights), None)
    return traits.get(near.dive, frozenset()) if near else frozenset()


def _shared(
    trait: Trait,
    symptom: str,
    flights: Sequence[Flight],
    traits: Mapping[str, frozenset[Trait]],
    found: Sequence[Elsewhere],
) -> SharedTrait:
    having = [f for f in flights if trait in traits.get(f.dive, frozenset())]
    return SharedTrait(
        trait,
        len(having),
        sum(f.has_symptom(symptom) for f in having),
        tuple(e.fault.record for e in found if trait in e.shared),
    )
