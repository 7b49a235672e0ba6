"""Emergency cards: one key from everywhere, all of a card on the screen, nothing asked on leaving."""

from __future__ import annotations

import pytest
from driving_app import Driver, drive, entries, logbook_in_memory, start

from rovlog.faces.screens.cards import Cards, card_lines
from rovlog.faces.screens.drawing import Pen
from rovlog.faces.screens.looks import DARK

WAYS_IN = {
    "checks": (),
    "configuration": ("f6",),
    "drift": ("f7",),
    "dives": ("f8",),
    "audit": ("f9",),
    "a form, out of its input": ("f", "t", "y"),
    "a list to pick from": ("r",),
    "the page of keys": ("question_mark",),
    "everything that stops": ("x",),
    "a form of a dive": ("f8", "n"),
}


@pytest.mark.parametrize("way", list(WAYS_IN))
def test_the_cards_open_with_one_key_and_leave_where_one_was(way):
    book = logbook_in_memory()
    dive = start(book)

    async def script(d: Driver) -> None:
        await d.press(*WAYS_IN[way])
        before = d.text
        depth = len(d.app.screen_stack)
        await d.press("f2")
        assert isinstance(d.app.screen, Cards)
        assert "Shocked or in trouble in the water" in d.text
        await d.press("1", "escape")
        assert len(d.app.screen_stack) == depth
        assert d.text.splitlines()[5:] == before.splitlines()[5:]

    drive(book, script)
    assert [e.kind for e in entries(book, dive)] == ["start"]


@pytest.mark.parametrize("size", [(80, 24), (40, 12), (140, 45)])
def test_every_card_fits_the_screen_without_scrolling(size):
    book = logbook_in_memory()
    start(book)

    async def script(d: Driver) -> None:
        for card in d.app.cards:
            lines = card_lines(card, size[0] - 2, size[1], Pen(DARK))
            assert len(lines) <= size[1], card.item
            assert all(line.cell_len <= size[0] - 2 for line in lines), card.item
            shown = "\n".join(line.plain for line in lines)
            first = card.actions[0].split()[0]
            assert first in shown
        assert len(d.app.cards) == 9

    drive(book, script, size)


def test_the_key_pressed_again_shows_all_cards_and_never_what_lies_below():
    book = logbook_in_memory()
    dive = start(book)

    async def script(d: Driver) -> None:
        await d.press("f2", "1", "f2")
        assert "number or enter opens a card" in d.text
        await d.press("5")
        assert isinstance(d.app.screen, Cards)
        assert "Leak" in d.text.splitlines()[0]
        await d.press("f2", "f2")
        assert "number or enter opens a card" in d.text
        await d.press("escape")
        assert not isinstance(d.app.screen, Cards)

    drive(book, script)
    assert [e.kind for e in entries(book, dive)] == ["start"]


def test_every_card_is_named_in_full_at_forty_columns():
    book = logbook_in_memory()

    async def script(d: Driver) -> None:
        await d.press("f2")
        for card in d.app.cards:
            assert card.challenge in d.text

    drive(book, script, (40, 12))


def test_the_strip_offers_to_log_the_card_with_the_time_it_was_opened():
    book = logbook_in_memory()
    dive = start(book)

    async def script(d: Driver) -> None:
        await d.press("f2", "4")
        book.clock.advance(600)
        await d.press("escape")
        assert "card Z4 opened 09:00" in d.text
        await d.press("l")
        await d.type("fuse opened, one new one fitted")
        await d.press("enter", "enter")
        assert "card Z4 opened" not in d.text

    drive(book, script)
    note = entries(book, dive)[-1]
    assert note.kind == "note"
    assert note.at.startswith("2026-06-13T09:00")
    assert "one new one fitted" in note.fields["text"]


def test_the_cards_open_without_any_dive():
    book = logbook_in_memory()

    async def script(d: Driver) -> None:
        await d.press("f2")
        assert "Snagged" in d.text

    drive(book, script)


def test_the_shipped_cards_stand_in_for_a_list_that_cannot_be_read():
    book = logbook_in_memory()
    book.files.tree["checklists/emergency.yaml"] = b"format: [broken"
    start(book)

    async def script(d: Driver) -> None:
        await d.press("f2", "2")
        assert "Sticks centre" in d.text

    drive(book, script)
