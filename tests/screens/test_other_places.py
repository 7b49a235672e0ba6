"""Drift, Configuration and Audit: what they show of a logbook in which something is wrong."""

from __future__ import annotations

import re

from driving_app import Driver, drive, logbook_in_memory, start

from rovlog.usecases.dive_steps import close, log_fault, state_setup
from rovlog.usecases.logbook import Logbook
from rovlog.usecases.type_readback import type_readback


def reversed_book():
    """A dive on which box and pilot say other than the baseline, and the files have a thruster reversed."""
    book = logbook_in_memory()
    text = book.files.tree["vehicles/grebe.yaml"].decode()
    old = "{thruster: bow-port, model: reed-40, channel: 1, polarity: normal"
    assert old in text
    book.files.tree["vehicles/grebe.yaml"] = text.replace(old, old.replace("normal", "reversed")).encode()
    dive = start(book)
    logbook = Logbook(book)
    in_use = {"steering_scheme": 1, "thruster_map": 1, "trim": {"heave": 0.3}}
    type_readback(logbook, logbook.record(dive), by="tam", in_use=in_use, source="box-read")
    state_setup(logbook, logbook.record(dive), {"trim": {"heave": 0.3}}, by="tam")
    return book, dive


def test_drift_shows_each_difference_with_its_columns_its_effect_and_what_can_be_done():
    book, _ = reversed_book()

    async def script(d: Driver) -> None:
        await d.press("f7")
        shown = d.text
        await d.press("pagedown")
        shown += d.text
        await d.press("pagedown")
        shown += d.text
        words = " ".join(shown.split())
        assert "polarity of thruster bow-port" in words
        assert "steering scheme" in words
        assert "heave trim" in words
        assert "baseline" in words
        assert "box" in words
        assert "pilot" in words
        assert "STOPS" in words
        assert "correct the box" in words
        assert "waiver: the supervisor accepts it" in words

    drive(book, script)


def test_a_difference_is_waived_by_the_supervisor_and_stays_shown_as_waived():
    book, dive = reversed_book()

    async def script(d: Driver) -> None:
        await d.press("f7")
        stops = len(d.state.drift.report.stops)
        await d.press("w")
        await d.type("trying it on purpose")
        await d.press("enter", "enter", "enter")
        assert "kept: the waiver" in d.message, d.words
        assert "waived" in d.text
        assert len(d.state.drift.report.stops) < stops

    drive(book, script)
    assert Logbook(book).record(dive).entries[-1].kind == "waiver"


def test_how_to_set_the_box_is_said_in_the_builders_own_words():
    book, _ = reversed_book()

    async def script(d: Driver) -> None:
        await d.press("f7", "h")
        assert "Hold SETUP" in " ".join(d.text.split())

    drive(book, script)


def test_the_configuration_is_told_in_words_then_drawn_then_tried():
    book = logbook_in_memory()
    start(book)

    async def script(d: Driver) -> None:
        await d.press("f6")
        assert "right stick forward: ahead" in d.text
        await d.press("right")
        assert "plan from above" in d.text
        assert "side from starboard" in d.text
        await d.press("right", "space")
        assert "right stick forward" in d.text
        assert re.search(r"^ ahead [0-9.]+ N", d.text, re.MULTILINE), d.text
        assert "▶" not in d.text
        await d.press("left")
        assert "◤" in d.text or "▲" in d.text

    drive(book, script)


def test_backwards_thrust_is_drawn_hollow_and_said_astern():
    book = logbook_in_memory()
    start(book)

    async def script(d: Driver) -> None:
        await d.press("f6", "space", "space")
        assert "right stick back" in d.text
        assert "astern" in d.text
        assert any(head in d.text for head in "△◹▷◿▽◺◁◸")

    drive(book, script, (140, 45))


def test_an_approval_asks_a_reason_and_brings_the_next_revision_into_force():
    book, _ = reversed_book()

    async def script(d: Driver) -> None:
        await d.press("f6", "g")
        assert "as the next revision" in d.words
        await d.press("enter", "enter", *["enter"] * 8)
        assert "the reason is empty" in d.words
        await d.press("escape")
        assert d.app.hand.drift.in_force.approval.revision == 1

    drive(book, script)


def test_two_configurations_are_compared_by_name():
    book, _ = reversed_book()

    async def script(d: Driver) -> None:
        await d.press("f6", "c", "enter", "enter")
        words = " ".join(d.text.split())
        assert "polarity of thruster bow-port" in words
        assert '"reversed"' in words

    drive(book, script)


def faulty_book():
    """Three closed dives, a fault on the last."""
    book = logbook_in_memory()
    for number in range(3):
        dive = start(book)
        logbook = Logbook(book)
        if number == 2:
            log_fault(logbook, logbook.record(dive), "yaw-weak", by="tam", text="turns slowly")
        close(logbook, logbook.record(dive), by="ines")
        book.clock.advance(86400)
    return book


def test_the_audit_shows_beside_a_fault_what_was_last_good_and_the_suspects():
    book = faulty_book()

    async def script(d: Driver) -> None:
        await d.press("f9")
        await d.press("end")
        words = " ".join(d.text.split())
        assert "fault yaw-weak: turns slowly" in words
        assert "Last known good" in words
        assert "Suspects for the symptom yaw-weak" in words

    drive(book, script, (140, 45))


def test_field_history_and_who_flew_it_are_answered_on_a_page():
    book = faulty_book()

    async def script(d: Driver) -> None:
        await d.press("f9", "h")
        await d.type("/trim_defaults/heave")
        await d.press("enter")
        assert "heave trim" in d.text
        assert "revision 1" in d.text
        await d.press("escape", "w")
        await d.type("/control_box/steering_scheme")
        await d.press("enter", "enter")
        assert "3 dives" in d.text

    drive(book, script)


def test_a_pointer_to_nothing_is_refused_in_the_form():
    book = faulty_book()

    async def script(d: Driver) -> None:
        await d.press("f9", "w")
        await d.type("/nowhere")
        await d.press("enter", "enter")
        assert "Which dives flew with it" in d.words
        assert "nowhere" in d.words.split("F2 emergency")[0].split("what it was")[1]
        await d.press("escape")

    drive(book, script)


def test_a_long_timeline_draws_only_the_lines_in_sight():
    from rovlog.faces.screens.lines import Lines

    book = faulty_book()

    async def script(d: Driver) -> None:
        await d.press("f9")
        lines = d.app.screen.query_one("#timeline", Lines)
        asked: list[int] = []

        def line_at(index, width, picked):
            asked.append(index)
            return d.app.pen.line(f"line {index}")

        lines.show_rows(100_000, line_at, 99_999)
        await d.settle()
        assert "line 99999" in d.text
        assert len(set(asked)) < 100

    drive(book, script)
