"""What each change between two dives does physically, alone and all together, and whether it was approved."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from rovlog.usecases.audit_history import VehicleHistory
from rovlog.usecases.logbook import Logbook
from rovlog.values import dataclass

if TYPE_CHECKING:
    from rovlog.domain.audit.between import Between
    from rovlog.domain.audit.flights import Flight
    from rovlog.domain.audit.history import ApprovalNote, Change
    from rovlog.domain.drift.effect import Effect


@dataclass(frozen=True, slots=True)
class ChangeSince:
    """One value that changed. `effect` is of this change alone.

    `revision` is the approval that holds the new value: the one in force when the second dive began, else
    the first that holds it at all, None where none does. `was_in_force` says whether it is the former.
    `said_by` says who vouches for the new value on that dive (baseline, working, readback, setup, trim);
    `commit` and `author` are of the first commit that wrote it, "" where none did or git was not asked.
    """

    pointer: str
    before: Any
    after: Any
    effect: Effect
    revision: int | None
    was_in_force: bool
    said_by: str
    commit: str = ""
    author: str = ""
    at: str = ""


@dataclass(frozen=True, slots=True)
class ChangesSince:
    """Every value that changed from one dive to another; `together` is the effect of all of them."""

    rows: tuple[ChangeSince, ...]
    together: Effect | None


def changes_since(history: VehicleHistory, found: Between) -> ChangesSince:
    """The effects of what differs between two dives; nothing where a configuration is not known."""
    from rovlog.domain.drift.effect import effect_of, reference_of
    from rovlog.domain.drift.swap import causes, swapped
    from rovlog.usecases.physics import bound_physics

    flights = {f.dive: f for f in history.flights.flights}
    first, second = flights[found.first], flights[found.second]
    before, after = first.as_flown.resolved, second.as_flown.resolved
    if before is None or after is None or not found.configuration:
        return ChangesSince((), None)
    physics = bound_physics()
    reference = reference_of(before, physics)
    rows = []
    for pointer, old, new in causes(found.configuration):
        effect = effect_of(reference, swapped(before, pointer, after), physics)
        rows.append(_row(history, second, pointer, (old, new), effect))
    return ChangesSince(tuple(rows), effect_of(reference, after, physics))


def changes_between(
    logbook: Logbook, first: str, second: str, notes: list[str] | None = None
) -> tuple[Between, ChangesSince]:
    """Two dives side by side, and what each change between them does.

    What could not be used, or not as it stands, is added to `notes`.
    """
    from rovlog.usecases.audit_questions import history_between

    history, found = history_between(logbook, first, second)
    if notes is not None:
        notes += history.notes
    return found, changes_since(history, found)


def _row(
    history: VehicleHistory, second: Flight, pointer: str, values: tuple[Any, Any], effect: Effect
) -> ChangeSince:
    before, after = values
    approval, was_in_force = _approval(history.approvals, second, pointer, after)
    change = _bringer(history.changes, pointer, after)
    return ChangeSince(
        pointer,
        before,
        after,
        effect,
        approval.revision if approval else None,
        was_in_force,
        second.as_flown.sources.get(pointer, "baseline"),
        change.commit if change else "",
        change.author if change else "",
        change.at if change else "",
    )


def _approval(
    approvals: tuple[ApprovalNote, ...], second: Flight, pointer: str, value: Any
) -> tuple[ApprovalNote | None, bool]:
    """The approval that holds the value, and whether it was in force when the dive began."""
    from rovlog.domain.audit.flown import flown_value
    from rovlog.domain.audit.times import or_last
    from rovlog.domain.drift.leaves import is_same

    def holds(approval: ApprovalNote) -> bool:
        resolved: Mapping[str, Any] = approval.resolved
        return is_same(flown_value(resolved, pointer), value)

    began = or_last(second.started)
    then = [
        a
        for a in approvals
        if or_last(a.at) <= began and (a.withdrawn is None or or_last(a.withdrawn_at) > began)
    ]
    in_force = max(then, key=lambda a: a.revision, default=None)
    if in_force is not None and holds(in_force):
        return in_force, True
    return next((a for a in sorted(approvals, key=lambda a: a.revision) if holds(a)), None), False


def _bringer(changes: tuple[Change, ...], pointer: str, value: Any) -> Change | None:
    from rovlog.domain.audit.history import inside
    from rovlog.domain.drift.leaves import is_same

    return next(
        (
            c
            for c in changes
            for place, _, new in c.differences
            if (inner := inside(place, new, pointer)) is not None and is_same(inner, value)
        ),
        None,
    )
