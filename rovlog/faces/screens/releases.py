"""Releasing a hold point in a named person's name."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rovlog.faces.screens.desk import Desk, InHand
from rovlog.faces.screens.dialogs import Pick
from rovlog.faces.screens.people import crew_in_order

if TYPE_CHECKING:
    from rovlog.domain.checks.checklist import Item
    from rovlog.faces.screens.item_deeds import ItemDeeds


def ask_for_release(place: ItemDeeds) -> None:
    """Pick the person whose word it is; the item in hand where it is a hold point, else the next one.

    The bar stands on the last row, which names nobody: a key that is pressed twice releases nothing.
    """
    state = place.hand.state if place.hand else None
    item = place.step.item if place.step else None
    if state is None or place.hand is None:
        return
    if item is None or item.kind != "release":
        item = _next_point(place)
    if item is None:
        place.rov.tell_trouble("no hold point waits for release")
        return
    point = item
    people = crew_in_order(state.crew, place.hand.people or {})
    first = state.crew.get("supervisor", people[0])
    order = [first, *(p for p in people if p != first)]
    names = [place.hand.name_of(p) for p in order]
    rows = [*names, "nobody: leave without release"]

    def take(index: int) -> None:
        if index == len(order):
            place.rov.tell(f"not released: {point.name}")
            return
        by = order[index]

        def job(desk: Desk) -> tuple[str, InHand]:
            from rovlog.usecases.complete_list import release_point

            done = release_point(desk.logbook, desk.logbook.record(desk.record), point.item, by=by)
            return done.call, desk.look()

        def done(found: tuple[str, InHand]) -> None:
            place.rov.hand = found[1]
            if found[1].state is not None:
                place.go_on(found[1].state, point.item)
            place.rov.redraw()
            place.rov.tell(f"released by {names[index]}: {found[0]}")

        place.rov.keep(job, done)

    note = f"{point.response}. The word is said aloud by the person picked, by number or with the arrows."
    title = f"{point.name}: who releases?"
    place.app.push_screen(Pick(title, rows, take, note, picked=len(rows) - 1))


def _next_point(place: ItemDeeds) -> Item | None:
    state = place.hand.state if place.hand else None
    if state is None or place.step is None:
        return None
    ids = [s.id for s in place.steps]
    later = place.steps[ids.index(place.step.id) :]
    for step in (*later, *place.steps):
        if (
            step.item is not None
            and step.item.kind == "release"
            and not state.items[step.item.item].is_settled
        ):
            return step.item
    return None
