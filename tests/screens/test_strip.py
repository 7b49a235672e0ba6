"""The strip: what it says at every width, and what it never says."""

from __future__ import annotations

import re

import pytest
from driving_app import Driver, drive, logbook_in_memory, start

from rovlog.faces.screens.marks import PATTERNS, border


@pytest.mark.parametrize("size", [(40, 12), (60, 20), (80, 24), (100, 30), (140, 45)])
def test_the_strip_never_leaves_and_never_overflows(size):
    book = logbook_in_memory()
    start(book)

    async def script(d: Driver) -> None:
        for key in ("f5", "f6", "f7", "f8", "f9"):
            await d.press(key)
            first, second = d.text.splitlines()[:2]
            assert "G" in first
            assert "R" in first
            assert "stop" in first
            assert "answers: " in second
            assert len(first) <= size[0]
            assert len(second) <= size[0]

    drive(book, script, size)


def test_the_strip_tells_revision_box_water_crew_and_dive():
    book = logbook_in_memory()
    start(book)

    async def script(d: Driver) -> None:
        head = "\n".join(d.text.splitlines()[:2])
        for words in (
            "revision 1",
            "box not read",
            "outer-basin",
            "fresh 16 °C",
            "pilot Tam Okoro",
            "dive 1",
        ):
            assert words in head

    drive(book, script, (140, 45))


def test_two_vehicles_have_different_border_marks():
    assert len(set(PATTERNS)) == len(PATTERNS)
    assert border(0, 12) != border(1, 12)
    assert all(len(border(i, 9)) == 9 for i in range(20))


def test_with_two_dives_open_the_app_asks_by_name_and_the_mark_changes_with_the_vehicle():
    book = logbook_in_memory()
    start(book)
    start(book, "wigeon", site="school-pool")

    async def script(d: Driver) -> None:
        assert "Which vehicle is in your hands?" in d.words
        assert "Grebe: dive" in d.words
        assert "Wigeon: dive" in d.words
        await d.press("1")
        await d.press("enter")
        assert "G R E B E" in d.text
        assert "1 of 2 in hand" in " ".join(d.text.split())
        mark = d.text.splitlines()[1][:6]
        await d.press("v", "2", "enter")
        assert "W I G E O N" in d.text
        assert d.text.splitlines()[1][:6] != mark

    drive(book, script, (120, 40))


def test_the_program_never_says_go_or_safe():
    book = logbook_in_memory()
    start(book)

    async def script(d: Driver) -> None:
        for key in ("f5", "f6", "f7", "f8", "f9", "f1"):
            await d.press(key)
            assert not re.search(r"\b(go|no-go|safe|safely|armed|disarm)\b", d.text, re.IGNORECASE), key

    drive(book, script, (140, 45))
