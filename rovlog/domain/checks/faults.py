"""A fault in the walk: which items it leaves to be redone, who worked on it, and what ends the quarantine."""

from __future__ import annotations

from collections.abc import Iterable

from rovlog.domain.checks.checklist import Item, names_of
from rovlog.domain.checks.moments import Moment
from rovlog.domain.checks.seconds import agreement
from rovlog.domain.checks.walk import Fold, OpenFault, Track, is_entitled, is_supervisor
from rovlog.values import replace

SHORT_LIVED = ("dive", "now", "setup")
"""An answer that holds no longer than this is asked for again anyway: a fault need not wait for it."""


RETURN_TO_SERVICE = "return-to-service"
"""The hold point that ends a quarantine."""

AFTER_FAULT = "after-fault"
"""The checklist that is worked through in quarantine."""

REPAIR_GROUPS = ("blown-fuse", "cause")
REPAIR_KINDS = ("confirm", "measure", "function-test")
"""Where a hand is on the vehicle: who answers these steps did the repair. Who only says what the cause
was, or looks a second time, did not."""


def open_fault(fold: Fold, moment: Moment, voided: Iterable[str]) -> None:
    """Put the vehicle in quarantine: the voided items that hold for long, and the steps of the list
    after a fault that always stop, are left to be redone. Steps for another symptom are not asked for."""
    symptom = str(moment.entry.fields.get("symptom", ""))
    symptoms = {"", symptom, *(f.symptom for f in fold.faults)}
    asked = {
        name: item
        for name, item in fold.items.items()
        if item.applies_when is None or item.applies_when.symptom in symptoms
    }
    left = {name for name in voided if name in asked and _is_long(asked[name])}
    for name, item in asked.items():
        if item.checklist == AFTER_FAULT and item.stops == "always" and item.kind != "release":
            left.add(name)
    last = frozenset(name for name in left if _is_answered_by_count(fold.items[name]))
    part = str(moment.entry.fields.get("part", ""))
    here = frozenset(fold.known.crew.values())
    fault = OpenFault(moment, symptom, part, frozenset(left) - last, last, people=here)
    fold.faults = (*fold.faults, fault)


def note_repair(fold: Fold, person: str) -> None:
    """Keep that this person worked on what is in quarantine."""
    fold.faults = tuple(
        f if person in f.repairers else replace(f, repairers=f.repairers | {person}) for f in fold.faults
    )


def note_people(fold: Fold) -> None:
    """Keep who has been there since the faults: one of them may be free to release."""
    if not fold.faults or not fold.known.crew:
        return
    # Asked with every entry. Whoever was there for the newest fault was there for those before it.
    here = frozenset(fold.known.crew.values())
    if not here <= fold.faults[-1].people:
        fold.faults = tuple(replace(f, people=f.people | here) for f in fold.faults)


def note_redone(fold: Fold, item: Item, track: Track, person: str) -> None:
    """An answer that passes takes the item off what the open faults wait for."""
    if not fold.faults:
        return
    is_second = track.second is not None and track.second.entry.by == person and track.first is not None
    is_repair = item.section in REPAIR_GROUPS and item.kind in REPAIR_KINDS
    if item.checklist == AFTER_FAULT and is_repair and not is_second:
        note_repair(fold, person)
    first = track.first
    if first is not None and agreement(item, first, track.second, track.is_alone, fold.policy).passed:
        redone = {item.item}
        fold.faults = tuple(
            replace(f, left=f.left - redone, last=f.last - redone)
            if item.item in f.left or item.item in f.last
            else f
            for f in fold.faults
        )


def release_counts(fold: Fold, point: str, by: str) -> bool:
    """Whether a release counts; a return to service ends the quarantine if it does."""
    if not is_supervisor(fold, by):
        return False
    if point != RETURN_TO_SERVICE:
        return True
    refusals = [refusal_of_return(fold, f, by) for f in fold.faults]
    if any(refusals):
        fold.faults = tuple(replace(f, refused=r) for f, r in zip(fold.faults, refusals, strict=True))
        return False
    fold.faults = ()
    return True


def refusal_of_return(fold: Fold, fault: OpenFault, by: str) -> str:
    """Why this person's release to service does not end the quarantine of a fault, or ""."""
    left = fault.left | fault.last
    if left:
        named = names_of([i for n, i in fold.items.items() if n in left])
        return f"{len(left)} items are not redone: {named}"
    others = sorted(p for p in fault.people - fault.repairers if is_entitled(fold, p))
    if by in fault.repairers and others:
        return f"{by} did the repair; somebody else releases: " + ", ".join(others)
    return ""


def _is_answered_by_count(item: Item) -> bool:
    """True if the answer is how many items are left: it cannot be one of them."""
    return any(a.proposed is not None and a.proposed.computed == "voided_open" for a in item.asks)


def _is_long(item: Item) -> bool:
    """True for answers that hold for an hour or more; shorter ones are asked again anyway."""
    is_short = any(w in SHORT_LIVED or w.endswith((" min", " s")) for w in item.valid_for)
    return not is_short and item.kind != "release"
