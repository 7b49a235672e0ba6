"""Peukert's rule against a printed table, and a run time that keeps its reserve."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rovlog.domain.electrical.endurance import (
    Phase,
    endurance,
    peukert_exponent,
    peukert_hours,
    usual_profile,
)
from rovlog.domain.vehicle import Supply
from rovlog.problems import OutOfRangeError

CURRENTS_A = (5, 10, 16.7, 25, 50, 75, 100, 150, 200, 250, 300, 400, 500)
PRINTED = {  # per cent of 100 Ah (20 h) delivered; a battery monitor's manual, page 27, truncated in print
    1.1: (100, 93, 88, 85, 79, 76, 74, 71, 69, 67, 66, 64, 63),
    1.2: (100, 87, 78, 72, 63, 58, 55, 51, 48, 46, 44, 42, 40),
    1.25: (100, 84, 74, 67, 56, 51, 47, 42, 40, 37, 36, 33, 32),
    1.3: (100, 81, 69, 62, 50, 44, 41, 36, 33, 31, 30, 27, 25),
    1.4: (100, 76, 61, 52, 40, 34, 30, 26, 23, 21, 20, 17, 16),
    1.5: (100, 71, 55, 45, 32, 26, 22, 18, 16, 14, 13, 11, 10),
}


@pytest.mark.parametrize("exponent", PRINTED)
def test_capacity_delivered_meets_the_printed_table(exponent: float) -> None:
    for current_a, per_cent in zip(CURRENTS_A, PRINTED[exponent], strict=True):
        delivered = current_a * peukert_hours(100.0, 20.0, exponent, current_a)
        assert delivered == pytest.approx(per_cent, abs=1.1)  # the print truncates some cells


def test_the_short_form_of_the_rule_is_not_what_is_used() -> None:
    # C / I^k with the 20-hour capacity gives 5.62 h where the rated-rate form gives 8.409 h
    assert peukert_hours(100.0, 20.0, 1.25, 10.0) == pytest.approx(8.409, abs=1e-3)


def test_the_exponent_follows_from_two_discharges() -> None:
    assert peukert_exponent(5.0, 20.0, 10.0, 8.409) == pytest.approx(1.25, abs=1e-3)


def test_below_the_rated_current_no_more_than_the_rated_capacity_is_counted_on() -> None:
    assert peukert_hours(100.0, 20.0, 1.3, 1.0) == pytest.approx(100.0)


def test_the_reserve_is_inside_the_headline() -> None:
    supply = Supply("battery", 12.6, capacity_ah=20.0, rated_hours=20.0, peukert_exponent=1.0)
    found = endurance(supply, [Phase(1.0, 10.0)], reserve_share=0.2)
    assert found is not None
    assert found.run_time_min == pytest.approx(0.8 * 120.0)
    assert found.is_assumed == ()


def test_what_the_record_does_not_say_is_named_as_assumed() -> None:
    supply = Supply("battery", 12.6, capacity_ah=20.0, chemistry="lead-acid")
    found = endurance(supply, usual_profile(1.0, 15.0))
    assert found is not None
    assert found.is_assumed == ("rated_hours", "peukert_exponent")


def test_a_supply_without_a_capacity_has_no_run_time() -> None:
    assert endurance(Supply("regulated", 12.0), [Phase(1.0, 5.0)]) is None
    assert endurance(Supply("battery", 12.0), [Phase(1.0, 5.0)]) is None


@given(st.floats(0.1, 60.0), st.floats(1.0, 1.5), st.floats(1.05, 3.0))
def test_more_current_never_lasts_longer(current_a: float, exponent: float, factor: float) -> None:
    longer = peukert_hours(24.0, 20.0, exponent, current_a)
    assert peukert_hours(24.0, 20.0, exponent, current_a * factor) < longer


def test_shares_of_time_that_do_not_sum_to_one_are_refused() -> None:
    supply = Supply("battery", 12.6, capacity_ah=20.0)
    with pytest.raises(OutOfRangeError, match="shares of time"):
        endurance(supply, [Phase(0.5, 10.0)])


@pytest.mark.parametrize(
    ("arguments", "name"),
    [((0.0, 20.0, 1.1, 5.0), "capacity_ah"), ((20.0, 20.0, 0.5, 5.0), "peukert_exponent")],
)
def test_what_no_battery_has_is_refused_by_name(arguments: tuple[float, ...], name: str) -> None:
    with pytest.raises(OutOfRangeError, match=name):
        peukert_hours(*arguments)
