"""The turn-round between dives: what is open for the next one, and why; what of the last ones still holds."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from rovlog.domain.dive import Entry, Part, Record
from rovlog.usecases.checklists_of import checklists_for
from rovlog.usecases.dive_state import DiveState, dive_state
from rovlog.usecases.logbook import Logbook
from rovlog.usecases.parts_due import parts_due
from rovlog.usecases.recording import open_dive
from rovlog.usecases.times import instant
from rovlog.values import dataclass

if TYPE_CHECKING:
    from rovlog.domain.checks.checklist import Item
    from rovlog.domain.checks.state import ItemState
    from rovlog.domain.checks.stops import Stop

BEFORE_LEAVING = ("pre-dive", "launch")
FORGOTTEN_S = 12 * 3600.0
"""An open dive with nothing written for so long was forgotten (project default)."""

CAUSES = ("failed", "voided", "expired", "unfinished", "deferred", "each dive", "never answered")
"""Why an item is open, most telling first."""


@dataclass(frozen=True, slots=True)
class OpenItem:
    """One item that is open for the next dive: `cause` is one of CAUSES, `why` says what did it."""

    item: Item
    state: ItemState
    group: str
    cause: str
    why: str


@dataclass(frozen=True, slots=True)
class TurnRound:
    """What a vehicle needs before its next dive.

    `record` is its open dive, None where the next one is not started: then it is judged as if it
    began now, at the site, in the water and with the crew of the last one (`like`, its id, "" for
    none). `carried` are the items whose answers still hold; `stops` everything that stops the dive
    besides open items; `notes` what a person should know, a sentence each.
    """

    vehicle: str
    record: Record | None
    like: str
    open: tuple[OpenItem, ...]
    carried: tuple[tuple[Item, ItemState], ...]
    stops: tuple[Stop, ...]
    notes: tuple[str, ...] = ()


def turn_round(logbook: Logbook, vehicle: str, *, now: str | None = None) -> TurnRound:
    """Only what is open for the vehicle's next dive, each with why. Raises UsageError for an unknown one."""
    logbook.vehicle(vehicle)
    state, record, like = _state(logbook, vehicle, now)
    rows, carried = [], []
    for checklist in state.lists:
        if checklist.phase not in BEFORE_LEAVING:
            continue
        for section in checklist.sections:
            for item in section.items:
                found = state.items[item.item]
                if found.state == "answered":
                    carried.append((item, found))
                elif found.state in ("open", "failed", "expired", "deferred"):
                    group = f"{section.code} {section.title}".strip()
                    rows.append(_open_item(state, item, found, group))
    ids = {row.item.item for row in rows}
    return TurnRound(
        vehicle,
        record,
        like,
        tuple(rows),
        tuple(carried),
        tuple(s for s in state.stops if s.id not in ids),
        (*_notes(logbook, vehicle, record, state.now), *_due_notes(logbook, vehicle), *state.problems),
    )


def held_answers(logbook: Logbook, vehicle: str) -> set[str]:
    """Items of every list of the vehicle whose answers hold now."""
    state, _, _ = _state(logbook, vehicle, None)
    from rovlog.domain.checks.state import states_of

    return {name for name, s in states_of(state.fold, state.computed).items() if s.state == "answered"}


def _state(logbook: Logbook, vehicle: str, now: str | None) -> tuple[DiveState, Record | None, str]:
    current = open_dive(logbook, vehicle)
    if current is not None:
        return dive_state(logbook, current, now=now), current, ""
    dives = logbook.records(vehicle, ("dive",))
    moment = now or logbook.book.clock.now()
    supposed = _supposed(vehicle, moment, dives[-1] if dives else None)
    return dive_state(logbook, supposed, now=moment), None, dives[-1].id if dives else ""


def _supposed(vehicle: str, at: str, last: Record | None) -> Record:
    """A dive that begins now as the last one did; nothing of it is ever written."""
    fields: dict[str, Any] = {}
    for entry in last.of_kind("start", "place", "crew") if last else ():
        kept = {k: v for k, v in entry.fields.items() if k in ("site", "water", "crew", "depth_m")}
        fields |= {k: {**fields.get(k, {}), **v} if isinstance(v, Mapping) else v for k, v in kept.items()}
    start = Entry("next", 1, at, 0.0, "", "start", "", fields)
    part = Part("", "", at, (start,))
    return Record(f"{vehicle}-next", "dive", vehicle, "", at, (part,), (start,))


def _open_item(state: DiveState, item: Item, found: ItemState, group: str) -> OpenItem:
    track = state.fold.tracks[item.item]
    if found.state == "failed":
        return OpenItem(item, found, group, "failed", found.reason)
    if found.state == "deferred":
        return OpenItem(item, found, group, "deferred", found.reason)
    if track.void:
        return OpenItem(item, found, group, "voided", track.void)
    if found.state == "expired":
        return OpenItem(item, found, group, "expired", found.void_reason)
    if track.first is not None and track.first.record != state.record.id:
        return OpenItem(item, found, group, "each dive", "asked on every dive")
    if found.reason:
        return OpenItem(item, found, group, "unfinished", found.reason)
    return OpenItem(item, found, group, "never answered", "")


def _due_notes(logbook: Logbook, vehicle: str) -> list[str]:
    return [f"{d.text}; it stops nothing; clears: {d.clears}" for d in parts_due(logbook, vehicle)]


def _notes(logbook: Logbook, vehicle: str, record: Record | None, now: str) -> list[str]:
    notes = []
    if record is not None and record.entries:
        last, moment = record.entries[-1].at, instant(now)
        then = instant(last)
        if then is not None and moment is not None and (moment - then).total_seconds() > FORGOTTEN_S:
            notes.append(
                f"nothing was written into {record.id} since {last[:16].replace('T', ' ')}: "
                f"if it is over, close it: rovlog dive close {record.id} --from-memory --by PERSON"
            )
    lists, _ = checklists_for(logbook, vehicle)
    if not any(c.phase in BEFORE_LEAVING for c in lists):
        notes.append("this logbook has no list to answer before a dive: rovlog checklist list")
    return notes
