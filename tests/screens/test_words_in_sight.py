"""What has to be in sight: the age of a readback, the last keys of the line, rows of their own, quitting."""

from __future__ import annotations

import pytest
from driving_app import Driver, drive, logbook_in_memory, start

from rovlog.faces.screens.dives import Dives
from rovlog.faces.screens.drawing import unfolded
from rovlog.faces.screens.keys import MOST_SHOWN, fitting, key
from rovlog.faces.screens.room import GENERAL_KEYS
from rovlog.usecases.logbook import Logbook
from rovlog.usecases.type_readback import type_readback


def test_at_80_columns_the_age_of_the_readback_is_said():
    book = logbook_in_memory()
    dive = start(book)
    logbook = Logbook(book)
    in_use = {"steering_scheme": 2, "thruster_map": 1}
    type_readback(logbook, logbook.record(dive), by="rolf", in_use=in_use, source="box-read")

    async def script(d: Driver) -> None:
        assert "box just now: " in d.text.splitlines()[0] or "box read just now: " in d.text.splitlines()[0]

    drive(book, script)


@pytest.mark.parametrize("width", [60, 80, 100, 140])
def test_emergency_and_the_page_of_keys_are_never_cut_off(width):
    rows = fitting([*Dives.KEYS, *GENERAL_KEYS], width)
    assert [k.deed for k in rows[-2:]] == ["emergency", "all_keys"]
    assert len(rows) <= MOST_SHOWN


def test_the_line_of_keys_shows_at_most_eight_of_any_number():
    many = [key(c, f"does {c}", c) for c in "abcdefghijklm"]
    assert [k.deed for k in fitting(many, 400)] == [*"abcdef", "l", "m"]


def test_a_row_that_begins_with_a_date_or_a_time_is_not_joined_to_the_one_before():
    full = "2026-09-05 a row that goes on as far as the eightieth column and not one beyond."
    assert len(full) == 80
    assert unfolded(f"{full}\n2026-09-06 another event\n10:41 a third") == [
        full,
        "2026-09-06 another event",
        "10:41 a third",
    ]


def test_what_is_typed_first_into_a_filled_line_replaces_it():
    book = logbook_in_memory()
    start(book)

    async def script(d: Driver) -> None:
        await d.press("f8", "n")
        await d.type("wigeon")
        assert "grebewigeon" not in d.text
        assert "enter next line" in d.words
        await d.press("escape")

    drive(book, script)


def test_how_to_leave_stands_on_the_page_of_dives_and_on_the_page_of_keys():
    book = logbook_in_memory()
    start(book)

    async def script(d: Driver) -> None:
        await d.press("f8")
        assert "ctrl+q leaves" in d.words
        await d.press("question_mark", "pagedown")
        assert "ctrl+q" in d.words

    drive(book, script)


def test_x_shows_what_stops_from_the_dives_too():
    book = logbook_in_memory()
    start(book)

    async def script(d: Driver) -> None:
        await d.press("f8", "x")
        assert "reasons on record stop this dive" in d.text

    drive(book, script)
