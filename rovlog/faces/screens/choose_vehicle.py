"""Choosing what is in hand: an open dive or work by its vehicle's name, or a vehicle without one."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rovlog.faces.screens.desk import InHand
from rovlog.faces.screens.dialogs import Pick
from rovlog.faces.screens.marks import border

if TYPE_CHECKING:
    from rovlog.faces.screens.app_deeds import DeedsEverywhere


def choose_vehicle(app: DeedsEverywhere) -> None:
    """Ask for it, by name, each with its own border mark."""
    hand = app.hand
    if hand is None:
        return
    rows: list[tuple[str, str, str]] = []
    for one in hand.opened:
        mark = border(hand.vehicles.index(one.subject), 4) if one.subject in hand.vehicles else "    "
        rows.append((f"{mark}  {one.name}: {one.kind} {one.id}, open", one.id, ""))
    busy = {o.subject for o in hand.opened}
    for place, vehicle in enumerate(hand.vehicles):
        if vehicle not in busy:
            rows.append((f"{border(place, 4)}  {vehicle}: nothing open", "", vehicle))
    if not rows:
        app.tell("no vehicle is on file yet: write vehicles/<vehicle>.yaml")
        return
    ids = [r[1] for r in rows]
    current = hand.state.record.id if hand.state else ""
    picked = ids.index(current) if current in ids else 0

    def take(index: int) -> None:
        _, record, vehicle = rows[index]
        app.chosen_person = ""

        def done(found: InHand) -> None:
            app.show_hand(found)
            app.go("checks" if found.state else (app.place.id or "dives"))
            app.tell(f"in hand: {found.vehicle_name}")

        app.do(lambda desk: desk.take(record, vehicle), done)

    title = "Which vehicle is in your hands?" if len(hand.opened) > 1 else "Take in hand"
    app.push_screen(Pick(title, [r[0] for r in rows], take, picked=picked))
