"""Items that are asked for each housing by itself: what holds in one housing says nothing of another."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from rovlog.domain.checks.checklist import Ask, Checklist, Item, Limit, Reference
from rovlog.domain.checks.computed import OF_HOUSING, of_housing
from rovlog.domain.checks.limits import is_same, value_at
from rovlog.values import replace

EACH = "/housings/*/"
"""How a condition begins that ranges over the housings."""


def housings_of(resolved: Mapping[str, Any]) -> Mapping[str, Mapping[str, Any]]:
    """The housings of a resolved configuration, by id; {} where it has none."""
    found = resolved.get("housings")
    return found if isinstance(found, Mapping) else {}


def for_each_housing(checklist: Checklist, housings: Mapping[str, Mapping[str, Any]]) -> Checklist:
    """The list for a vehicle with these housings.

    An item whose condition ranges over the housings says which one it is of where the vehicle has
    several; where it holds for several, each is an item of its own, with the housing's name after
    its id. A list without such items, or for one housing, comes back as it is.
    """
    if len(housings) < 2 or not any(_ranges(i) for i in checklist.items()):
        return checklist
    sections = tuple(
        replace(s, items=tuple(one for item in s.items for one in _items(item, housings)))
        for s in checklist.sections
    )
    return replace(checklist, sections=sections)


def _ranges(item: Item) -> bool:
    return item.applies_when is not None and item.applies_when.pointer.startswith(EACH)


def _items(item: Item, housings: Mapping[str, Mapping[str, Any]]) -> tuple[Item, ...]:
    condition = item.applies_when
    if condition is None or not _ranges(item):
        return (item,)
    rest = "/" + condition.pointer.removeprefix(EACH)
    held = [name for name, row in housings.items() if _is(value_at(rest, row), condition.value)]
    return tuple(_of(item, name, rest, is_one_of_several=len(held) > 1) for name in held) or (item,)


def _is(found: Any, wanted: Any) -> bool:
    return wanted is not None and isinstance(found, bool | int | float | str) and is_same(found, wanted)


def _of(item: Item, housing: str, rest: str, *, is_one_of_several: bool) -> Item:
    assert item.applies_when is not None
    return replace(
        item,
        item=f"{item.item}-{housing}" if is_one_of_several else item.item,
        challenge=f"{item.challenge} ({housing})",
        housing=housing,
        applies_when=replace(item.applies_when, pointer=f"/housings/{housing}{rest}"),
        asks=tuple(_ask(a, housing) for a in item.asks),
    )


def _ask(ask: Ask, housing: str) -> Ask:
    return replace(ask, limit=_limit(ask.limit, housing), proposed=_reference(ask.proposed, housing))


def _limit(limit: Limit | None, housing: str) -> Limit | None:
    if limit is None:
        return None
    return replace(
        limit,
        at_least=_reference(limit.at_least, housing),
        at_most=_reference(limit.at_most, housing),
        equals=_reference(limit.equals, housing),
        middle=_reference(limit.middle, housing),
    )


def _reference(reference: Reference | None, housing: str) -> Reference | None:
    if reference is None or reference.computed not in OF_HOUSING:
        return reference
    return Reference(computed=of_housing(reference.computed, housing))
