"""What a press costs: how many an answer takes, which of them count, and what is laid out for one."""

from __future__ import annotations

from collections import Counter

import pytest
from driving_app import Driver, drive, entries, logbook_in_memory, start
from fakes import fake_book
from textual.events import Key
from textual.screen import Screen

from rovlog.domain.checks.checklist import Checklist, Item
from rovlog.faces.screens.app import RovlogApp
from rovlog.faces.screens.keys import DOUBLE_PRESS_S, DoublePress
from rovlog.usecases.approve import approve_vehicle
from rovlog.usecases.demonstration import vehicle_files
from rovlog.usecases.demonstration.spring import GREBE_CREW
from rovlog.usecases.demonstration.team import PEOPLE, TITLE
from rovlog.usecases.dive_steps import start_dive
from rovlog.usecases.logbook import Logbook
from rovlog.usecases.ports import Book
from rovlog.usecases.start_logbook import start_logbook
from rovlog.usecases.type_readback import type_readback

MOST_PRESSES = 1.3
"""Presses that an item to be confirmed or chosen may take on average, naming the second person included."""


def demonstration_dive() -> tuple[Book, str]:
    """A logbook in memory with the demonstration's first vehicle, approved, and a dive begun with it."""
    book = fake_book()
    start_logbook(book, TITLE, PEOPLE)
    files = {
        "vehicles/grebe.yaml": vehicle_files.GREBE,
        "boxes/amber-box.yaml": vehicle_files.amber_box("1.4"),
        **{f"thrusters/{model}.yaml": text for model, text in vehicle_files.MODELS.items()},
        **{f"parts/{part}.yaml": vehicle_files.part_file(part) for part in vehicle_files.PARTS},
    }
    for name, text in files.items():
        book.files.create(name, text.encode())
    logbook = Logbook(book)
    why = "first configuration of the season"
    found = approve_vehicle(logbook, "grebe", by="oona", reason=why)
    if found.revision is None:
        accepted = {f.finding: "known, to be mended" for f in found.unanswered}
        approve_vehicle(logbook, "grebe", by="oona", reason=why, accept=accepted)
    water = {"kind": "fresh", "temperature_c": 16.0}
    started = start_dive(
        logbook, "grebe", by="oona", site="lock-pool", water=water, crew=GREBE_CREW, depth_m=3.5
    )
    in_use = {"steering_scheme": 2, "thruster_map": 1, "trim": {"heave": 0.04}}
    type_readback(logbook, logbook.record(started.record), by="bashir", in_use=in_use)
    return book, started.record


def is_pressed_alone(item: Item) -> bool:
    """True for an item that is confirmed or chosen, with nothing to be typed."""
    return item.kind in ("confirm", "choose") and all(a.options for a in item.asks)


def test_an_item_to_be_confirmed_or_chosen_takes_little_more_than_one_press(monkeypatch):
    book, _ = demonstration_dive()
    counted = RovlogApp.is_bounce
    accepted: list[str] = []

    def is_bounce(app: RovlogApp, event: Key, is_typing: bool = False) -> bool:
        is_dropped = counted(app, event, is_typing)
        if not is_dropped:
            accepted.append(event.key)
        return is_dropped

    monkeypatch.setattr(RovlogApp, "is_bounce", is_bounce)
    presses: Counter[str] = Counter()
    walked: dict[str, Item] = {}

    def pre_dive(d: Driver) -> Checklist:
        return next(c for c in d.state.lists if c.phase == "pre-dive")

    async def script(d: Driver) -> None:
        for _ in range(150):
            item = d.item
            if d.checks.step is None or d.checks.step.checklist.phase != "pre-dive":
                break
            before = len(accepted)
            await d.answer()
            if item is not None:
                walked[item.item] = item
                presses[item.item] += len(accepted) - before
        left = [i.item for i in pre_dive(d).items() if not d.state.items[i.item].is_settled]
        assert left == []
        answered = [i for i in pre_dive(d).items() if d.state.items[i.item].state == "answered"]
        assert {i.item for i in answered} <= set(walked)

    drive(book, script)
    counts = [presses[name] for name, item in walked.items() if is_pressed_alone(item)]
    assert len(counts) > 25
    assert min(counts) >= 1
    assert 1 < sum(counts) / len(counts) < MOST_PRESSES


@pytest.mark.parametrize("size", [(80, 24), (140, 45)])
def test_an_answer_that_is_kept_lays_nothing_out_anew(size, monkeypatch):
    laid_out: list[str] = []
    whole = Screen._refresh_layout

    def counted(screen, *given, **named):
        laid_out.append(screen.id or "")
        whole(screen, *given, **named)

    monkeypatch.setattr(Screen, "_refresh_layout", counted)
    book = logbook_in_memory()
    dive = start(book)

    async def script(d: Driver) -> None:
        said = []
        for key in ("enter", "1", "enter"):
            laid_out.clear()
            await d.press(key)
            await d.pilot.pause(0.1)  # more than a picture of the screen is waited for
            assert laid_out == [], d.message
            said.append(d.message[:4])
        assert said == ["kept"] * 3

    drive(book, script, size)
    assert len(entries(book, dive)) == 4


def test_words_of_several_lines_get_their_room_and_give_it_back():
    book = logbook_in_memory()
    start(book)

    async def script(d: Driver) -> None:
        above = d.text.splitlines()[-4]
        d.app.tell_trouble("the first of many words " * 8)
        await d.settle()
        rows = d.text.splitlines()
        assert rows[-4].startswith(" ".join(["the first of many words"] * 3))
        assert rows[-1].startswith("enter keep")
        await d.press("up")
        assert d.message == ""
        assert d.text.splitlines()[-4] == above
        assert d.text.splitlines()[-2] == ""

    drive(book, script)


def test_on_a_narrow_screen_the_words_take_a_line_only_while_they_are_said():
    book = logbook_in_memory()
    start(book)

    async def script(d: Driver) -> None:
        await d.press("enter")
        assert d.text.splitlines()[-2].startswith("kept 09:00")
        await d.press("up", "down")
        assert "kept" not in d.text

    drive(book, script, (40, 12))


def test_what_was_said_stands_until_the_next_answer_is_kept():
    """A line that went blank first would be one more picture for each answer."""
    book = logbook_in_memory()
    start(book)

    async def script(d: Driver) -> None:
        await d.press("enter")
        said = d.message
        d.app.forget_last_key()
        d.app.on_key(Key("1", "1"))
        assert d.message == said
        await d.settle()
        assert d.message.startswith("kept 09:00")
        assert d.message != said

    drive(book, script)


def test_two_presses_are_told_apart_by_when_they_came_not_by_when_they_are_handled():
    """A busy app handles late, and all at once, what was pressed in good time."""
    book = logbook_in_memory()
    dive = start(book)

    async def script(d: Driver) -> None:
        names = [d.checks.answering()]
        for _ in range(2):
            await d.press("a")
            names.append(d.checks.answering())
        assert len(set(names)) == 3
        await d.press("a")
        assert d.checks.answering() == names[0]
        d.app.forget_last_key()
        first, second = Key("a", "a"), Key("a", "a")
        first.time = second.time - 2 * DOUBLE_PRESS_S
        d.app.post_message(first)
        d.app.post_message(second)
        await d.settle()
        assert d.checks.answering() == names[2]
        d.app.forget_last_key()
        first, second = Key("x", "x"), Key("x", "x")
        second.time = first.time + DOUBLE_PRESS_S / 2
        assert not d.app.is_bounce(first)
        assert d.app.is_bounce(second)

    drive(book, script)
    assert [e.kind for e in entries(book, dive)] == ["start"]


def test_a_press_after_the_next_item_was_drawn_counts_however_late_that_is_heard_of():
    heard = DoublePress()
    heard.close()
    heard.open(10.0)
    assert heard.is_unread("enter", 9.99)
    assert not heard.is_unread("enter", 10.01)


def test_the_ear_opens_at_the_time_of_the_picture(monkeypatch):
    """What is drawn is drawn before we hear of it; a press in between answers what is seen."""
    book = logbook_in_memory()
    dive = start(book)

    async def script(d: Driver) -> None:
        after = d.app.call_after_refresh
        waiting = []
        monkeypatch.setattr(d.app, "call_after_refresh", lambda call, *given: waiting.append(call))
        await d.press("enter")
        seen = Key("1", "1")
        monkeypatch.setattr(d.app, "call_after_refresh", after)
        waiting[0]()
        d.app.post_message(seen)
        await d.settle()

    drive(book, script)
    assert [e.fields.get("item") for e in entries(book, dive)] == [None, "swimmers", "crew"]
