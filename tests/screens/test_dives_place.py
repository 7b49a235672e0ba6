"""The place Dives: starting, logging, closing; what the form refuses stays in the form."""

from __future__ import annotations

import pytest
from driving_app import Driver, drive, entries, logbook_in_memory, start

from rovlog.usecases.logbook import Logbook


async def fill(d: Driver, *values: str) -> None:
    """Fill a form line by line: "" leaves what stands there."""
    for value in values:
        if value:
            await d.press("end", *["backspace"] * 30)
            await d.type(value)
        await d.press("enter")


def test_without_a_dive_the_app_opens_where_one_is_started():
    book = logbook_in_memory()

    async def script(d: Driver) -> None:
        assert d.app.place_name == "dives"
        assert "Nothing is on record yet" in d.text
        await d.press("n")
        assert "Start a dive" in d.words
        await fill(d, "", "outer-basin", "fresh:16", "4", "45", "", "", "", "", "")
        assert d.app.place_name == "checks"
        assert "is started" in d.message

    drive(book, script)
    record = Logbook(book).records()[-1]
    begun = record.entries[0].fields
    assert begun["site"] == "outer-basin"
    assert begun["water"] == {"kind": "fresh", "temperature_c": 16.0}
    assert begun["crew"]["supervisor"] == "ines"
    assert (begun["depth_m"], begun["minutes"]) == (4.0, 45.0)


def test_a_water_that_cannot_be_read_is_refused_in_the_form_with_its_mend():
    book = logbook_in_memory()

    async def script(d: Driver) -> None:
        await d.press("n")
        await fill(d, "", "outer-basin", "wet:16", "", "", "", "", "", "", "")
        assert "the water 'wet:16' begins with 'wet'" in d.words
        assert "write kind:temperature" in d.words
        await d.press("escape")

    drive(book, script)
    assert Logbook(book).records() == []


def test_marks_are_picked_the_expected_one_first_and_kept_after_enter():
    book = logbook_in_memory()
    dive = start(book)

    async def script(d: Driver) -> None:
        await d.press("f8", "m")
        assert "power on" in d.words
        assert len(entries(book, dive)) == 1
        await d.press("enter")
        assert d.message == "kept: power on"
        await d.press("m", "enter")

    drive(book, script)
    assert [e.fields["mark"] for e in entries(book, dive)[1:]] == ["power-on", "in-water"]


LOGGED = {
    "o": (("silt after ten minutes", ""), "note", {"text": "silt after ten minutes"}),
    "t": (("", "", "0,06", "", "", "", "to sit still", ""), "trim", {"trim": {"heave": 0.06}}),
    "s": (
        ("2", "1", "heave=0,04", "", ""),
        "setup",
        {"values": {"steering_scheme": 2, "thruster_map": 1, "trim": {"heave": 0.04}}},
    ),
    "b": (
        ("2", "1", "", "", "", ""),
        "readback",
        {"in_use": {"steering_scheme": 2, "thruster_map": 1}, "source": "box-read"},
    ),
    "r": (("clamp-meter", "current_a=7,5", ""), "reading", {"values": {"current_a": 7.5}}),
    "p": (
        ("left-stick-y=-0,3", "bow-port=still", "dry", ""),
        "observation",
        {"push": {"left-stick-y": -0.3}, "seen": {"bow-port": "still"}},
    ),
    "f": (("yaw-weak", "turned slowly", "", ""), "fault", {"symptom": "yaw-weak", "text": "turned slowly"}),
    "g": (("lock-pool", "fresh:18", "", ""), "place", {"site": "lock-pool"}),
    "k": (("", "rolf", "", "", ""), "crew", {"crew": {"pilot": "rolf"}}),
    "j": (
        ("tether-spare", "tether", "tether-long", ""),
        "fitted",
        {"part": "tether-spare", "replaces": "tether-long"},
    ),
}


@pytest.mark.parametrize("letter", list(LOGGED))
def test_everything_that_is_logged_by_hand_becomes_its_entry(letter):
    lines, kind, fields = LOGGED[letter]
    book = logbook_in_memory()
    dive = start(book)

    async def script(d: Driver) -> None:
        await d.press("f8", letter)
        await fill(d, *lines)
        assert d.message.startswith("kept"), d.words

    drive(book, script)
    kept = entries(book, dive)[-1]
    assert kept.kind == kind
    assert {name: kept.fields[name] for name in fields} == fields


def test_a_readback_with_a_number_that_the_box_does_not_know_is_refused():
    book = logbook_in_memory()
    dive = start(book)

    async def script(d: Driver) -> None:
        await d.press("f8", "b")
        await fill(d, "9", "1", "", "", "", "")
        assert "has no steering scheme 9" in d.words

    drive(book, script)
    assert len(entries(book, dive)) == 1


def test_a_dive_is_closed_with_what_it_covers_and_another_can_be_started():
    book = logbook_in_memory()
    dive = start(book)

    async def script(d: Driver) -> None:
        await d.press("f8", "c")
        assert "Close anyway?" in d.words
        assert "reasons still stop the dive" in d.words
        await d.press("1")
        assert d.app.place_name == "checks"
        await d.press("f8", "c", "2")
        await fill(d, "a short one", "", "")
        assert d.message == "kept: closed"
        rows = d.text.splitlines()
        assert not any("in hand" in row for row in rows[3:12]), d.text
        assert "closed" in d.text.splitlines()[0]

    drive(book, script)
    kept = entries(book, dive)[-1]
    assert kept.kind == "close"
    assert kept.fields["covers"]["north-laptop"]["upto"] == 1


def test_a_dive_forgotten_overnight_is_closed_from_memory():
    book = logbook_in_memory()
    dive = start(book)

    async def script(d: Driver) -> None:
        await d.press("f8", "c", "2")
        await fill(d, "forgot it", "yes", "")

    drive(book, script)
    assert entries(book, dive)[-1].fields["clock"] == "memory"


def test_work_outside_a_dive_has_its_own_lists():
    book = logbook_in_memory()

    async def script(d: Driver) -> None:
        await d.press("w")
        await fill(d, "grebe", "bench day", "rolf")
        assert "-work-" in d.state.record.id
        assert {c.phase for c in d.state.lists} >= {"bench", "periodic"}
        assert "work, not a dive" in d.text

    drive(book, script)


def test_an_entry_is_corrected_by_a_further_one():
    book = logbook_in_memory()
    dive = start(book)

    async def script(d: Driver) -> None:
        await d.press("f8", "o")
        await fill(d, "silt to port", "")
        await d.press("u")
        await fill(d, "2", "text=silt to starboard", "slip of the tongue", "")

    drive(book, script)
    note = entries(book, dive)[1]
    assert note.fields["text"] == "silt to starboard"
    assert len(note.corrected_by) == 1


def test_the_page_of_a_record_is_the_command_lines_own_report():
    book = logbook_in_memory()
    dive = start(book)

    async def script(d: Driver) -> None:
        await d.press("f8", "i")
        assert dive in d.text
        assert "reasons on record stop this dive" in d.text
        await d.press("escape")

    drive(book, script)
