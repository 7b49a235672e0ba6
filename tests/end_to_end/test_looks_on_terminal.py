"""The looks as a terminal gets them: every place and a dialog walked on a pseudo-terminal, byte by byte."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from driving_app import build_logbook, start
from terminal import DOWN, ESCAPE, F2, Terminal

from rovlog.faces.reports.check_text import MARKS
from rovlog.usecases.answer_item import answer_item
from rovlog.usecases.dive_steps import log_event
from rovlog.usecases.give_waiver import waive_item
from rovlog.usecases.logbook import Logbook
from rovlog.usecases.set_item_aside import defer_item, item_not_applicable
from rovlog.wiring import open_book

pytestmark = [pytest.mark.system("git"), pytest.mark.timeout(600)]

F5, F6, F7, F8, F9, F10 = "\x1b[15~", "\x1b[17~", "\x1b[18~", "\x1b[19~", "\x1b[20~", "\x1b[21~"
UP = "\x1b[A"

BLACK, WHITE = (0, 0, 0), (255, 255, 255)


def logbook_with_every_state(folder: Path) -> Path:
    """A dive on which the first group's items are in all states that there are."""
    build_logbook(folder)
    book = open_book(str(folder))
    dive = start(book)
    logbook = Logbook(book)

    def record():
        return logbook.record(dive)

    answer_item(logbook, record(), "lift-plan", by="ines", values={"people": 2})
    log_event(logbook, record(), "load-changed", by="ines")
    answer_item(logbook, record(), "crew", by="ines", values={"choice": "as-entered"})
    defer_item(logbook, record(), "stop-word", by="ines", reason="the tender is on the way")
    answer_item(logbook, record(), "deck", by="rolf", values={"supply_from_edge": 1})
    waive_item(logbook, record(), by="ines", reason="calm", until="dive", item="site-limits")
    item_not_applicable(logbook, record(), "depth-rating", by="ines", reason="a basin of 2 m")
    return folder


def colours(raw: bytes) -> Iterator[tuple[int, ...] | str]:
    """Every colour that is set, for ink or ground: (red, green, blue), or the code as it was sent."""
    for found in re.finditer(rb"\x1b\[([0-9;:]*)m", raw):
        codes = [int(c or 0) for c in re.split("[;:]", found[1].decode())]
        while codes:
            code = codes.pop(0)
            if code in (38, 48) and codes[:1] == [2]:
                yield tuple(codes[1:4])
                codes = codes[4:]
            elif code in (38, 48):
                yield f"{code};{codes[:2]}"
                codes = codes[2:]
            elif 30 <= code <= 37 or 40 <= code <= 47 or 90 <= code <= 97 or 100 <= code <= 107:
                yield str(code)


def walk_all(terminal: Terminal) -> str:
    """Go through the five places, a form, the keys and the cards; tells all that was on the screen."""
    seen = []
    terminal.send(F5)
    terminal.wait_for("list ")
    for _ in range(9):
        terminal.send(UP)
        terminal.settle()
    for _ in range(9):
        seen.append(terminal.text)
        terminal.send(DOWN)
        terminal.pause(0.1)
    for _ in range(9):
        terminal.send(UP)
        terminal.settle()
    for key, words in ((F6, "What each control does"), (F7, "approve"), (F8, "new dive"), (F9, "in full"),
                       (F5, "list ")):  # fmt: skip
        terminal.send(key)
        terminal.wait_for(words)
        terminal.pause(0.3)
        seen.append(terminal.text)
    for key, words in (("d", "enter next line"), ("?", "more: page down"), (F2, "EMERGENCY")):
        terminal.send(key)
        terminal.wait_for(words)
        seen.append(terminal.text)
        terminal.send(ESCAPE)
        terminal.pause(0.3)
    return "\n".join(seen)


def states_said(shown: str) -> set[str]:
    """The states that stand in the group with both their mark and their word."""
    found = set()
    for state, mark in MARKS.items():
        word = state.replace("-", " ")
        if re.search(rf"^ [> ] {re.escape(mark)} A\d .* {word}\s*.?$", shown, re.MULTILINE):
            found.add(state)
    return found


def test_with_no_color_no_colour_is_sent_anywhere_and_every_state_is_a_mark_and_a_word(tmp_path):
    folder = logbook_with_every_state(tmp_path / "pond")
    terminal = Terminal.rovlog(folder, env={"NO_COLOR": "1"})
    try:
        terminal.wait_for("F2 emergency")
        shown = walk_all(terminal)
    finally:
        terminal.kill()
    assert list(colours(terminal.raw)) == []
    assert states_said(shown) == set(MARKS)


@pytest.mark.parametrize(("look", "presses", "ground"), [("bright sun", 1, WHITE), ("monochrome", 2, BLACK)])
def test_in_bright_sun_and_monochrome_only_black_and_white_are_sent(tmp_path, look, presses, ground):
    folder = logbook_with_every_state(tmp_path / "pond")
    terminal = Terminal.rovlog(folder)
    try:
        terminal.wait_for("F2 emergency")
        for _ in range(presses):
            terminal.send(F10)
            terminal.pause(0.5)
        terminal.wait_for(f"look: {look}")
        terminal.raw = b""
        shown = walk_all(terminal)
    finally:
        terminal.kill()
    sent = set(colours(terminal.raw))
    assert sent <= {BLACK, WHITE}
    assert sent
    assert states_said(shown) == set(MARKS)
    grounds = {
        cell.bg for row in terminal.screen.buffer.values() for cell in row.values() if not cell.reverse
    }
    assert ("ffffff" if ground == WHITE else "000000") in grounds


def test_the_reader_of_colours_sees_them_in_each_of_their_forms():
    raw = b"\x1b[1;31mred\x1b[0m\x1b[38;5;196mred\x1b[48;2;1;2;3mred\x1b[7;1mnone\x1b[104m"
    assert list(colours(raw)) == ["31", "38;[5, 196]", (1, 2, 3), "104"]
