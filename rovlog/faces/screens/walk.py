"""Walking the lists: one step after the other, what comes next, and what comes back at the end."""

from __future__ import annotations

from collections.abc import Mapping

from rovlog.domain.checks.checklist import Checklist, Item, Section
from rovlog.domain.checks.groups import GroupState, keeps_closed, may_answer
from rovlog.domain.checks.state import ItemState
from rovlog.usecases.dive_state import DiveState
from rovlog.values import dataclass

DUE = ("open", "expired")
"""States that the walk stops at on its way."""

COME_BACK = ("deferred", "failed")
"""States that are shown again at the end of a list, in this order."""


@dataclass(frozen=True, slots=True)
class Step:
    """One step of the walk: an item, or (item None) the completion call of a group."""

    checklist: Checklist
    section: Section
    item: Item | None
    number: int
    place: int

    @property
    def id(self) -> str:
        """What the step is remembered by."""
        return self.item.item if self.item else f"call:{self.checklist.checklist}/{self.section.section}"


def steps_of(state: DiveState) -> list[Step]:
    """Every step in the order of the work. `number` counts the list's items, `place` the group's, from 1."""
    steps = []
    for checklist in state.lists:
        number = 0
        for section in checklist.sections:
            for place, item in enumerate(section.items, start=1):
                number += 1
                steps.append(Step(checklist, section, item, number, place))
            steps.append(Step(checklist, section, None, number, len(section.items)))
    return steps


def group_of(state: DiveState, step: Step) -> GroupState:
    """The state of the step's group."""
    return next(
        g
        for g in state.groups
        if (g.checklist, g.section) == (step.checklist.checklist, step.section.section)
    )


BEFORE_THE_WATER = ("bench", "pre-dive", "launch")
"""Phases whose lists have served once the vehicle is out of the water again."""


def is_over(state: DiveState) -> bool:
    """True once a dive's vehicle has come out of the water: its first lists have served."""
    return state.record.kind == "dive" and state.fold.has_come_out


def stops_at_close(state: DiveState) -> int:
    """How many reasons stop the dive as it is closed. What has run out of the lists before the water since
    the vehicle came out is for the next dive to ask."""
    if state.record.kind != "dive":
        return 0
    served = {
        i.item
        for c in state.lists
        if is_over(state) and c.phase in BEFORE_THE_WATER
        for i in c.items()
        if state.items[i.item].state == "expired"
    }
    return sum(s.id not in served for s in state.stops)


def next_step(state: DiveState, here: str, steps: list[Step] | None = None) -> Step | None:
    """The step to do after `here` (a step's id, "" before the first); None where nothing is left.

    In the order of the list what is open or expired from here on, as far as the next hold point and never
    past it; then what stands before; then what was put off or failed, each once; then the hold point that
    is not released. The lists after it come only when none is left. Once the vehicle is out of the water
    the lists before the dive are not walked again.
    """
    steps = steps if steps is not None else steps_of(state)
    ids = [s.id for s in steps]
    at = ids.index(here) if here in ids else -1
    for checklist in _lists_from(state, steps[at].checklist if at >= 0 else None):
        mine = [s for s in steps if s.checklist is checklist]
        later = _as_far_as_hold(state, [s for s in mine if ids.index(s.id) > at] if at >= 0 else mine)
        earlier = [s for s in mine if ids.index(s.id) < at]
        found = next((s for s in (*later, *earlier) if is_due(state, s)), None)
        if found is not None:
            return _put_off_before(state, found, here, mine) or found
        for word in COME_BACK:
            for step in (*later, *earlier):
                if step.item and state.items[step.item.item].state == word and not is_held(state, step):
                    return step
        hold = next((s for s in mine if is_closed_hold(state, s) and not is_held(state, s)), None)
        if hold is not None:
            return hold
    return None


def _put_off_before(state: DiveState, hold: Step, here: str, steps: list[Step]) -> Step | None:
    """Before a hold point, what always stops and was put off or failed: it keeps the hold closed."""
    if hold.item is None or hold.item.kind != "release":
        return None
    left = {i.item for i in keeps_closed(hold.item.item, state.lists, state.items)}
    return next(
        (
            s
            for s in steps
            if s.item is not None
            and s.id in left
            and s.id != here
            and s.item.stops == "always"
            and state.items[s.id].state in COME_BACK
        ),
        None,
    )


def is_closed_hold(state: DiveState, step: Step) -> bool:
    """True for a hold point that is to be released and is not."""
    return (
        step.item is not None
        and step.item.kind == "release"
        and state.items[step.item.item].state in (*DUE, *COME_BACK)
    )


def _as_far_as_hold(state: DiveState, steps: list[Step]) -> list[Step]:
    """The steps up to the first hold point that is not released, with it."""
    found: list[Step] = []
    for step in steps:
        found.append(step)
        if is_closed_hold(state, step):
            break
    return found


def is_due(state: DiveState, step: Step) -> bool:
    """True for an open or expired item that may be answered, and for a group that lacks only its call."""
    if step.item is not None:
        return state.items[step.item.item].state in DUE and not is_held(state, step)
    group = group_of(state, step)
    is_begun = any(state.items[i.item].state != "not-applicable" for i in step.section.items)
    return is_begun and not group.unsettled and not group.is_complete and step.checklist.phase != "emergency"


def is_held(state: DiveState, step: Step) -> bool:
    """True for an item past a hold point that is not released."""
    return step.item is not None and may_answer(step.item.item, state.lists, state.items) is not None


def where_it_stopped(state: DiveState) -> Step:
    """The step at which the app opens: what is due after the last answer, else the first that is due."""
    steps = steps_of(state)
    last = next((s for s in steps if s.id == state.last_answer), None)
    if last is not None and is_due(state, last):
        return last  # it waits for the second person, or a pause asks for it again
    found = next_step(state, state.last_answer, steps) if last is not None else None
    return found or next_step(state, "", steps) or steps[-1]


def counts(items: Mapping[str, ItemState], checklist: Checklist) -> dict[str, int]:
    """How many items of a list are in which state."""
    found: dict[str, int] = {}
    for item in checklist.items():
        word = items[item.item].state
        found[word] = found.get(word, 0) + 1
    return found


def _lists_from(state: DiveState, here: Checklist | None) -> list[Checklist]:
    lists = list(state.lists)
    if here is not None:
        at = lists.index(here)
        lists = lists[at:] + lists[:at]
    return [c for c in lists if not (is_over(state) and c.phase in BEFORE_THE_WATER)]
