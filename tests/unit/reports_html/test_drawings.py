"""Drawings: to scale, the right way round, and in words as well as shapes."""

from __future__ import annotations

import math
from datetime import UTC, datetime, timedelta
from itertools import pairwise

import html5lib
import pytest
from hypothesis import given
from hypothesis import strategies as st
from vehicles import configuration_of, puffin

from rovlog.domain.vehicle import Thruster
from rovlog.faces.reports.drawings.axes import round_ticks
from rovlog.faces.reports.drawings.fuse_band import fuse_band
from rovlog.faces.reports.drawings.qr import qr_code
from rovlog.faces.reports.drawings.shapes import Circle, Drawing, Line, Polygon, Text
from rovlog.faces.reports.drawings.svg import svg
from rovlog.faces.reports.drawings.thrusters import plan_view, push_words, side_view
from rovlog.faces.reports.drawings.timeline import Bar, Tick, time_line
from rovlog.faces.reports.drawings.trims import trim_history
from rovlog.faces.reports.drawings.values import Limit, Series, values_over_dives

PUFFIN = configuration_of(puffin())


def places(drawing: Drawing) -> dict[str, tuple[float, float]]:
    """Centres of the thrusters by the channels written in them."""
    circles = [s for s in drawing.shapes if isinstance(s, Circle) and s.radius == 10]
    texts = [s for s in drawing.shapes if isinstance(s, Text) and s.anchor == "middle" and s.bold]
    return {
        next(t.text for t in texts if math.dist((t.at[0], t.at[1] - 4), c.centre) < 1): c.centre
        for c in circles
    }


def test_the_plan_has_the_bow_up_the_page_and_starboard_to_the_right():
    at = places(plan_view(PUFFIN))
    assert at["1"][1] < at["4"][1]
    assert at["1"][0] < at["2"][0]


def test_the_plan_is_to_scale():
    at = places(plan_view(PUFFIN))
    by_channel = {str(t.channel): t.position_m for t in PUFFIN.thrusters}
    ratios = [
        math.dist(at[a], at[b]) / math.dist(by_channel[a][:2], by_channel[b][:2])
        for a, b in (("1", "2"), ("1", "4"), ("1", "3"), ("5", "6"))
    ]
    assert ratios == pytest.approx([ratios[0]] * 4)


def test_the_scale_bar_is_as_long_as_it_says():
    drawing = plan_view(PUFFIN)
    said = next(s for s in drawing.shapes if isinstance(s, Text) and s.text.endswith(" mm"))
    bar = next(s for s in drawing.shapes if isinstance(s, Line) and len(s.points) == 4)
    length_m = float(said.text.removesuffix(" mm")) / 1000
    at = places(drawing)
    scale = math.dist(at["1"], at["2"]) / 0.3  # 0.15 m to each side
    assert bar.points[2][0] - bar.points[1][0] == pytest.approx(length_m * scale)


def test_the_side_view_has_the_bow_to_the_right_and_puts_both_sides_in_one_place():
    at = places(side_view(PUFFIN))
    assert set(at) == {"1/2", "3/4", "5/6"}
    assert at["1/2"][0] > at["3/4"][0]
    assert at["5/6"][1] < at["1/2"][1]  # z of -0.03 is higher up


def test_a_drawing_says_every_thruster_with_its_way_in_words():
    says = plan_view(PUFFIN).says
    assert says[0] == "channel 1: bow-port, pushes ahead and to starboard"
    assert len(says) == 6


@pytest.mark.parametrize(
    ("sign", "direction", "words"),
    [
        (1, (1.0, 0.0, 0.0), "ahead"), (-1, (1.0, 0.0, 0.0), "astern"), (1, (0.0, 0.0, 1.0), "down"),
        (-1, (0.0, 0.0, 1.0), "up"), (1, (0.0, -1.0, 0.0), "to port"),
    ],
)  # fmt: skip
def test_polarity_turns_the_words_of_a_push(sign, direction, words):
    assert push_words(Thruster("t", "m", 1, sign, (0.0, 0.0, 0.0), direction)) == words


def test_values_are_higher_on_the_page_where_they_are_larger():
    drawing = values_over_dives(
        "Current", "A", [Series("measured", ((1, 5.0), (2, 9.0)))], [Limit("most", 12.0)]
    )
    dots = [s.centre for s in drawing.shapes if isinstance(s, Circle) and s.centre[0] < 490]
    limit = next(s for s in drawing.shapes if isinstance(s, Line) and s.dash)
    assert dots[0][1] > dots[1][1] > limit.points[0][1]
    assert dots[0][0] < dots[1][0]


def test_nothing_to_draw_is_no_drawing():
    assert values_over_dives("Current", "A", [Series("measured", ())], [Limit("most", 12.0)]) is None
    assert trim_history([(1, {}), (2, {})]) is None
    assert time_line([], []) is None


def test_a_trim_history_says_both_ways_in_words():
    drawing = trim_history([(1, {"heave": 0.05}), (2, {})])
    assert "heave: positive is down, negative up" in drawing.says


@given(st.floats(-1e4, 1e4), st.floats(1e-3, 1e4))
def test_ticks_lie_within_the_axis_evenly(low, span):
    ticks = round_ticks(low, low + span)
    assert len(ticks) <= 8
    assert all(low - 1e-6 * span <= t <= low + span * (1 + 1e-6) + 1e-9 for t in ticks)
    steps = [b - a for a, b in pairwise(ticks)]
    assert not steps or max(steps) == pytest.approx(min(steps), rel=1e-3, abs=1e-6)


def test_the_fuse_band_is_drawn_at_the_published_points():
    """At 200 % of the rating a blade fuse opens within 0.15 to 5 s (class table as quoted second-hand)."""
    drawing = fuse_band(10.0, 7.5, [("worst manoeuvre", 6.0)])
    band = next(s for s in drawing.shapes if isinstance(s, Polygon) and s.fill == "band")
    points = set(band.points)
    six = [p for p in points if sum(1 for q in points if abs(q[0] - p[0]) < 0.01) == 2]
    assert len(six) >= 10  # each current of the table has a shortest and a longest time
    worst = next(s for s in drawing.shapes if isinstance(s, Line) and s.shade == "mark")
    limit = next(s for s in drawing.shapes if isinstance(s, Line) and s.dash)
    assert worst.points[0][0] < limit.points[0][0] < min(p[0] for p in points)


START = datetime(2026, 5, 9, 10, 0, tzinfo=UTC)


@given(st.lists(st.integers(0, 5400), min_size=2, max_size=25, unique=True))
def test_no_two_words_on_the_time_line_overlap(seconds):
    ticks = [Tick(START + timedelta(seconds=s), f"mark {s}") for s in seconds]
    drawing = time_line(ticks, [])
    words = [s for s in drawing.shapes if isinstance(s, Text) and "mark" in s.text]
    assert len(words) == len(seconds)
    for number, one in enumerate(words):
        for other in words[number + 1 :]:
            wide = 0.56 * 10.5 * (len(one.text) + len(other.text)) / 2
            assert one.at[1] != other.at[1] or abs(one.at[0] - other.at[0]) >= wide


def test_a_stretch_without_an_end_says_so():
    drawing = time_line([Tick(START, "power on")], [Bar("power on", START, START + timedelta(hours=1), True)])
    assert any(isinstance(s, Text) and s.text == "power on, end not marked" for s in drawing.shapes)


def test_the_label_code_is_dark_where_the_standard_puts_its_corner_marks():
    """Finder patterns of 7 modules stand in three corners, 4 modules from the edge (ISO/IEC 18004)."""
    drawing = qr_code("grebe@1 sha256:" + "a1" * 32)
    bars = [s.points for s in drawing.shapes if isinstance(s, Polygon) and s.fill == "ink"]
    top = [p for p in bars if p[0][1] == 4]
    assert min(p[0][0] for p in top) == 4
    assert any(p[0][0] == 4 and p[1][0] == 11 for p in top)
    assert drawing.width == drawing.height


def test_svg_is_well_formed_and_read_out_by_its_title():
    root = html5lib.parseFragment(svg(plan_view(PUFFIN)))
    title = root.find(".//{http://www.w3.org/2000/svg}title")
    assert title is not None
    assert "channel 1: bow-port" in "".join(title.itertext())
