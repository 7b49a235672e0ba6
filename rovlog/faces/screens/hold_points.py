"""What a hold point still waits for, and items by the codes that a crew calls them by."""

from __future__ import annotations

import re

from rovlog.domain.checks.groups import may_release
from rovlog.faces.screens.walk import Step, is_held, steps_of
from rovlog.usecases.dive_state import DiveState

IN_BRACKETS = re.compile(r"\(([a-z0-9-]+)\)")


def refusal_of(state: DiveState, step: Step, by: str) -> str:
    """Why this hold point would not be released by this person now; "" where it would."""
    if step.item is None:
        return ""
    return may_release(step.item.item, by, state.lists, state.items, state.fold) or ""


def first_blocker(state: DiveState, step: Step, by: str) -> Step | None:
    """The first item, in the order of the lists, that keeps this hold point from its release.

    Where the hold point is refused for nothing in a list, what stops the dive names the item.
    """
    if step.item is None or step.item.kind != "release":
        return None
    named = items_named(refusal_of(state, step, by), state)
    if not named:
        named = [s.id for s in state.stops if s.id in state.items and s.id != step.item.item]
    found = (s for s in steps_of(state) if s.item is not None and s.item.item in named)
    return next((s for s in found if not is_held(state, s)), None)


def items_named(words: str, state: DiveState) -> list[str]:
    """The items that a refusal names: those in its list after the last colon."""
    last = words.rpartition(": ")[2]
    return [name for name in last.split(", ") if name in state.items]


def by_code(words: str, state: DiveState | None) -> str:
    """A refusal with each item named by its code instead of its id, where it has one."""
    if state is None:
        return words
    head, colon, last = words.rpartition(": ")
    names = [_code(name, state) for name in last.split(", ")]
    said = head + colon + ", ".join(names)
    return IN_BRACKETS.sub(lambda m: f"({_code(m.group(1), state)})", said)


def _code(name: str, state: DiveState) -> str:
    bare, _, rest = name.partition(";")
    item = state.item(bare) if bare in state.items else None
    if item is None or not item.code:
        return name
    return item.code + (";" + rest if rest else "")
