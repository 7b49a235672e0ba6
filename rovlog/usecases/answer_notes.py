"""What is said beside an answer, none of which keeps it from being recorded."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from rovlog.usecases.dive_state import DiveState
from rovlog.usecases.logbook import Logbook
from rovlog.usecases.vacuum_answer import corrected_rise

if TYPE_CHECKING:
    from rovlog.domain.checks.checklist import Item


def answer_notes(
    logbook: Logbook,
    state: DiveState,
    item: Item,
    by: str,
    values: Mapping[str, Any],
    at: str | None = None,
) -> tuple[str, ...]:
    """Whose item it is, the order of a crew of one, timers that still run, a hold that cannot be judged."""
    from rovlog.domain.checks.second_looks import is_crew_of_one, second_looks

    notes = []
    role = role_for(state, item, by)
    if item.by and "all" not in item.by and role is not None and role not in item.by:
        notes.append(f"this item is for the {' or '.join(item.by)}; {by} is {role} today")
    checklist = next((c for c in state.lists if c.checklist == item.checklist), None)
    waits = item.item in state.items and state.items[item.item].waits_for_second
    if waits and checklist is not None and is_crew_of_one(state.fold):
        rest = second_looks(checklist, state.items, state.fold).rest
        if rest:
            words = f"{len(rest)} items come before" if len(rest) > 1 else "1 item comes before"
            notes.append(f"a crew of one looks again after the rest, the other way round: {words}")
    if item.timers and at is None:
        from rovlog.usecases.timers import timer_notes

        notes += timer_notes(logbook, state, item)
    from rovlog.usecases.read_out import read_out

    notes += [f"read out: {line}" for line in read_out(state, item)]
    if item.ask("corrected_rise") is not None:
        _, word = corrected_rise(values)
        notes += [word] if word else []
    return tuple(notes)


def role_for(state: DiveState, item: Item, by: str) -> str | None:
    """The role a person answers this item in: of several that one has today, the one the item asks for."""
    roles = [role for role, who in state.crew.items() if who == by]
    return next((r for r in roles if r in item.by), roles[0] if roles else None)
