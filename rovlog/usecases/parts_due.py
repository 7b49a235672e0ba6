"""Parts on a vehicle that are past due: noted before a dive, never a reason that stops it."""

from __future__ import annotations

from rovlog.problems import RovlogError
from rovlog.usecases.logbook import Logbook
from rovlog.values import dataclass


@dataclass(frozen=True, slots=True)
class PartDue:
    """One thing past due on a part that is on the vehicle: what, in a sentence, and what clears it."""

    part: str
    what: str
    text: str
    clears: str


def parts_due(logbook: Logbook, vehicle: str) -> tuple[PartDue, ...]:
    """What is past due on the parts that are on this vehicle now, in the order of the parts' ids.

    Part files that cannot be used are left out here: the list of parts names them.
    """
    from rovlog.usecases.part_history import part_histories

    if not vehicle or not any(_has_due(logbook, stem) for stem in logbook.stems("parts")):
        return ()
    lives, _ = part_histories(logbook)
    found = []
    for life in lives:
        if life.now is None or life.now.vehicle != vehicle:
            continue
        for due in life.due:
            if due.state == "past due":
                text = f"{life.name} ({life.part}): {due.what} is past due" + _by(due.left_days, due.left_h)
                clears = f"do it, then write its day under last in parts/{life.part}.yaml" + (
                    " and the part's hours under last_hours" if due.every_hours is not None else ""
                )
                found.append(PartDue(life.part, due.what, text, clears))
    return tuple(found)


def _has_due(logbook: Logbook, stem: str) -> bool:
    try:
        return bool(logbook.document(f"parts/{stem}.yaml").get("due"))
    except RovlogError:
        return False


def _by(left_days: float | None, left_h: float | None) -> str:
    days = ""
    if left_days is not None and left_days < 0:
        days = f"by {-left_days:g} {'day' if left_days == -1 else 'days'}"
    hours = f"by {-left_h:.1f} running h" if left_h is not None and left_h < 0 else ""
    said = " and ".join(w for w in (days, hours) if w)
    return f", {said}" if said else ""
