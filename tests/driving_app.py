"""Driving the app in tests: a logbook on disk to open, the text on its screen, and answering item by item."""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable
from functools import cache
from pathlib import Path
from typing import Any

from fakes import FakeFiles, fake_book
from textual.events import Key

from rovlog.domain.checks.checklist import Ask, Item
from rovlog.domain.checks.computed import COUNTED
from rovlog.domain.checks.limits import resolve
from rovlog.domain.dive import Entry
from rovlog.faces.screens.app import RovlogApp
from rovlog.faces.screens.checks import Checks
from rovlog.faces.screens.fields import Fields, known_proposals
from rovlog.faces.screens.message_line import MessageLine
from rovlog.usecases.approve import approve_vehicle
from rovlog.usecases.dive_state import DiveState
from rovlog.usecases.dive_steps import start_dive
from rovlog.usecases.function_test import function_test_of, observe_push
from rovlog.usecases.logbook import Logbook
from rovlog.usecases.ports import Book
from rovlog.usecases.predict_push import predicted_push
from rovlog.usecases.start_logbook import start_logbook
from rovlog.wiring import new_book

KIT = Path(__file__).parent / "screens" / "logbook"

PEOPLE: dict[str, dict[str, object]] = {
    "ines": {"name": "Ines Brandt", "roles": ["supervisor", "builder"]},
    "tam": {"name": "Tam Okoro", "roles": ["pilot", "tender"]},
    "rolf": {"name": "Rolf Aune", "roles": ["tender", "technician"]},
}
CREW = {"supervisor": "ines", "pilot": "tam", "tender": "rolf", "technician": "rolf"}


def _files() -> dict[str, str]:
    """The vehicles, boxes, thruster models and parts of the tests' own invented team."""
    found = sorted(KIT.rglob("*.yaml"))
    return {f.relative_to(KIT).as_posix(): f.read_text("utf-8") for f in found}


def _approve_both(logbook: Logbook) -> None:
    for vehicle in ("grebe", "wigeon"):
        found = approve_vehicle(logbook, vehicle, by="ines", reason="first wet test passed")
        if found.revision is None:
            accept = {f.finding: "known, to be mended" for f in found.unanswered}
            approve_vehicle(logbook, vehicle, by="ines", reason="first wet test passed", accept=accept)


@cache
def _tree() -> dict[str, bytes]:
    book = fake_book(dict(_files()))
    start_logbook(book, "Pond team", PEOPLE)
    _approve_both(Logbook(book))
    assert isinstance(book.files, FakeFiles)
    return dict(book.files.tree)


def logbook_in_memory(seed: int = 1) -> Book:
    """A logbook in memory with two vehicles, both approved, and no dive; its clock stands still."""
    return fake_book(dict(_tree()), seed=seed)


def build_logbook(folder: Path) -> Path:
    """The same on disk, under git."""
    book = new_book(str(folder), own_repository=True)
    start_logbook(book, "Pond team", PEOPLE)
    for name, text in _files().items():
        (folder / name).parent.mkdir(exist_ok=True)
        (folder / name).write_text(text, encoding="utf-8")
    _approve_both(Logbook(book))
    return folder


def start(
    book: Book, vehicle: str = "grebe", crew: dict[str, str] | None = None, site: str = "outer-basin"
) -> str:
    """Start a dive and tell its id."""
    water = {"kind": "fresh", "temperature_c": 16.0}
    started = start_dive(
        Logbook(book), vehicle, by="ines", site=site, water=water, crew=crew or CREW, depth_m=4.0
    )
    return started.record


class Driver:
    """One app under test, driven as a person would: key by key, reading the screen."""

    def __init__(self, app: RovlogApp, pilot: Any) -> None:
        self.app, self.pilot = app, pilot

    async def settle(self) -> None:
        """Wait until every job is done and what it shows is drawn."""
        for _ in range(3):
            await self.app.workers.wait_for_complete()
            await self.pilot.pause()

    async def press(self, *keys: str) -> None:
        """Press keys one after the other, as slowly as a person, and wait for what they do."""
        for name in keys:
            self.app.forget_last_key()
            await self.pilot.press(name)
            await self.settle()

    async def bounce(self, name: str) -> None:
        """A key that bounces: two presses a few milliseconds apart."""
        character = {"enter": "\r"}.get(name, name)
        for _ in range(2):
            self.app.post_message(Key(name, character))
        await self.settle()

    async def type(self, text: str) -> None:
        """Type a line."""
        await self.pilot.press(*(KEY_NAMES.get(c, c) for c in text))
        await self.settle()

    @property
    def text(self) -> str:
        """What is on the screen, without colour."""
        rows = self.app.screen._compositor.render_strips()
        return "\n".join("".join(segment.text for segment in row).rstrip() for row in rows)

    @property
    def words(self) -> str:
        """What is on the screen, or in the dialog where there is one, as one line of words."""
        rows = self.text.splitlines()
        inside = [row.split("┃")[1] for row in rows if row.count("┃") == 2]
        return " ".join(" ".join(inside or rows).split())

    @property
    def message(self) -> str:
        """The message line; "" where nothing is said."""
        return self.app.screen_stack[0].query_one(MessageLine).words

    @property
    def state(self) -> DiveState:
        """The state of the record in hand."""
        assert self.app.hand is not None
        assert self.app.hand.state is not None
        return self.app.hand.state

    @property
    def checks(self) -> Checks:
        """The place Checks."""
        return self.app.screen_stack[0].query_one(Checks)

    @property
    def item(self) -> Item | None:
        """The item in hand in Checks; None at a completion call."""
        return self.checks.step.item if self.checks.step else None

    async def go_to(self, item: str) -> None:
        """Take an item in hand, as a click in the overview does."""
        self.app.run_deed(f"item:{item}")
        await self.settle()

    async def answer(self) -> str:
        """Answer the step in hand well, as a careful crew would; tells its id."""
        item = self.item
        if self.checks.is_left_to_watch():
            watch_pushes(self.app.desk.book, self.state.record.id)
            self.app.look_again()
            await self.settle()
        if item is None:
            assert self.checks.step is not None
            name = self.checks.step.id
            await self.press("enter")
            return name
        if item.kind == "release":
            await self.press("enter", "1")
        else:
            await self.press(*keys_for(item, self.state))
            if self.asks_for_second:
                await self.press("1")
                if self.item is item and self.state.items[item.item].waits_for_second:
                    await self.press(*keys_for(item, self.state))
        return item.item

    @property
    def asks_for_second(self) -> bool:
        """True while the second person is asked for by name."""
        return "Who is the second person?" in self.text


KEY_NAMES = {" ": "space", ",": "comma", ".": "full_stop", "-": "minus", "/": "slash", ":": "colon",
             "=": "equals_sign", "_": "underscore", "?": "question_mark", "@": "at"}  # fmt: skip


def drive(
    book: Book, script: Callable[[Driver], Awaitable[None]], size: tuple[int, int] = (80, 24), look: str = ""
) -> None:
    """Open the app on a logbook and run a script on it."""

    async def run() -> None:
        app = RovlogApp(book, look)
        async with app.run_test(size=size) as pilot:
            driver = Driver(app, pilot)
            await driver.settle()
            await script(driver)

    asyncio.run(run())


def entries(book: Book, record: str) -> list[Entry]:
    """The entries of a record as they are on the disk."""
    return list(Logbook(book).record(record).entries)


def watch_pushes(book: Book, record: str) -> None:
    """Keep every push of the function test of a record, each seen as it is on file."""
    logbook = Logbook(book)
    by = next(iter(logbook.settings().people))
    while (test := function_test_of(logbook, logbook.record(record), "dry")).next is not None:
        push = dict(test.next.positions(is_dry=True) or ())
        seen = predicted_push(test.configuration.resolved, push)
        observe_push(logbook, logbook.record(record), seen, push, by=by, medium="dry")


def good_number(ask: Ask, state: DiveState) -> str:
    """A number that keeps the ask's limit, as it is typed on a keypad."""
    if ask.proposed is not None and ask.proposed.computed in COUNTED:
        return f"{state.computed[ask.proposed.computed]:g}"
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
    fields = Fields(item, known_proposals(item, state))
    is_enter = True
    while fields.ask is not None:
        ask = fields.ask
        if ask.options:
            keys.append("1")
        elif fields.needs(ask) and ask.type == "text":
            if not keys:
                keys.append("enter")
            keys += [*("minus" if c == "-" else c for c in good_text(ask, state)), "enter"]
        elif fields.needs(ask):
            names = {",": "comma", "-": "minus", ".": "full_stop"}
            keys += [names.get(c, c) for c in good_number(ask, state)] + ["enter"]
        else:
            keys.append("enter")
        if fields.needs(ask):
            fields.write("1")
        is_enter = not ask.options
        if not fields.to_next(is_enter):
            break
    return keys or ["enter"]
