"""Vacuum hold against the gas law, and what it refuses."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rovlog.domain.hydrostatics.vacuum import VacuumReading, vacuum_hold
from rovlog.problems import OutOfRangeError


def hold(start, start_c, end, end_c, **kwargs):
    return vacuum_hold(VacuumReading(start, start_c), VacuumReading(end, end_c), **kwargs)


def test_a_heated_cylinder_reads_what_the_textbook_says():
    # OpenStax Chemistry, example 9.5: 360 kPa at 24 C is 390 kPa at 50 C. As a hold: no rise.
    # The readings are far outside a housing's, so the gas law is checked on scaled ones (60 kPa for 360).
    start = VacuumReading(101.325 - 60.0, 24.0)
    end = VacuumReading(101.325 - 65.0, 50.0)
    # The book rounds to 390 from 391.5 kPa, 0.4 %.
    assert vacuum_hold(start, end).corrected_rise_kpa == pytest.approx(0.0, abs=65.0 * 0.005)


def test_a_cooling_housing_without_a_leak_shows_no_rise():
    # Ideal gas law, worked: 70.0 kPa absolute at 25 C is 67.6522 kPa absolute at 15 C.
    result = hold(101.325 - 70.0, 25.0, 101.325 - 67.6522, 15.0)
    assert result.corrected_rise_kpa == pytest.approx(0.0, abs=1e-4)
    assert result.apparent_rise_kpa == pytest.approx(-2.3478, abs=1e-4)
    assert result.verdict == "held"


def test_a_warm_up_that_imitates_a_leak_is_corrected():
    # Ideal gas law, worked: 15 inHg below 101.325 kPa (50.5292 kPa absolute, NIST SP 811) at 20 C,
    # read as 51.6 kPa absolute at 24 C: corrected 50.9054, a true rise of 0.3762 kPa.
    result = hold(50.7958, 20.0, 101.325 - 51.6, 24.0)
    assert result.start_absolute_kpa == pytest.approx(50.5292, abs=1e-4)
    assert result.corrected_rise_kpa == pytest.approx(0.3762, abs=1e-4)
    assert result.apparent_rise_kpa == pytest.approx(1.0708, abs=1e-4)
    assert result.verdict == "held"


def test_correcting_gauge_figures_would_give_another_answer():
    # The trap: -50.7958 kPa gauge times 297.15 / 293.15 is -51.4889; the right answer is -50.1063.
    result = hold(50.7958, 20.0, 50.1063, 24.0)
    assert result.corrected_rise_kpa == pytest.approx(0.0, abs=2e-4)


def test_one_kelvin_moves_a_quarter_kilopascal_at_76_kpa_absolute():
    result = hold(25.325, 20.0, 25.325, 21.0)
    assert result.corrected_rise_kpa == pytest.approx(-0.26, abs=0.005)


def test_a_falling_barometer_is_no_leak():
    start = VacuumReading(25.0, 20.0, outside_kpa=101.8)
    end = VacuumReading(23.8, 20.0, outside_kpa=100.6)
    assert vacuum_hold(start, end).corrected_rise_kpa == pytest.approx(0.0, abs=1e-9)


def test_a_clear_leak_is_lost():
    result = hold(25.0, 20.0, 21.0, 20.0)
    assert result.verdict == "lost"
    assert result.margin_kpa == pytest.approx(-3.0)
    assert "above the limit" in result.reason


def test_a_rise_close_to_the_limit_cannot_be_judged():
    result = hold(25.0, 20.0, 24.1, 20.0)
    assert result.verdict == "cannot-judge"
    assert result.uncertainty_kpa > abs(result.margin_kpa)


def test_better_instruments_judge_the_same_readings():
    result = hold(25.0, 20.0, 24.1, 20.0, gauge_uncertainty_kpa=0.02, thermometer_uncertainty_k=0.05)
    assert result.verdict == "held"


def test_a_vacuum_smaller_than_the_limit_cannot_be_judged():
    assert hold(0.9, 20.0, 0.9, 20.0).verdict == "cannot-judge"


def test_a_vacuum_that_deepens_by_itself_cannot_be_judged():
    result = hold(25.0, 20.0, 28.0, 20.0)
    assert result.verdict == "cannot-judge"
    assert "a reading is wrong" in result.reason


def test_the_uncertainty_is_the_scatter_of_uncertain_readings():
    # A second way: move each reading by its standard uncertainty and add the shifts in squares.
    base = hold(25.0, 20.0, 24.0, 26.0, gauge_uncertainty_kpa=0.2, thermometer_uncertainty_k=0.3)
    shifted = [
        hold(25.2, 20.0, 24.0, 26.0),
        hold(25.0, 20.3, 24.0, 26.0),
        hold(25.0, 20.0, 24.2, 26.0),
        hold(25.0, 20.0, 24.0, 26.3),
    ]
    scatter = math.sqrt(sum((s.corrected_rise_kpa - base.corrected_rise_kpa) ** 2 for s in shifted))
    assert base.uncertainty_kpa == pytest.approx(2 * scatter, rel=0.005)


def test_a_rise_over_twice_the_usual_is_named_though_it_held():
    result = hold(25.0, 20.0, 24.5, 20.0, earlier_rises_kpa=[9.0, 0.02, 0.01, 0.03, 0.02, 0.02])
    assert result.verdict == "held"
    assert result.usual_kpa == pytest.approx(0.02)
    assert result.is_unusual
    assert not hold(25.0, 20.0, 24.5, 20.0, earlier_rises_kpa=[0.4, 0.5]).is_unusual


@given(st.floats(20, 40), st.floats(0, 40), st.floats(0, 40), st.floats(0, 5))
def test_the_verdict_never_contradicts_the_rise(start, start_c, end_c, loss):
    result = hold(start, start_c, start - loss, end_c)
    if result.verdict == "held":
        assert result.corrected_rise_kpa + result.uncertainty_kpa <= result.limit_kpa
    if result.verdict == "lost":
        assert result.corrected_rise_kpa - result.uncertainty_kpa > result.limit_kpa


@pytest.mark.parametrize("which", ["start", "end"])
def test_a_reading_that_looks_absolute_is_refused_with_the_figure_to_give(which):
    readings = {"start": 25.3, "end": 25.0} | {which: 76.0}
    with pytest.raises(OutOfRangeError, match=f"{which}_below_kpa.*looks like an absolute") as error:
        hold(readings["start"], 20.0, readings["end"], 20.0)
    assert "25.3" in error.value.mend


@pytest.mark.parametrize(
    ("start", "start_c", "end", "end_c", "name"),
    [
        (-25.0, 20.0, 24.0, 20.0, "start_below_kpa"),
        (0.0, 20.0, 0.0, 20.0, "start_below_kpa"),
        (25.0, 20.0, -24.0, 20.0, "end_below_kpa"),
        (math.nan, 20.0, 24.0, 20.0, "start_below_kpa"),
        (25.0, 293.0, 24.0, 20.0, "start_c"),
        (25.0, 20.0, 24.0, math.inf, "end_c"),
    ],
)
def test_impossible_readings_are_refused_by_name(start, start_c, end, end_c, name):
    with pytest.raises(OutOfRangeError, match=name):
        hold(start, start_c, end, end_c)


def test_an_outside_pressure_in_another_unit_is_refused_by_name():
    with pytest.raises(OutOfRangeError, match="outside_end_kpa"):
        vacuum_hold(VacuumReading(25.0, 20.0), VacuumReading(25.0, 20.0, outside_kpa=1013.0))
