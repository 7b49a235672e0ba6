"""Every item's page: folded to its width, complete where the font is doubled."""

from __future__ import annotations

import pytest
from driving_app import logbook_in_memory, start

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


def test_at_forty_by_twelve_caution_challenge_and_answer_stand_on_one_screen_for_most(state):
    """Project default: nine lines hold the step itself; why and touch may be one page down."""
    over = []
    for item, lines in pages(state, 38, 9):
        ends = next(i for i, line in enumerate(lines) if line.plain.startswith("why "))
        if ends > 9:
            over.append(item.item)
    assert len(over) <= 0.25 * sum(1 for _ in pages(state, 38, 9)), over


def test_at_eighty_by_twenty_four_the_challenge_stands_in_one_row_for_every_item(state):
    rows = set()
    for item, lines in pages(state, 77, 12):
        place = next(i for i, line in enumerate(lines) if clean(item.challenge)[:30] in line.plain and i > 0)
        if len(lines) < 12:
            rows.add(place)
    assert rows == {4}


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
