"""The function test inside Checks, key by key: what is shown, kept and refused, and what is not told."""

from __future__ import annotations

import re

import pytest
from driving_app import CREW, Driver, drive, entries, logbook_in_memory, start

from rovlog.domain.diagnosis.flow import thrown_toward
from rovlog.domain.diagnosis.function_test import expected_flow, function_test
from rovlog.faces.screens.push_page import FLOW_KEYS
from rovlog.usecases.dive_steps import start_work
from rovlog.usecases.function_test import function_test_of, observe_push
from rovlog.usecases.logbook import Logbook
from rovlog.usecases.predict_push import predicted_push

DIGITS = {word: digit for digit, word in FLOW_KEYS.items()}


@pytest.fixture
def bench():
    """Work on grebe: no hold point stands before the test."""
    book = logbook_in_memory()
    return book, start_work(Logbook(book), "grebe", by="ines", purpose="which lead", crew=CREW).record


def kept(book, record, kind="observation"):
    return [e for e in entries(book, record) if e.kind == kind]


def digits_for(d: Driver, reversed_thruster: str = "") -> list[str]:
    """What an observer presses for the push in hand where all but one thruster does as on file."""
    walk = d.checks.walk
    seen = predicted_push(walk.test.configuration.resolved, dict(walk.push))
    turned = {"ahead": "astern", "astern": "ahead", "still": "still"}
    keys = []
    for thruster in walk.test.configuration.thrusters:
        does = seen[thruster.thruster]
        does = turned[does] if thruster.thruster == reversed_thruster else does
        keys.append(DIGITS[thrown_toward(thruster, does).split(" ")[0]])
    return keys


async def one_push(d: Driver, book, reversed_thruster: str = "") -> None:
    keys = digits_for(d, reversed_thruster)
    await d.press("c", *keys, "enter")
    book.clock.advance(20)


def test_enter_on_the_item_goes_through_the_pushes_and_shows_the_first_large(bench):
    book, _ = bench

    async def script(d: Driver) -> None:
        await d.go_to("direction")
        assert "enter push by push" in d.text
        await d.press("enter")
        assert "PUSH 1 right stick forward at 43 %" in d.words
        assert "CAUTION Clamped" in d.words
        assert "never feel for it with a hand" in d.words
        assert "0 of 8 pushes watched" in d.words
        assert "dry running today: 0 of 60 s in 0 bursts; rested" in d.words

    drive(book, script)


def test_a_push_is_called_answered_thruster_by_thruster_and_kept(bench):
    book, record = bench

    async def script(d: Driver) -> None:
        await d.go_to("direction")
        await d.press("g", "c")
        assert "1/6 bow-port throws air toward" in d.words
        assert "burst: 3 s left" in d.words
        assert kept(book, record) == []
        await d.press("5", "5", "5", "5", "3", "0")
        assert "enter keeps it" in d.words
        await d.press("backspace", "0", "enter")
        assert "1 of 8 pushes watched" in d.words
        assert "dry running today: 3 of 60 s in 1 burst; next burst in 13 s" in d.words

    drive(book, script)
    [seen] = kept(book, record)
    assert seen.fields["push"] == {"right-stick-y": -0.43}
    assert seen.fields["medium"] == "dry"
    assert seen.fields["seen"]["vertical-starboard"] == "unseen"
    assert sorted(seen.fields["seen"].values())[1:] == ["still"] * 4 + ["unseen"]
    assert seen.fields["seen"]["vertical-port"] in ("ahead", "astern")
    assert [e.fields["reading"] for e in kept(book, record, "reading")] == ["burst-called"]


def test_before_the_rest_is_over_no_burst_is_called_and_the_wait_is_told(bench):
    book, record = bench

    async def script(d: Driver) -> None:
        await d.go_to("direction")
        await d.press("g", "c", *["5"] * 6, "enter", "c")
        assert "the rest of 10 s is not over: wait 13 s" in d.message
        book.clock.advance(13)
        await d.press("c")
        assert d.message == ""

    drive(book, script)
    assert len(kept(book, record, "reading")) == 2


def test_escape_and_a_restart_lose_nothing(bench):
    book, record = bench

    async def first(d: Driver) -> None:
        await d.go_to("direction")
        await d.press("g", "c", "2", "5", "escape")
        assert "I7 Each axis, plus then minus" in d.words
        assert "throws air toward" not in d.words
        await d.press("g")
        assert "3/6 stern-port throws air toward" in d.words

    async def second(d: Driver) -> None:
        await d.go_to("direction")
        await d.press("g")
        assert "3/6 stern-port throws air toward" in d.words
        assert "✓ bow-port stern" in d.words
        await d.press("5", "5", "5", "5", "enter")

    drive(book, first)
    drive(book, second)
    [seen] = kept(book, record)
    assert len(seen.fields["seen"]) == 6
    assert len(kept(book, record, "reading")) == 1


def test_the_whole_test_ends_in_the_count_and_says_that_nothing_is_wrong(bench):
    book, record = bench

    async def script(d: Driver) -> None:
        await d.go_to("direction")
        await d.press("enter")
        for _ in range(8):
            await one_push(d, book)
        assert "The whole test is watched." in d.words
        assert "nothing is wrong" in d.words
        await d.press("escape")
        assert d.state.computed["direction_pushes_seen"] == 8.0
        assert d.state.computed["direction_mismatches"] == 0.0
        assert "enter push by push" not in d.text

    drive(book, script)
    assert len(kept(book, record)) == 8


def test_a_thruster_that_runs_backwards_is_found_and_the_proposed_push_taken(bench):
    book, _ = bench

    async def script(d: Driver) -> None:
        await d.go_to("direction")
        await d.press("g")
        for _ in range(4):
            await one_push(d, book, "stern-port")
        assert re.search(r"\d+ % stern-port runs backwards", d.words)
        proposed = d.checks.walk.found.diagnosis.next_push
        if proposed is not None:
            await d.press("g")
            assert d.checks.walk.push == proposed.push
            await one_push(d, book, "stern-port")
        await d.press("d")
        assert "What the pushes say" in d.words

    drive(book, script)


def test_nobody_saw_it_counts_the_burst_and_leaves_the_push_to_be_watched(bench):
    book, record = bench

    async def script(d: Driver) -> None:
        await d.go_to("direction")
        await d.press("g", "c", "x")
        assert "0 of 8 pushes watched" in d.words
        assert "3 of 60 s in 1 burst" in d.words

    drive(book, script)
    assert set(kept(book, record)[0].fields["seen"].values()) == {"unseen"}


def test_in_water_the_stick_goes_to_its_end_and_nothing_is_counted(bench):
    book, _ = bench

    async def script(d: Driver) -> None:
        await d.go_to("direction")
        await d.press("g", "w")
        assert "PUSH 1 right stick forward in water" in d.words
        assert "dry running is not counted" in d.words
        await d.press("c")
        assert "throws water toward" in d.words

    drive(book, script)


def test_past_a_hold_point_no_burst_is_called():
    book = logbook_in_memory()
    record = start(book)

    async def script(d: Driver) -> None:
        await d.go_to("direction")
        await d.press("g", "c")
        assert "waits for release" in d.message

    drive(book, script)
    assert kept(book, record, "reading") == []


def test_the_wet_test_of_the_launch_has_its_pushes_too():
    book = logbook_in_memory()
    start(book)

    async def script(d: Driver) -> None:
        await d.go_to("axes-wet")
        await d.press("g")
        assert "0 of 8 pushes watched" in d.words

    drive(book, script)


@pytest.mark.parametrize("size", [(80, 24), (140, 45), (40, 12)])
def test_while_a_push_is_watched_nothing_on_the_screen_tells_what_ought_to_be_seen(bench, size):
    """The same screens, letter by letter, whichever way every thruster is wired: so none can tell it."""
    book, record = bench
    shown: list[list[str]] = []

    def script_of(turned: bool):
        async def script(d: Driver) -> None:
            screens = []
            await d.go_to("direction")
            await d.press("g")
            screens.append(d.text)
            await d.press("c")
            screens.append(d.text)
            for _ in range(6):
                await d.press("5")
                screens.append(d.text)
            shown.append([s.partition("\n")[2] for s in screens])

        return script

    for turned in (False, True):
        one = logbook_in_memory()
        text = one.files.tree["vehicles/grebe.yaml"].decode()
        if turned:
            text = text.replace("polarity: normal", "polarity: REVERSED")
            text = text.replace("polarity: reversed", "polarity: normal").replace("REVERSED", "reversed")
        one.files.tree["vehicles/grebe.yaml"] = text.encode()
        start_work(Logbook(one), "grebe", by="ines", purpose="which lead", crew=CREW)
        drive(one, script_of(turned), size)
    assert shown[0] == shown[1]
    first = function_test_of(Logbook(book), Logbook(book).record(record))
    flows = expected_flow(
        first.configuration, [function_test(first.configuration)[0].positions(is_dry=True)], 0.08
    )
    assert set(flows[0].values()) - {"none"}, "the push moves something that could have been told"


def test_the_small_page_holds_push_question_and_keys(bench):
    book, _ = bench

    async def script(d: Driver) -> None:
        await d.go_to("direction")
        await d.press("g")
        for words in (
            "PUSH 1",
            "at 43 %",
            "3 s at most, 30 % of command",
            "CAUTION",
            "never a hand",
            "clear",
        ):
            assert words in d.words
        await d.press("c")
        for word in FLOW_KEYS.values():
            assert word in d.text
        assert "bow-port throws air toward" in d.text
        assert max(map(len, d.text.splitlines())) <= 40

    drive(book, script, (40, 12))


def test_an_observation_of_another_program_is_seen_when_the_page_is_opened(bench):
    book, record = bench

    async def script(d: Driver) -> None:
        await d.go_to("direction")
        logbook = Logbook(book)
        observe_push(
            logbook, logbook.record(record), {"bow-port": "stern"}, {"left-stick-y": -0.3}, by="rolf"
        )
        await d.press("g")
        assert "1 of 8 pushes watched" in d.words

    drive(book, script)
