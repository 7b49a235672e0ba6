"""Every item's page: folded to its width, complete where the font is doubled."""

from __future__ import annotations

import re

import pytest
from driving_app import Driver, drive, logbook_in_memory, start

from rovlog.faces.reports.check_text import limit_sentence
from rovlog.faces.reports.plain import clean
from rovlog.faces.screens.desk import Desk
from rovlog.faces.screens.drawing import Pen
from rovlog.faces.screens.fields import Fields, known_proposals
from rovlog.faces.screens.item_page import ItemView, item_page
from rovlog.faces.screens.looks import DARK
from rovlog.faces.screens.walk import next_step, steps_of, where_it_stopped


@pytest.fixture(scope="module")
def state():
    book = logbook_in_memory()
    start(book)
    found = Desk(book).begin().state
    assert found is not None
    return found


def pages(state, width, height):
    for step in steps_of(state):
        if step.item is not None:
            fields = Fields(step.item, known_proposals(step.item, state))
            view = ItemView(state, step, fields, "ines", "supervisor", False, None)
            yield step.item, item_page(view, width, height, Pen(DARK))


@pytest.mark.parametrize("width", [38, 58, 77, 90])
def test_no_line_is_wider_than_its_page(state, width):
    for item, lines in pages(state, width, 12):
        assert all(line.cell_len <= width for line in lines), item.item


def test_at_forty_by_twelve_nothing_of_the_step_is_missing(state):
    for item, lines in pages(state, 38, 9):
        shown = " ".join(" ".join(line.plain for line in lines).split())
        assert all(word in shown for word in clean(item.challenge).split()), item.item
        assert " ".join(item.response.split()) in shown, item.item
        assert " ".join(item.why.split()) in shown, item.item
        if item.caution is not None:
            said = item.caution.text[:20]
            assert shown.index(said) < shown.index(clean(item.challenge)[:14]), item.item


PAGED = {
    "deck", "mains", "fuse", "source", "vacuum-pulled", "laptop-on-battery", "hands-clear", "direction",
    "hardest-manoeuvre", "opening", "battery-away",
}  # fmt: skip
"""Items whose caution and response are too long for nine lines with all the rest."""


def step_words(item, fields, state):
    """What the step needs, as words: caution, challenge, response, the limit of the field in hand, why."""
    said = [item.challenge, item.response, item.why, item.caution.text if item.caution else ""]
    if fields.ask is not None:
        said.append(limit_sentence(fields.ask, state.resolved, state.computed, is_short=True))
        said += [option.replace("-", " ") for option in fields.options]
    return [" ".join(clean(words).split()) for words in said if words]


def page_words(d):
    """The words of the item's page, without the strip and the keys."""
    rows = [row.split("more: page down")[0] for row in d.text.splitlines()[2:-1]]
    return " ".join(" ".join(rows).split())


def has_all(words, item, fields, state):
    """True where all of it can be read; the item's state stands at the end of the challenge's first line."""
    place = re.sub(r" . (open|expired) \d+/\d+", "", words)
    return all(each in place for each in step_words(item, fields, state))


def test_at_forty_by_twelve_ninety_four_of_105_steps_are_complete_on_one_page(monkeypatch):
    # As each is when its turn has come: before that a hold point's reason stands where the answer will be.
    monkeypatch.setattr("rovlog.faces.screens.checks.may_answer", lambda *_: None)
    book = logbook_in_memory()
    start(book)
    items, paged, unsaid = 0, set(), []

    async def script(d: Driver) -> None:
        nonlocal items
        for step in steps_of(d.state):
            if step.item is None:
                continue
            items += 1
            await d.go_to(step.id)
            if not has_all(page_words(d), step.item, d.checks.fields, d.state):
                paged.add(step.id)
                if "more: page down" not in d.text:
                    unsaid.append(step.id)

    drive(book, script, (40, 12))
    assert items == 105
    assert paged == PAGED
    assert not unsaid


def test_a_step_that_is_paged_shows_its_caution_first_and_the_rest_a_page_down():
    book = logbook_in_memory()
    start(book)

    async def script(d: Driver) -> None:
        for name in sorted(PAGED):
            await d.go_to(name)
            item = d.item
            assert item is not None
            first = page_words(d)
            assert item.caution is not None
            assert " ".join(item.caution.text.split()) in first, name
            assert item.challenge.split()[0] in first, name
            await d.press("pagedown")
            assert " ".join(item.why.split()) in page_words(d), name

    drive(book, script, (40, 12))


def test_at_eighty_by_twenty_four_the_challenge_stands_in_one_row_for_every_item(state):
    rows = set()
    for item, lines in pages(state, 77, 12):
        place = next(i for i, line in enumerate(lines) if clean(item.challenge)[:30] in line.plain and i > 0)
        if len(lines) < 12:
            rows.add(place)
    assert rows == {4}


TALLER_HEADS = {"mains", "fuse", "vacuum-port", "setup-readback", "direction"}
"""Items that a second person answers and whose response takes two lines: the answer stands a line lower."""


def answer_row(d):
    """The row of the screen on which the answer of the item in hand begins."""
    marks = ("> ", "  answer ", "  release ", "  waits ")
    rows = d.text.splitlines()
    here = next(i for i, row in enumerate(rows) if i > 3 and row[1:].startswith(marks))
    return here - d.checks.fields.here


@pytest.mark.parametrize("size", [(80, 24), (140, 45)])
def test_the_answer_stands_in_one_row_from_item_to_item(size):
    book = logbook_in_memory()
    start(book)
    rows = {}

    async def script(d: Driver) -> None:
        for step in steps_of(d.state):
            if step.item is not None and not step.item.timers:
                await d.go_to(step.id)
                if d.checks.fields.here == 0:
                    rows[step.id] = answer_row(d)

    drive(book, script, size)
    usual = {row for name, row in rows.items() if name not in TALLER_HEADS}
    assert len(usual) == 1, {n: r for n, r in rows.items() if r != min(usual)}
    assert len(rows) >= 95


def test_at_each_key_the_strip_the_answer_and_the_keys_keep_their_rows():
    book = logbook_in_memory()
    start(book)

    def places(d: Driver) -> tuple[int, int, int, int]:
        rows = d.text.splitlines()
        places_line = next(i for i, row in enumerate(rows) if "F5 Checks" in row)
        keys_line = next(i for i, row in enumerate(rows) if "F2 emergency" in row)
        strip = next(i for i, row in enumerate(rows) if "G R E B E" in row)
        return strip, places_line, answer_row(d), keys_line

    async def script(d: Driver) -> None:
        await d.go_to("rescue-gear")
        seen, items = [places(d)], [d.item.item]
        for name in ("enter", "3", "comma", "5", "enter", "6", "tab", "0", "comma", "8"):
            await d.press(name)
            seen.append(places(d))
            if d.item.item not in items:
                items.append(d.item.item)
        assert items == ["rescue-gear", "deck", "site-limits"]
        assert set(seen) == {seen[0]}

    drive(book, script)


def test_a_limit_stands_beside_the_field_it_belongs_to():
    book = logbook_in_memory()
    start(book)

    async def script(d: Driver) -> None:
        await d.go_to("site-limits")
        rows = [row[:93].rstrip() for row in d.text.splitlines()]
        found = [
            next(row for row in rows if row.startswith(f"   {name}"))
            for name in ("visibility", "flow", "wind")
        ]
        assert [row.split("limit ")[1] for row in found] == [
            "at least 0.5 m (project default)",
            "at most 0.3 m/s (project default)",
            "at most 10 m/s (project default)",
        ]
        first = next(row for row in rows if row.startswith(" > deepest point planned"))
        assert "limit at most 18 m" in first
        assert len({row.index("limit ") for row in (first, *found)}) == 1

    for size in ((80, 24), (140, 45)):
        drive(book, script, size)


def test_the_walk_reaches_every_item_that_is_open_and_may_be_answered(state):
    seen, here = [], ""
    step = where_it_stopped(state)
    while step is not None and step.id not in seen:
        seen.append(step.id)
        here = step.id
        step = next_step(state, here)
    assert seen[0] == "swimmers"
    assert "release-power-on" in seen
    assert "power-on" not in seen
