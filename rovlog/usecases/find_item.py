"""The item of a checklist that a person named, and whether it may be answered yet."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rovlog.problems import UsageError
from rovlog.usecases.dive_state import DiveState
from rovlog.usecases.one_line import require_word

if TYPE_CHECKING:
    from rovlog.domain.checks.checklist import Item


def find_item(state: DiveState, name: str) -> Item:
    """The item by id or by its code ("B2"); UsageError with the nearest ids otherwise."""
    item = state.item(name)
    if item is None:
        coded = [i for i in state.fold.items.values() if i.code and i.code.casefold() == name.casefold()]
        if len(coded) > 1:
            raise UsageError(
                f"{name} is asked for each housing", "name one: " + ", ".join(i.item for i in coded)
            )
        item = coded[0] if coded else None
    if item is None:
        refuse_hidden(state, name)
        require_word("item", name, list(state.items))
        raise UsageError(f"there is no item {name!r}")
    return item


def refuse_hidden(state: DiveState, name: str) -> None:
    """Raise UsageError where a list that cannot be read, or is gone, may hold the item that was named."""
    hidden = [f for f in state.findings if f.finding.startswith("list-")]
    if hidden:
        told = "; ".join(f.text for f in hidden)
        raise UsageError(f"no list that can be read has an item {name!r}, and {told}", hidden[0].clears)


def refuse_held(state: DiveState, item: Item) -> None:
    """Raise UsageError where the item lies past a hold point that is not released."""
    from rovlog.domain.checks.groups import may_answer

    reason = may_answer(item.item, state.lists, state.items) if item.item in state.items else None
    if reason:
        mend = "rovlog dive release DIVE POINT --by …" if "waits for release" in reason else "do that first"
        raise UsageError(f"{item.name} cannot be answered yet: {reason}", mend)
