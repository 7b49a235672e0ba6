"""Which checklists a vehicle has, and which of them a dive or work record shows."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from functools import cache
from typing import TYPE_CHECKING, Any

from rovlog.domain.dive import Record
from rovlog.problems import RovlogError
from rovlog.usecases.logbook import Logbook
from rovlog.values import replace

if TYPE_CHECKING:
    from rovlog.domain.checks.checklist import Checklist
    from rovlog.domain.checks.state import ItemState

PHASES_OF_DIVE = ("pre-dive", "launch", "recovery", "post-dive")
PHASES_OF_WORK = ("bench", "after-fault", "periodic", "pre-dive", "post-dive")


def checklists_for(
    logbook: Logbook, vehicle: str, resolved: Mapping[str, Any] | None = None
) -> tuple[tuple[Checklist, ...], tuple[str, ...]]:
    """The logbook's lists that apply to a vehicle, in the order of a day, and what could not be used.

    What is asked for each housing follows the resolved configuration that is given, else the files.
    """
    from rovlog.domain.checks.checklist import PHASES

    found, problems = [], []
    make = _maker(_housings(logbook, vehicle, resolved))
    for name in logbook.book.files.names("checklists"):
        try:
            checklist = logbook.made(name, make)
        except RovlogError as error:
            problems.append(f"{name} cannot be used: {error.message}")
            continue
        if checklist.is_for(vehicle):
            found.append(checklist)
    found.sort(key=lambda c: (PHASES.index(c.phase), c.checklist))
    return tuple(found), tuple(problems)


def _housings(logbook: Logbook, vehicle: str, resolved: Mapping[str, Any] | None) -> str:
    """The housings by id as JSON, which tells one set of them from another; "" for fewer than two."""
    from rovlog.domain.checks.per_housing import housings_of

    if resolved:
        found = housings_of(resolved)
    else:
        try:
            rows = logbook.vehicle(vehicle).get("housings", ()) if vehicle else ()
        except RovlogError:
            # Files that are gone or broken are told by whoever needs them; the lists stay as written.
            return ""
        found = {str(row["housing"]): row for row in rows}
    return json.dumps(found) if len(found) > 1 else ""


@cache
def _maker(housings: str) -> Callable[[Any], Checklist]:
    """What makes a list of its document for a vehicle with these housings: the same one for the same."""
    from rovlog.documents.checklist import checklist_from

    if not housings:
        return checklist_from
    from rovlog.domain.checks.per_housing import for_each_housing

    rows = json.loads(housings)
    return lambda document: for_each_housing(checklist_from(document), rows)


def lists_shown(record: Record, lists: tuple[Checklist, ...]) -> tuple[Checklist, ...]:
    """Of a vehicle's lists those that belong to a record of this kind, whatever has happened on it."""
    phases = PHASES_OF_DIVE if record.kind == "dive" else PHASES_OF_WORK
    return tuple(c for c in lists if c.phase in phases)


def lists_that_stop(
    lists: tuple[Checklist, ...], shown: tuple[Checklist, ...], stopping: set[str]
) -> tuple[Checklist, ...]:
    """Of lists that are not this record's, the items that stop it all the same, such as a bench answer
    that another water voided: they are answered here too."""
    found = []
    for checklist in lists:
        if checklist in shown:
            continue
        sections = [
            replace(s, items=kept)
            for s in checklist.sections
            if (kept := tuple(i for i in s.items if i.item in stopping))
        ]
        if sections:
            found.append(replace(checklist, sections=tuple(sections)))
    return tuple(found)


def put_off(lists: tuple[Checklist, ...], states: Mapping[str, ItemState]) -> int:
    """How many items before the dive are deferred or expired, but for those that read this count out."""
    count = 0
    for checklist in lists:
        if checklist.phase != "pre-dive":
            continue
        for item in checklist.items():
            if any(
                a.limit and a.limit.equals and a.limit.equals.computed == "deferred_and_expired"
                for a in item.asks
            ) or any(a.proposed and a.proposed.computed == "deferred_and_expired" for a in item.asks):
                continue
            count += states[item.item].state in ("deferred", "expired")
    return count
