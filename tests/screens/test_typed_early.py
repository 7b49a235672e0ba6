"""Keys pressed after a dialog was asked for and before it is there reach it, or are dropped with a word."""

from __future__ import annotations

import pytest
from driving_app import KEY_NAMES, Driver, drive, entries, logbook_in_memory, start
from textual.events import Key, Paste

from rovlog.faces.screens.dialogs import Form, OneLine, Pick


def at_once(d: Driver, keys: str) -> None:
    """Press keys one upon the other, as fast as a terminal can send them."""
    for character in keys:
        d.app.post_message(Key(KEY_NAMES.get(character, character), character))


def line_of(d: Driver) -> str:
    assert isinstance(d.app.screen, Form)
    return d.app.screen.query(OneLine).first().value


@pytest.mark.parametrize(("deed", "said"), [("n", "rainy today"), ("d", "later"), ("f", "nick at 4 m")])
def test_what_is_typed_at_once_after_a_form_is_asked_for_is_in_its_line(deed, said):
    book = logbook_in_memory()
    start(book)

    async def script(d: Driver) -> None:
        await d.go_to("lights")
        at_once(d, deed + said)
        await d.settle()
        assert line_of(d) == said

    drive(book, script)


def test_a_digit_pressed_before_a_pick_is_there_picks_nothing_and_that_is_said():
    book = logbook_in_memory()
    dive = start(book)

    async def script(d: Driver) -> None:
        await d.go_to("release-power-on")
        at_once(d, "r1")
        await d.settle()
        assert isinstance(d.app.screen, Pick)
        assert "a key pressed before this was drawn was not taken" in d.words

    drive(book, script)
    assert dive


@pytest.mark.parametrize(
    "text", ["silt at the wall", "silt at the wall\n", "\nsilt at the wall\n", "  silt at the wall "]
)
def test_a_pasted_line_stands_in_the_form(text):
    book = logbook_in_memory()
    start(book)

    async def script(d: Driver) -> None:
        await d.go_to("lights")
        await d.press("n")
        d.app.post_message(Paste(text))
        await d.settle()
        assert line_of(d) == "silt at the wall"

    drive(book, script)


def test_a_line_pasted_at_once_after_a_form_is_asked_for_is_in_its_line():
    book = logbook_in_memory()
    start(book)

    async def script(d: Driver) -> None:
        await d.go_to("lights")
        d.app.post_message(Key("n", "n"))
        d.app.post_message(Paste("silt at the wall"))
        await d.settle()
        assert line_of(d) == "silt at the wall"

    drive(book, script)


def test_a_note_for_the_next_crew_is_typed_as_it_comes():
    book = logbook_in_memory()
    dive = start(book)

    async def script(d: Driver) -> None:
        await d.go_to("next-notes")
        at_once(d, "nasty fog near the dam")
        await d.settle()
        assert line_of(d) == "nasty fog near the dam"
        await d.press("enter")
        assert d.state.items["next-notes"].values == {"note": "nasty fog near the dam"}

    drive(book, script)
    assert [e.kind for e in entries(book, dive)] == ["start", "check"]


def test_after_escape_letters_are_keys_where_a_text_is_asked_for():
    book = logbook_in_memory()
    start(book)

    async def script(d: Driver) -> None:
        await d.go_to("next-notes")
        assert "letters as keys" in d.text
        await d.press("escape", "n")
        assert "Not applicable: Notes for the next crew" in d.words
        await d.press("escape")
        await d.go_to("battery-away")
        await d.go_to("next-notes")
        await d.press("n")
        assert line_of(d) == "n"

    drive(book, script)
