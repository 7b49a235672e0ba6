"""Which checklists a vehicle has, and which of them a dive or work record shows."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from functools import cache
from typing import TYPE_CHECKING, Any

from rovlog.domain.dive import Record
from rovlog.domain.findings import Finding
from rovlog.problems import RovlogError
from rovlog.usecases.logbook import Logbook
from rovlog.values import dataclass, replace

if TYPE_CHECKING:
    from rovlog.domain.checks.checklist import Checklist, Item
    from rovlog.domain.checks.state import ItemState

PHASES_OF_DIVE = ("pre-dive", "launch", "recovery", "post-dive")
PHASES_OF_WORK = ("bench", "after-fault", "periodic", "pre-dive", "post-dive")


STOPS_NOTHING = "checklists/emergency.yaml"
"""The cards ask for nothing that a dive waits for, so that a damaged one stops none."""


@dataclass(frozen=True, slots=True)
class BrokenList:
    """A list's file that cannot be used, and why not."""

    file: str
    reason: str

    @property
    def said(self) -> str:
        """The sentence that names the file."""
        return f"{self.file} cannot be used: {self.reason}"


def checklists_for(
    logbook: Logbook, vehicle: str, resolved: Mapping[str, Any] | None = None
) -> tuple[tuple[Checklist, ...], tuple[str, ...]]:
    """The logbook's lists that apply to a vehicle, in the order of a day, and what could not be used.

    What is asked for each housing follows the resolved configuration that is given, else the files.
    """
    lists, broken = lists_and_broken(logbook, vehicle, resolved)
    return lists, tuple(b.said for b in broken)


def lists_and_broken(
    logbook: Logbook, vehicle: str, resolved: Mapping[str, Any] | None = None
) -> tuple[tuple[Checklist, ...], tuple[BrokenList, ...]]:
    """The lists that apply to a vehicle, in the order of a day, and the files that hold none that can be
    used, whomever they may have applied to."""
    from rovlog.domain.checks.checklist import PHASES

    found, broken = [], []
    make = _maker(_housings(logbook, vehicle, resolved))
    for name in logbook.book.files.names("checklists"):
        try:
            checklist = logbook.made(name, make)
        except RovlogError as error:
            broken.append(BrokenList(name, error.message))
            continue
        if checklist.is_for(vehicle):
            found.append(checklist)
    found.sort(key=lambda c: (PHASES.index(c.phase), c.checklist))
    return tuple(found), tuple(broken)


def list_findings(
    record: Record, lists: tuple[Checklist, ...], broken: tuple[BrokenList, ...]
) -> tuple[Finding, ...]:
    """What stops an open record because a list that it needs cannot be read or is gone.

    What a list asks for is not known then, so nothing can be said of what is answered. A phase of the
    dive is without a list where neither one that applies nor a damaged file of that name is there.
    """
    if record.is_closed:
        return ()
    found = [
        Finding(f"list-cannot-be-used-{_stem(b.file)}", "stops", b.said, clears=VALIDATE_SAYS)
        for b in broken
        if b.file != STOPS_NOTHING
    ]
    if record.kind == "dive":
        there = {c.phase for c in lists} | {_stem(b.file) for b in broken}
        found += [
            Finding(
                f"list-missing-{phase}",
                "stops",
                missing_words(phase, record.vehicle),
                clears=missing_mend(phase),
            )
            for phase in PHASES_OF_DIVE
            if phase not in there
        ]
    return tuple(found)


VALIDATE_SAYS = "rovlog validate says how to mend it"


def missing_words(phase: str, vehicle: str = "") -> str:
    """That no list of this phase of the dive is on file."""
    whom = f" for {vehicle}" if vehicle else ""
    return (
        f"no {phase} list{whom} is on file: there is no checklists/{phase}.yaml, nor another one of its phase"
    )


def missing_mend(phase: str) -> str:
    """How a list that is gone comes back."""
    return (
        f"take it back from git: git restore checklists/{phase}.yaml "
        "(or from a new logbook: rovlog init DIR writes the lists that come with rovlog)"
    )


def _stem(file: str) -> str:
    return file.rpartition("/")[2].removesuffix(".yaml")


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
    return len(items_put_off(lists, states))


def items_put_off(lists: tuple[Checklist, ...], states: Mapping[str, ItemState]) -> tuple[Item, ...]:
    """The items before the dive that are deferred or expired, but for those that read them out."""
    found = []
    for checklist in lists:
        if checklist.phase != "pre-dive":
            continue
        for item in checklist.items():
            if any(
                a.limit and a.limit.equals and a.limit.equals.computed == "deferred_and_expired"
                for a in item.asks
            ) or any(a.proposed and a.proposed.computed == "deferred_and_expired" for a in item.asks):
                continue
            if states[item.item].state in ("deferred", "expired"):
                found.append(item)
    return tuple(found)
