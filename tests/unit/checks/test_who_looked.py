"""Every answered line names both people who looked, and says so where it was one person twice."""

from __future__ import annotations

import pytest
from poolside import ALONE, Poolside
from rich.text import Text

from rovlog.faces.reports.dive_text import dive_data, dive_text
from rovlog.faces.reports.pages.dive_page import dive_page
from rovlog.faces.reports.pages.text import page_text
from rovlog.faces.screens.drawing import Pen
from rovlog.faces.screens.group_page import item_line
from rovlog.faces.screens.looks import DARK
from rovlog.usecases.report_dive import report_dive

ALONE_WORDS = "ines, one person, looked twice"


@pytest.fixture
def two():
    """A dive whose seals were looked at by two people."""
    pool = Poolside().dive()
    pool.tick("seals", "otto")
    pool.tick("seals", "ruth", is_second=True)
    return pool


@pytest.fixture
def one():
    """A dive of a crew of one, who looked at the seals twice."""
    pool = Poolside().dive(crew=ALONE)
    pool.tick("seals", "ines")
    pool.tick("seals", "ines", is_second=True)
    return pool


def shown(pool: Poolside) -> str:
    text = dive_text(pool.state(), str)
    return next(line for line in text.splitlines() if "✓" in line)


def reported(pool: Poolside) -> str:
    return " ".join(page_text(dive_page(report_dive(pool.logbook, pool.record_id), str)).split())


def in_the_app(pool: Poolside, width: int) -> str:
    state = pool.state()
    line: Text = item_line(state.fold.items["seals"], state.items["seals"], width, Pen(DARK), False)
    return line.plain


def test_dive_show_names_both(two, one):
    assert "otto, then ruth" in shown(two)
    assert ALONE_WORDS in shown(one)


def test_the_dive_report_names_both(two, one):
    assert "otto, then ruth" in reported(two)
    assert ALONE_WORDS in reported(one)


@pytest.mark.parametrize("width", [78, 120])
def test_the_line_of_the_app_names_both(two, one, width):
    assert "otto, then ruth" in in_the_app(two, width)
    assert ALONE_WORDS in in_the_app(one, width)


def test_as_data(two, one):
    of_two, of_one = (dive_data(p.state())["items"]["seals"] for p in (two, one))
    assert (of_two["by"], of_two["second_by"], of_two["is_alone"]) == ("otto", "ruth", False)
    assert (of_one["by"], of_one["second_by"], of_one["is_alone"]) == ("ines", "ines", True)


def test_one_persons_answer_names_nobody_else():
    pool = Poolside().dive()
    pool.tick("swimmers", "otto")
    assert "then" not in shown(pool).partition(":")[2]
