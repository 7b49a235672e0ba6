"""The place Configuration: what fits its column, limits beside what they limit, and readings beside sums."""

from __future__ import annotations

import re

import pytest
from driving_app import Driver, drive, logbook_in_memory, start

from rovlog.faces.screens.configuration import PAGES
from rovlog.faces.screens.lines import Lines
from rovlog.usecases.dive_steps import log_reading
from rovlog.usecases.logbook import Logbook


def column(d: Driver, name: str) -> list[str]:
    """What stands in one of the three columns, row by row."""
    lines = d.app.screen.query_one(f"#{name}", Lines)
    left, right = lines.region.x, lines.region.right
    return [row.ljust(right)[left:right] for row in d.text.splitlines()[lines.region.y : lines.region.bottom]]


@pytest.mark.parametrize("height", [45, 50])
@pytest.mark.parametrize("width", [140, 160])
@pytest.mark.parametrize("pushes", [(), ("space",), ("space", "down", "space", "down", "space")])
def test_where_there_is_room_no_column_is_cut(width, height, pushes):
    book = logbook_in_memory()
    start(book)

    async def script(d: Driver) -> None:
        await d.press("f6", *pushes)
        for name in PAGES:
            lines = d.app.screen.query_one(f"#{name}", Lines)
            assert not lines.is_cut, name
        legend = " ".join(" ".join(column(d, "thrusters")).split())
        assert "○ at rest" in legend
        assert "side from starboard: bow right" in legend

    drive(book, script, (width, height))


@pytest.mark.parametrize(
    ("size", "to_the_page"), [((140, 45), ()), ((80, 24), ("right", "right", "pagedown"))]
)
def test_each_thruster_is_named_in_full_and_apart_from_its_numbers(size, to_the_page):
    book = logbook_in_memory()
    start(book)

    async def script(d: Driver) -> None:
        await d.press("f6", *to_the_page)
        rows = "\n".join(column(d, "sticks"))
        for number, name in enumerate(
            (
                "bow-port",
                "bow-starboard",
                "stern-port",
                "stern-starboard",
                "vertical-port",
                "vertical-starboard",
            ),
            start=1,
        ):
            assert re.search(rf"^ {number} {name} +[+-]\d\.\d\d ", rows, re.MULTILINE), rows
        assert re.search(r"command +thrust N +A of 6\b", rows)

    drive(book, script, size)


def test_what_is_limited_stands_beside_its_limit():
    book = logbook_in_memory()
    start(book)

    async def script(d: Driver) -> None:
        await d.press("f6")
        words = " ".join(" ".join(column(d, "words")).split())
        assert re.search(r"fuse rating 15 A, at worst [\d.]+ A \(computed\): within continuous", words)
        assert re.search(r"channels limit 6 A each, at worst [\d.]+ A \(computed\)", words)
        assert "measured nothing yet" in words

    drive(book, script, (140, 45))


@pytest.mark.parametrize("size", [(140, 45), (80, 24)])
def test_a_clamp_meters_reading_stands_beside_the_computed_figure_and_which_is_which(size):
    book = logbook_in_memory()
    dive = start(book)
    logbook = Logbook(book)
    log_reading(logbook, logbook.record(dive), "clamp-meter", {"current_a": 6.4, "surge": 1.0}, by="rolf")

    async def script(d: Driver) -> None:
        await d.press("f6")
        words = " ".join(" ".join(column(d, "words")).split())
        await d.press("pagedown")
        words += " ".join(" ".join(column(d, "words")).split())
        found = re.search(r"measured 6\.4 A by clamp meter on 2026-06-13, beside ([\d.]+) A computed", words)
        assert found, words
        if size[0] < 120:
            await d.press("right", "right", "pagedown", "pagedown")
        rows = "\n".join(column(d, "sticks"))
        assert re.search(r"day, at what +measured +computed", rows)
        assert re.search(rf"06-13 clamp meter +6\.4 +{re.escape(found[1])}", rows), rows
        await d.press("b")
        words = d.text
        for _ in range(5):
            await d.press("pagedown")
            words += d.text
        assert "Measured with a clamp meter" in " ".join(words.split())

    drive(book, script, size)


def test_thrusters_at_one_spot_of_a_view_stand_side_by_side_within_the_page():
    book = logbook_in_memory()
    start(book)

    async def script(d: Driver) -> None:
        await d.press("f6", "space")
        side = "\n".join(column(d, "thrusters")).split("side from starboard")[1]
        assert re.search(r"3.4", side)
        assert re.search(r"1.2.*▶", side)

    drive(book, script, (140, 45))
