"""Driving the app in tests: a logbook on disk to open, the text on its screen, and answering item by item."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Any

from rovlog.domain.checks.checklist import Ask, Item
from rovlog.domain.checks.limits import resolve
from rovlog.faces.screens.app import RovlogApp
from rovlog.faces.screens.checks import Checks
from rovlog.usecases.approve import approve_vehicle
from rovlog.usecases.demonstration import vehicle_files
from rovlog.usecases.dive_state import DiveState
from rovlog.usecases.dive_steps import start_dive
from rovlog.usecases.logbook import Logbook
from rovlog.usecases.start_logbook import start_logbook
from rovlog.wiring import new_book, open_book

PEOPLE: dict[str, dict[str, object]] = {
    "ines": {"name": "Ines Brandt", "roles": ["supervisor", "builder"]},
    "tam": {"name": "Tam Okoro", "roles": ["pilot", "tender"]},
    "rolf": {"name": "Rolf Aune", "roles": ["tender", "technician"]},
}
CREW = {"supervisor": "ines", "pilot": "tam", "tender": "rolf", "technician": "rolf"}


def build_logbook(folder: Path) -> Path:
    """A logbook with two vehicles, both approved, and no dive."""
    os.environ.setdefault("GIT_AUTHOR_NAME", "Test")
    book = new_book(str(folder), own_repository=True)
    start_logbook(book, "Pond team", PEOPLE)
    files = {
        "vehicles/grebe": vehicle_files.GREBE,
        "vehicles/wigeon": vehicle_files.WIGEON,
        "boxes/amber-box": vehicle_files.amber_box("1.4"),
        "boxes/slate-box": vehicle_files.SLATE_BOX,
        **{f"thrusters/{name}": text for name, text in vehicle_files.MODELS.items()},
        **{f"parts/{part}": vehicle_files.part_file(part) for part in vehicle_files.PARTS},
    }
    for name, text in files.items():
        (folder / name).parent.mkdir(exist_ok=True)
        (folder / f"{name}.yaml").write_text(text, encoding="utf-8")
    logbook = Logbook(book)
    for vehicle in ("grebe", "wigeon"):
        found = approve_vehicle(logbook, vehicle, by="ines", reason="first wet test passed")
        if found.revision is None:
            accept = {f.finding: "known, to be mended" for f in found.unanswered}
            approve_vehicle(logbook, vehicle, by="ines", reason="first wet test passed", accept=accept)
    return folder


def start(folder: Path, vehicle: str = "grebe", crew: dict[str, str] | None = None) -> str:
    """Start a dive and tell its id."""
    logbook = Logbook(open_book(str(folder)))
    water = {"kind": "fresh", "temperature_c": 16.0}
    return start_dive(
        logbook, vehicle, by="ines", site="outer-basin", water=water, crew=crew or CREW, depth_m=4.0
    ).record


def open_app(folder: Path, look: str = "") -> RovlogApp:
    """The app on this logbook, not yet running."""
    return RovlogApp(open_book(str(folder)), look)


def screen_text(app: RovlogApp) -> str:
    """What is on the screen, without colour."""
    rows = app.screen._compositor.render_strips()
    return "\n".join("".join(segment.text for segment in row).rstrip() for row in rows)


async def settle(app: RovlogApp, pilot: Any) -> None:
    """Wait until every job is done and what it shows is drawn."""
    for _ in range(3):
        await app.workers.wait_for_complete()
        await pilot.pause()


async def press(app: RovlogApp, pilot: Any, *keys: str) -> None:
    """Press keys one after the other, as slowly as a person, and wait for what they do."""
    for name in keys:
        app._double._last = ("", -1.0, False)
        await pilot.press(name)
        await settle(app, pilot)


def state_of(app: RovlogApp) -> DiveState:
    """The state of the record in hand."""
    assert app.hand is not None
    assert app.hand.state is not None
    return app.hand.state


def item_in_hand(app: RovlogApp) -> Item | None:
    """The item in hand in Checks; None at a completion call."""
    step = app.query_one(Checks).step
    return step.item if step else None


def good_number(ask: Ask, state: DiveState) -> str:
    """A number that keeps the ask's limit, as it is typed on a keypad."""
    limit = ask.limit
    if limit is None:
        return "1"
    known = {
        name: resolve(reference, state.resolved, state.computed).value
        for name in ("equals", "middle", "at_least", "at_most")
        if (reference := getattr(limit, name)) is not None
    }
    for name in ("equals", "middle"):
        if isinstance(known.get(name), int | float):
            return f"{known[name]:.6g}".replace(".", ",")
    least, most = known.get("at_least"), known.get("at_most")
    if isinstance(least, int | float) and isinstance(most, int | float):
        return f"{(least + most) / 2:.6g}".replace(".", ",")
    if isinstance(least, int | float):
        return f"{least * 1.1 if least else 1:.6g}".replace(".", ",")
    if isinstance(most, int | float):
        return f"{most * 0.6:.6g}".replace(".", ",")
    return "1"


def good_text(ask: Ask, state: DiveState) -> str:
    """A text that keeps the ask's limit."""
    if ask.limit is not None and ask.limit.equals is not None:
        return str(resolve(ask.limit.equals, state.resolved, state.computed).value)
    return "red-1"


def keys_for(item: Item, state: DiveState) -> list[str]:
    """The keys that answer an item well, one after the other: what is typed, then enter."""
    keys: list[str] = []
    for ask in item.asks:
        if (
            ask.proposed is not None
            and resolve(ask.proposed, state.resolved, state.computed).value is not None
        ):
            continue
        if ask.is_optional:
            continue
        if ask.options:
            keys.append("1")
        elif ask.type == "text":
            if not keys:
                keys.append("enter")
            keys += [*("minus" if c == "-" else c for c in good_text(ask, state)), "enter"]
        else:
            names = {",": "comma", "-": "minus", ".": "full_stop"}
            keys += [names.get(c, c) for c in good_number(ask, state)] + ["enter"]
    return keys or ["enter"]
