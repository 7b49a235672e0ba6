"""Who the second person is: asked by name before a second answer, never taken for granted."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING

from rovlog.faces.screens.dialogs import Pick
from rovlog.faces.screens.people import second_people

if TYPE_CHECKING:
    from rovlog.domain.checks.checklist import Item
    from rovlog.domain.checks.state import ItemState
    from rovlog.faces.screens.answering import Answering


def ask_for_second(place: Answering) -> None:
    """Pick the second person of the item in hand. The bar stands on the last row, which names nobody."""
    state = place.hand.state if place.hand else None
    item = place.step.item if place.step else None
    if state is None or item is None or place.hand is None:
        return
    hand = place.hand
    given = state.items[item.item].by
    people = second_people(item, given, state.crew, hand.people or {})
    rows = [_row(hand.name_of(p), p, state.crew) for p in people]
    if not people:
        people, rows = [given], [f"{hand.name_of(given)} again: a crew of one, and shown as that"]
    rows.append("nobody yet: go on, the item waits")

    def take(index: int) -> None:
        if index < len(people):
            place.second_named(people[index])
        else:
            place.second_later()

    note = f"{_asked(item, state.items[item.item], hand.name_of)} Hand the keys over first."
    place.app.push_screen(Pick("Who is the second person?", rows, take, note, picked=len(rows) - 1))


def is_agreement(item: Item) -> bool:
    """True where being picked is the second answer: the person watched, and saw what the first one saw."""
    return item.kind in ("confirm", "choose") and item.witness == "concurrent"


def _asked(item: Item, state: ItemState, names: Callable[[str], str]) -> str:
    """What the second person is asked. Who is to agree is told to what; a blind answer is never told."""
    first = names(state.by) if state.by else "somebody"
    if item.witness == "blind":
        return f"{first} answered {item.name}. Blind: the first answer is not shown."
    if not is_agreement(item):
        return f"{first} answered {item.name}. The second reads the value as well."
    chosen = [str(v).replace("-", " ") for v in state.values.values()]
    return (
        f"{first} answered {item.name}: {', '.join(chosen) or item.response}. Who watched, and saw the same?"
    )


def _row(name: str, person: str, crew: Mapping[str, str]) -> str:
    roles = [role for role in crew if crew[role] == person]
    return f"{name}, {' and '.join(roles)}" if roles else name
