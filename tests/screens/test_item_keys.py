"""The keys of the item in hand: in words, at most eight on the line, the rest on the page behind one."""

from __future__ import annotations

import re

import pytest
from driving_app import Driver, drive, logbook_in_memory, start

from rovlog.faces.screens.keys import MOST_SHOWN, fitting, shown
from rovlog.faces.screens.room import GENERAL_KEYS
from rovlog.faces.screens.walk import steps_of
from rovlog.usecases.dive_steps import start_work
from rovlog.usecases.logbook import Logbook


def work_book():
    """Work on a vehicle: the lists that are not a dive's."""
    book = logbook_in_memory()
    crew = {"supervisor": "ines", "technician": "rolf"}
    start_work(Logbook(book), "grebe", by="ines", purpose="bench", crew=crew)
    return book


def dive_book():
    book = logbook_in_memory()
    start(book)
    return book


WORDS = re.compile(r"(\S+(?:, \S+)?) ([a-z].*)")


@pytest.mark.parametrize("make", [dive_book, work_book])
def test_of_every_step_the_line_of_keys_has_at_most_eight_in_words_and_the_page_has_all(make):
    book = make()
    seen = 0

    async def script(d: Driver) -> None:
        nonlocal seen
        state = d.state
        await d.press("f5")
        for step in steps_of(state):
            d.checks._take(step, state)
            keys = [*d.checks.keys(), *GENERAL_KEYS]
            for width in (40, 80, 140):
                line = fitting(keys, width)
                assert len(line) <= MOST_SHOWN, step.id
                assert sum(len(shown(k)) + 2 for k in line) - 2 <= width, step.id
                assert line[0].label == "enter", step.id
                assert [k.deed for k in line[-2:]] == ["emergency", "all_keys"], step.id
                assert all(WORDS.fullmatch(shown(k)) for k in line), step.id
            taken = [name for k in keys for name in k.keys]
            assert len(taken) == len(set(taken)), step.id
            assert all(k.words and k.words != k.label for k in keys), step.id
            seen += 1

    drive(book, script)
    assert seen > 40


def test_the_page_of_keys_names_every_key_of_the_item_in_hand():
    async def script(d: Driver) -> None:
        await d.go_to("fuse")
        keys = [*d.checks.keys(), *GENERAL_KEYS]
        line = d.text.splitlines()[-1]
        assert all(shown(k) in line for k in fitting(keys, 80))
        await d.press("question_mark")
        pages = d.text
        for _ in range(4):
            await d.press("pagedown")
            pages += "\n" + d.text
        words = " ".join(pages.split())
        assert all(f"{k.label} {k.words}" in words for k in keys)

    drive(dive_book(), script)
