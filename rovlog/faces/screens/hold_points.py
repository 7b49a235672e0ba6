"""What a hold point still waits for among the items of its lists."""

from __future__ import annotations

from rovlog.domain.checks.groups import keeps_closed
from rovlog.faces.screens.walk import Step, is_held, steps_of
from rovlog.usecases.dive_state import DiveState


def first_blocker(state: DiveState, step: Step) -> Step | None:
    """The first item, in the order of the lists, that keeps this hold point from its release.

    Where no item of a list keeps it closed, what stops the dive names the item.
    """
    if step.item is None or step.item.kind != "release":
        return None
    named = {i.item for i in keeps_closed(step.item.item, state.lists, state.items)}
    named = named or {s.id for s in state.stops if s.id != step.item.item}
    found = (s for s in steps_of(state) if s.item is not None and s.item.item in named)
    return next((s for s in found if not is_held(state, s)), None)
