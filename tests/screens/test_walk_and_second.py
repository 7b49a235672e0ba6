"""The walk through the lists, who the second person is, and keys that were typed before what they answer."""

from __future__ import annotations

import pytest
from driving_app import Driver, drive, entries, logbook_in_memory, start
from textual.events import Key

from rovlog.faces.screens.keys import DoublePress
from rovlog.faces.screens.walk import is_closed_hold, next_step, steps_of, stops_at_close
from rovlog.usecases.answer_item import answer_item
from rovlog.usecases.complete_list import complete_section
from rovlog.usecases.dive_state import dive_state
from rovlog.usecases.dive_steps import log_event, mark
from rovlog.usecases.logbook import Logbook


def test_an_expired_item_is_next_in_its_place_of_the_list():
    book = logbook_in_memory()
    dive = start(book)
    logbook = Logbook(book)
    state = dive_state(logbook, logbook.record(dive))
    crew = next(s for s in steps_of(state) if s.item and s.item.item == "crew")
    assert crew.item is not None
    answer_item(logbook, logbook.record(dive), "crew", by="ines", values={"choice": "as-entered"})
    assert crew.item.voided_by
    log_event(logbook, logbook.record(dive), crew.item.voided_by[0], by="ines")
    state = dive_state(logbook, logbook.record(dive))
    assert state.items["crew"].state == "expired"
    found = next_step(state, "swimmers")
    assert found is not None
    assert found.id == "crew"


def test_the_walk_never_passes_a_hold_point_that_is_not_released():
    book = logbook_in_memory()
    dive = start(book)
    logbook = Logbook(book)
    state = dive_state(logbook, logbook.record(dive))
    steps = steps_of(state)
    ids = [s.id for s in steps]
    hold = next(s for s in steps if is_closed_hold(state, s))
    for step in steps[: ids.index(hold.id)]:
        found = next_step(state, step.id, steps)
        assert found is not None
        assert ids.index(found.id) <= ids.index(hold.id)
    after = next_step(state, hold.id, steps)
    assert after is not None
    assert after.id == "swimmers"


def test_a_refused_hold_names_codes_and_home_goes_to_what_keeps_it():
    book = logbook_in_memory()
    start(book)

    async def script(d: Driver) -> None:
        await d.press("enter")
        await d.go_to("release-power-on")
        await d.press("enter", "1")
        assert "cannot be released" in d.message
        assert "A2" in d.message
        assert "swimmers" not in d.message
        await d.press("home")
        assert d.item is not None
        assert d.item.item == "crew"

    drive(book, script)


def test_enter_on_the_page_of_stops_takes_the_item_in_hand():
    book = logbook_in_memory()
    start(book)

    async def script(d: Driver) -> None:
        await d.press("x")
        assert "enter goes there" in d.text
        chosen = d.state.stops[2].id
        await d.press("down", "down", "enter")
        assert d.item is not None
        assert d.item.item == chosen

    drive(book, script)


def test_enter_goes_from_value_to_value_and_keeps_only_on_the_last():
    book = logbook_in_memory()
    dive = start(book)

    async def script(d: Driver) -> None:
        await d.go_to("trim-in-box")
        assert d.item is not None
        count = len(d.item.asks)
        d.checks.fields.typed["heave"] = "0"
        for _ in range(count - 1):
            await d.press("enter")
            assert [e.kind for e in entries(book, dive)] == ["start"]

    drive(book, script)


def test_a_corrected_rise_is_not_typed_where_its_readings_are():
    book = logbook_in_memory()
    dive = start(book)

    async def script(d: Driver) -> None:
        await d.go_to("vacuum-hold")
        for value in ("30", "20", "29,95", "20"):
            await d.type(value)
            await d.press("enter")
        await d.press("enter", "enter")
        assert "computed from the readings when it is kept" in d.words
        assert d.checks.fields.ask is not None
        assert d.checks.fields.ask.value == "corrected_rise"
        await d.press("enter")
        if "look again" in d.text:
            await d.press("2")

    drive(book, script)
    kept = entries(book, dive)[-1]
    assert kept.fields["item"] == "vacuum-hold"
    assert kept.fields["values"]["corrected_rise"] == pytest.approx(0.05, abs=0.01)


def test_keys_typed_before_the_next_item_is_drawn_are_dropped():
    book = logbook_in_memory()
    dive = start(book)

    async def script(d: Driver) -> None:
        d.app.post_message(Key("enter", "\r"))
        d.app.post_message(Key("1", "1"))
        d.app.post_message(Key("f", "f"))
        await d.settle()
        assert "what was seen" not in d.text

    drive(book, script)
    assert [e.kind for e in entries(book, dive)] == ["start", "check"]


def test_after_a_start_the_first_item_takes_enter_only_after_a_rest():
    heard = DoublePress()
    heard.close()
    assert heard.is_unread("enter", 10.0)
    heard.open(11.0, 0.7)
    assert heard.is_unread("1", 10.9)
    assert not heard.is_unread("1", 11.1)
    assert heard.is_unread("enter", 11.5)
    assert not heard.is_unread("enter", 11.8)


def test_enter_twice_never_makes_two_people():
    book = logbook_in_memory()
    dive = start(book)

    async def script(d: Driver) -> None:
        await d.go_to("seals")
        await d.press("enter")
        assert "Who is the second person?" in d.words
        await d.press("enter")
        assert d.state.items["seals"].waits_for_second

    drive(book, script)
    assert [e.kind for e in entries(book, dive)] == ["start", "check"]


def test_whoever_saw_it_as_well_is_named_by_one_digit():
    book = logbook_in_memory()
    dive = start(book)

    async def script(d: Driver) -> None:
        await d.go_to("seals")
        await d.press("enter", "1")
        assert d.state.items["seals"].state == "answered"

    drive(book, script)
    checks = [e for e in entries(book, dive) if e.kind == "check"]
    assert [e.fields.get("witness") for e in checks] == [None, True]
    assert checks[0].by != checks[1].by


def test_the_same_answer_twice_by_one_person_leaves_the_first_one_standing():
    book = logbook_in_memory()
    dive = start(book)

    async def script(d: Driver) -> None:
        await d.go_to("fuse")
        await d.type("15")
        await d.press("enter", "escape")
        d.checks.is_second = False
        await d.type("15")
        await d.press("enter")
        assert "Who is the second person?" in d.words

    drive(book, script)
    assert [e.kind for e in entries(book, dive)].count("check") == 1


def test_after_look_again_typing_replaces_what_stood_there():
    book = logbook_in_memory()
    start(book)

    async def script(d: Driver) -> None:
        await d.go_to("fuse")
        await d.type("2500")
        await d.press("enter", "1")
        d.app.forget_last_key()
        await d.type("15")
        assert d.checks.fields.values() == {"rating": "15"}
        await d.press("ctrl+u")
        assert d.checks.fields.values() == {}

    drive(book, script)


@pytest.mark.parametrize(
    ("item", "keys", "said"),
    [
        ("mains", ("1",), "B1 Mains at the poolside: no mains. Who watched, and saw the same?"),
        (
            "seals",
            ("enter",),
            "C2 Seals and faces: seen, right size, clean, no hair, thin grease. Who watched, and saw",
        ),
        ("fuse", ("2", "0", "enter"), "B2 Main fuse. Blind: the first answer is not shown."),
    ],
)
def test_the_second_person_is_told_what_to_agree_to_and_never_a_blind_answer(item, keys, said):
    book = logbook_in_memory()
    start(book)

    async def script(d: Driver) -> None:
        await d.go_to(item)
        await d.press(*keys)
        assert f"Rolf Aune answered {said}" in d.words
        assert item != "fuse" or "20" not in d.words

    drive(book, script)


def finished_dive():
    """A dive with an item answered before it, whose vehicle is out of the water, and its last lists done."""
    book = logbook_in_memory()
    dive = start(book)
    logbook = Logbook(book)

    def tick(item, by="rolf", **values):
        answer_item(logbook, logbook.record(dive), item, by=by, values=values or None)

    tick("rescue-gear", "ines")
    for which in ("power-on", "in-water", "out-of-water", "power-off"):
        mark(logbook, logbook.record(dive), which, by="rolf")
    state = dive_state(logbook, logbook.record(dive))
    assert state.items["rescue-gear"].state == "expired"
    for checklist in state.lists:
        if checklist.phase in ("recovery", "post-dive"):
            for item in checklist.items():
                values = {a.value: a.options[0] if a.options else "none" if a.type == "text" else 12.0
                          for a in item.asks if a.proposed is None}  # fmt: skip
                if item.kind == "readback":
                    values["differences"] = 0
                tick(item.item, **values)
            for section in checklist.sections:
                complete_section(
                    logbook, logbook.record(dive), checklist.checklist, section.section, by="ines"
                )
    return book, dive


def test_after_a_finished_dive_the_walk_does_not_go_back_to_the_lists_before_it():
    book, dive = finished_dive()
    logbook = Logbook(book)
    state = dive_state(logbook, logbook.record(dive))
    assert next_step(state, "log-signed") is None
    assert next_step(state, "rescue-gear") is None
    mark(logbook, logbook.record(dive), "in-water", by="rolf")
    again = dive_state(logbook, logbook.record(dive))
    found = next_step(again, "")
    assert found is not None
    assert found.checklist.phase == "pre-dive"


def test_a_finished_dive_says_that_its_lists_are_done_and_how_it_is_closed():
    book, _ = finished_dive()

    async def script(d: Driver) -> None:
        assert "The lists of this dive are done." in d.words
        assert "F8 goes to Dives: m marks a moment, c closes the dive." in d.words

    drive(book, script)


def test_what_ran_out_after_the_dive_is_no_reason_at_its_close():
    book, dive = finished_dive()
    logbook = Logbook(book)
    state = dive_state(logbook, logbook.record(dive))
    ran_out = [s for s in state.stops if s.id == "rescue-gear"]
    assert len(ran_out) == 1
    assert stops_at_close(state) == len(state.stops) - 1
