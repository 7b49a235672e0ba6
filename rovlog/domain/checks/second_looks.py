"""The order of the second looks of a crew of one: after the rest, the other way round."""

from __future__ import annotations

from collections.abc import Mapping

from rovlog.domain.checks.checklist import Checklist
from rovlog.domain.checks.state import ItemState
from rovlog.domain.checks.walk import Fold
from rovlog.values import dataclass


@dataclass(frozen=True, slots=True)
class SecondLooks:
    """Items that one person looks at again, in the order proposed: the reverse of the walk.

    `is_time` once nothing else of the list can be answered before them; `rest` are the items that
    come first. A project default: no published rule says how one person checks twice.
    """

    items: tuple[str, ...]
    rest: tuple[str, ...]

    @property
    def is_time(self) -> bool:
        """True once the rest is done."""
        return bool(self.items) and not self.rest


def is_crew_of_one(fold: Fold) -> bool:
    """True if one person has every role there is in this record."""
    return len(set(fold.known.crew.values())) == 1


def second_looks(checklist: Checklist, states: Mapping[str, ItemState], fold: Fold) -> SecondLooks:
    """The second looks of a list that are due; none with more than one person.

    The rest is what is open before the first hold point that is not released: past it nothing can be
    answered, and a second look must not wait for what waits for it.
    """
    if not is_crew_of_one(fold):
        return SecondLooks((), ())
    waiting: list[str] = []
    rest: list[str] = []
    for item in checklist.items():
        state = states[item.item]
        if item.kind == "release" and not state.is_settled:
            break
        if state.waits_for_second:
            waiting.append(item.item)
        elif not state.is_settled:
            rest.append(item.item)
    return SecondLooks(tuple(reversed(waiting)), tuple(rest))
