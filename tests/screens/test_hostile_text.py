"""Text from files, from a box or typed in is never markup and never steers the terminal."""

from __future__ import annotations

import pytest
from driving_app import CREW, Driver, drive, logbook_in_memory, start

from rovlog.usecases.dive_steps import log, log_fault
from rovlog.usecases.logbook import Logbook

HOSTILE = "[/x] [red]hi[/red] {boom} $(id) \\[b] ⠀ \u202eabc"
ESCAPES = '"\\e]52;c;aGk=\\a \\u009b31m [/x]"'
"""As it stands in YAML: a true escape character for whoever reads it."""


def hostile_book():
    book = logbook_in_memory()
    tree = book.files.tree
    tree["vehicles/grebe.yaml"] = tree["vehicles/grebe.yaml"].replace(
        b"name: Grebe", f"name: {ESCAPES}".encode()
    )
    tree["logbook.yaml"] = tree["logbook.yaml"].replace(b"name: Tam Okoro", b'name: "[/x] Tam [red]"')
    text = tree["checklists/pre-dive.yaml"].decode()
    text = text.replace("challenge: Swimmers and divers", f"challenge: {ESCAPES}", 1)
    text = text.replace("why: shock, blades and tether hurt people in the water", f"why: {ESCAPES}", 1)
    tree["checklists/pre-dive.yaml"] = text.encode()
    box = tree["boxes/amber-box.yaml"]
    tree["boxes/amber-box.yaml"] = box.replace(b"name: right hand drives", b'name: "[/x] right [b]hand"')
    dive = start(book, site=HOSTILE, crew={**CREW})
    logbook = Logbook(book)
    log(logbook, logbook.record(dive), "note", {"text": HOSTILE}, by="tam")
    log_fault(logbook, logbook.record(dive), "yaw-weak", by="tam", text=HOSTILE)
    return book


@pytest.mark.parametrize("size", [(40, 12), (80, 24), (140, 45)])
def test_hostile_text_is_shown_as_text_on_every_screen(size):
    book = hostile_book()

    async def script(d: Driver) -> None:
        seen = ""
        for keys in (
            ("f5",), ("home",), ("f6",), ("right",), ("f7",), ("f8",), ("f",), ("escape",), ("f9",),
            ("enter",),
            ("escape",), ("f5",), ("x",), ("escape",), ("f2",), ("1",), ("escape",), ("v",), ("escape",),
            ("f",), ("escape",), ("u",), ("r",), ("escape",), ("question_mark",), ("escape",),
        ):  # fmt: skip
            await d.press(*keys)
            text = d.text
            seen += text
            for character in text:
                assert character == "\n" or character.isprintable(), (keys, hex(ord(character)))
            assert "\u202e" not in text
            assert "\u2800" not in text
        assert "[/x]" in seen
        assert "<U+001B>" in seen

    drive(book, script, size)


def test_hostile_text_typed_into_a_form_comes_back_as_typed():
    book = logbook_in_memory()
    start(book)

    async def script(d: Driver) -> None:
        await d.press("f8", "o")
        await d.pilot.press("left_square_bracket", "slash", "x", "right_square_bracket")
        await d.press("enter", "enter")
        assert d.message == "kept: the note"
        assert "[/x]" in d.text

    drive(book, script)


def test_an_error_that_quotes_hostile_text_is_shown_as_text():
    book = hostile_book()

    async def script(d: Driver) -> None:
        d.app.tell_trouble("[/x] \x1b]0;hi\x07 [red]")
        await d.settle()
        assert "[/x] <U+001B>]0;hi<U+0007> [red]" in d.message

    drive(book, script)
