"""Blade fuses: the class table, the verdicts, and rules that are shown as what they are."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rovlog.domain.electrical.fuse import (
    continuous_limit_a,
    fuse_verdict,
    opening_band_s,
    rerating_share,
    rule_size_a,
)
from rovlog.domain.vehicle import Fuse
from rovlog.problems import OutOfRangeError

FUSE = Fuse(20.0)

CLASS_TABLE = [  # per cent of rating, shortest and longest in seconds
    # blade-fuse class table, ISO 8820-3 / SAE J1284, as quoted second-hand
    (110, 360000.0, None), (135, 0.75, None), (160, 0.25, 50.0), (200, 0.15, 5.0), (350, 0.08, 0.5),
    (600, 0.03, 0.1),
]  # fmt: skip


@pytest.mark.parametrize(
    ("per_cent", "shortest", "longest"), [row for row in CLASS_TABLE if row[0] not in (110, 135)]
)
def test_at_the_published_points_the_published_times_come_out(
    per_cent: int, shortest: float, longest: float
) -> None:
    found = fuse_verdict(FUSE, 20.0 * per_cent / 100)
    assert (found.shortest_s, found.longest_s, found.verdict) == (
        pytest.approx(shortest),
        pytest.approx(longest),
        "opens",
    )


def test_the_band_itself_has_the_published_ends_at_110_and_135_per_cent() -> None:
    assert opening_band_s(1.10) == (pytest.approx(360000.0), None)
    assert opening_band_s(1.35) == (pytest.approx(0.75), pytest.approx(600.0))


@pytest.mark.parametrize(
    ("current_a", "verdict"),
    [
        (15.0, "within-continuous"),
        (15.01, "above-continuous"),
        (22.0, "above-continuous"),
        (22.01, "may-open"),
        (27.0, "may-open"),
        (27.01, "opens"),
    ],
)
def test_each_verdict_reaches_to_its_share_of_the_rating(current_a: float, verdict: str) -> None:
    assert fuse_verdict(FUSE, current_a).verdict == verdict


@pytest.mark.parametrize("current_a", [0.0, 15.0, 20.0, 22.0])
def test_up_to_110_per_cent_there_is_no_time_at_all(current_a: float) -> None:
    found = fuse_verdict(FUSE, current_a)
    assert found.shortest_s is None
    assert found.longest_s is None


def test_a_fuse_that_may_open_has_a_shortest_time_and_no_longest() -> None:
    found = fuse_verdict(FUSE, 25.0)
    # a straight line between (110 %, 360000 s) and (135 %, 0.75 s) on logarithmic axes
    part = math.log(1.25 / 1.10) / math.log(1.35 / 1.10)
    assert found.shortest_s == pytest.approx(360000.0 ** (1 - part) * 0.75**part)
    assert found.longest_s is None


def test_beyond_the_last_point_it_may_open_at_once() -> None:
    found = fuse_verdict(FUSE, 130.0)
    assert (found.shortest_s, found.longest_s) == (0.0, 0.1)


def test_six_thrusters_at_5_a_run_some_ten_seconds_on_a_20_a_fuse_within_the_published_band() -> None:
    # a fact of the trade; common practice, no source
    found = fuse_verdict(FUSE, 6 * 5.0)
    assert found.shortest_s is not None
    assert found.longest_s is not None
    assert found.shortest_s < 10.0 < found.longest_s


def test_a_quarter_over_may_open_and_a_small_overload_is_carried() -> None:
    # a fact of the trade; common practice, no source
    assert fuse_verdict(FUSE, 25.0).verdict == "may-open"
    assert fuse_verdict(FUSE, 21.0).shortest_s is None


@given(st.floats(1.36, 8.0), st.floats(1.36, 8.0))
def test_more_current_never_takes_longer(a: float, b: float) -> None:
    low, high = fuse_verdict(FUSE, 20 * min(a, b)), fuse_verdict(FUSE, 20 * max(a, b))
    assert high.shortest_s <= low.shortest_s * (1 + 1e-12)
    assert high.longest_s <= low.longest_s * (1 + 1e-12)
    assert high.shortest_s < high.longest_s


@pytest.mark.parametrize(("ambient_c", "left_a"), [(20, 40), (65, 34), (85, 30), (110, 25), (125, 22)])
def test_the_stand_in_for_heat_meets_the_figures_it_is_taken_from(ambient_c: float, left_a: float) -> None:
    # re-rating of a 40 A large blade fuse, second-hand; half an ampere
    assert 40.0 * rerating_share(ambient_c) == pytest.approx(left_a, abs=0.5)


def test_a_hot_fuse_carries_less_for_ever() -> None:
    assert continuous_limit_a(FUSE) == pytest.approx(15.0)
    assert continuous_limit_a(FUSE, 65.0) == pytest.approx(0.85 * 15.0)
    assert fuse_verdict(FUSE, 15.0, ambient_c=65.0).verdict == "above-continuous"


@pytest.mark.parametrize(
    ("load_a", "size"), [(8.0, 15.0), (10.0, 15.0), (10.1, 20.0), (16.6, 25.0), (17.0, None)]
)
def test_the_sizing_rule_takes_the_next_size_and_stops_at_its_cap(load_a: float, size: float | None) -> None:
    # full load x 1.5, next standard size, 25 A cap: a competition-style rule of 2018, from memory
    assert rule_size_a(load_a) == size


@pytest.mark.parametrize(
    ("fuse", "current_a", "name"),
    [
        (Fuse(0.0), 1.0, "rating_a"),
        (Fuse(20.0, continuous_share=-1.0), 1.0, "continuous_share"),
        (FUSE, math.nan, "current"),
        (FUSE, -1.0, "current"),
    ],
)
def test_what_no_fuse_has_is_refused_by_name(fuse: Fuse, current_a: float, name: str) -> None:
    with pytest.raises(OutOfRangeError, match=name):
        fuse_verdict(fuse, current_a)


def test_a_temperature_beyond_the_figures_is_refused() -> None:
    with pytest.raises(OutOfRangeError, match="ambient"):
        rerating_share(140.0)
