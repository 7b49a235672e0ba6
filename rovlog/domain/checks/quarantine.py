"""Quarantine: the state of a vehicle from a fault until somebody releases it, over dives and work."""

from __future__ import annotations

from rovlog.domain.checks.walk import Fold, is_entitled
from rovlog.values import dataclass


@dataclass(frozen=True, slots=True)
class FaultHeld:
    """One fault that is not released: where and when it was logged, and its symptom and part."""

    entry: str
    record: str
    at: str
    by: str
    symptom: str
    part: str


@dataclass(frozen=True, slots=True)
class Quarantine:
    """The vehicle is in quarantine. `left` are the items to be redone before a release counts;
    `repairers` may not release while `free` names another supervisor who was there; `refused` says why a
    release did not count."""

    faults: tuple[FaultHeld, ...]
    left: tuple[str, ...]
    repairers: tuple[str, ...]
    free: tuple[str, ...]
    refused: str = ""

    @property
    def since(self) -> str:
        """When the first of its faults was logged, as it was written."""
        return self.faults[0].at


def quarantine(fold: Fold) -> Quarantine | None:
    """The quarantine after the walk, or None. It ends with the items redone that the fault voided, the
    steps of the list after a fault that always stop, and then a release by the supervisor, who is
    somebody else than the repairers where there is one."""
    if not fold.faults:
        return None
    held = tuple(
        FaultHeld(f.moment.entry.id, f.moment.record, f.moment.entry.at, f.moment.entry.by, f.symptom, f.part)
        for f in fold.faults
    )
    left = {name for f in fold.faults for name in f.left | f.last}
    repairers = frozenset(p for f in fold.faults for p in f.repairers)
    people = frozenset(p for f in fold.faults for p in f.people if is_entitled(fold, p))
    refused = next((f.refused for f in fold.faults if f.refused), "")
    in_order = tuple(name for name in fold.items if name in left)
    return Quarantine(held, in_order, tuple(sorted(repairers)), tuple(sorted(people - repairers)), refused)
