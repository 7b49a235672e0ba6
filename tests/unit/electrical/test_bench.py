"""Bench readings: resistances with their uncertainty, heat, and the time to a limit."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rovlog.domain.electrical.bench import LoadStep, channel_check, conduction_loss_w, model_scale, supply_fit
from rovlog.domain.electrical.heat import Warming, warming
from rovlog.problems import OutOfRangeError


def test_two_load_steps_give_the_resistance_but_no_uncertainty() -> None:
    found = supply_fit([LoadStep(12.6, 0.0), LoadStep(12.2, 10.0)])
    assert found.open_circuit_v.value == pytest.approx(12.6)
    assert found.resistance_ohm.value == pytest.approx(0.04)
    assert found.resistance_ohm.uncertainty is None


def test_scatter_shows_as_the_standard_error_of_the_line() -> None:
    # readings 10 mV off a line of 0.05 ohm: residuals +10, -20, +10 mV; s^2 = 6e-4 / 1; Sxx = 50
    steps = [LoadStep(12.51, 0.0), LoadStep(12.23, 5.0), LoadStep(12.01, 10.0)]
    found = supply_fit(steps)
    assert found.resistance_ohm.value == pytest.approx(0.05)
    assert found.resistance_ohm.uncertainty == pytest.approx(math.sqrt(6e-4 / 50.0))


@settings(max_examples=50)
@given(
    st.floats(10, 15), st.floats(0.0, 0.5), st.lists(st.integers(0, 15), min_size=3, max_size=8, unique=True)
)
def test_readings_on_a_line_give_the_line_back(open_v: float, ohm: float, amps: list[int]) -> None:
    found = supply_fit([LoadStep(open_v - ohm * a, a) for a in amps])
    assert found.resistance_ohm.value == pytest.approx(ohm, abs=1e-9)
    assert found.resistance_ohm.uncertainty == pytest.approx(0.0, abs=1e-6)


@pytest.mark.parametrize(
    "steps",
    [[], [LoadStep(12.0, 5.0)], [LoadStep(12.0, 5.0), LoadStep(12.1, 5.0)]],
)
def test_too_few_load_steps_are_refused_with_what_to_do(steps: list[LoadStep]) -> None:
    with pytest.raises(OutOfRangeError, match="different currents") as refused:
        supply_fit(steps)
    assert "at least two steps" in refused.value.mend


@pytest.mark.parametrize("reading", [math.nan, -1.0, math.inf])
def test_a_reading_that_is_no_number_is_refused_by_its_place(reading: float) -> None:
    with pytest.raises(OutOfRangeError, match="voltage_v of load step 2"):
        supply_fit([LoadStep(12.0, 1.0), LoadStep(reading, 5.0)])


def test_a_channel_within_a_fifth_of_its_record_agrees() -> None:
    drops = [LoadStep(0.21, 2.0), LoadStep(0.42, 4.0)]
    assert channel_check(drops, 0.1).agrees
    assert not channel_check(drops, 0.05).agrees


def test_losses_are_the_square_of_the_current_times_the_resistance() -> None:
    assert conduction_loss_w(10.0, 0.005) == pytest.approx(0.5)
    assert conduction_loss_w(8.0, 2 * 0.006 * 1.5) == pytest.approx(1.152)  # two legs, 1.5 times hot
    assert conduction_loss_w(5.0, 0.07) < 2.0  # a fact of the trade; common practice, no source


def test_a_heater_of_2_2_ohm_draws_a_little_over_5_a_from_12_v() -> None:
    # a fact of the trade; common practice, no source: 12 V behind some 0.05 ohm
    found = supply_fit([LoadStep(12.0, 0.0), LoadStep(12.0 - 0.05 * 5.333, 5.333)])
    assert 5.0 < found.open_circuit_v.value / (2.2 + found.resistance_ohm.value) < 5.5


def test_a_model_s_scale_is_read_against_computed() -> None:
    found = model_scale([(5.0, 5.5), (10.0, 11.0)])
    assert found.value == pytest.approx(1.1)
    assert found.uncertainty == pytest.approx(0.0, abs=1e-9)


def test_a_scale_without_any_computed_current_is_refused() -> None:
    with pytest.raises(OutOfRangeError, match="computed current"):
        model_scale([(0.0, 1.0)])


@pytest.mark.parametrize(("time_constant_s", "rise_k"), [(30.0, 40.0), (240.0, 25.0), (1500.0, 60.0)])
def test_first_order_warming_is_found_again_from_its_readings(time_constant_s: float, rise_k: float) -> None:
    true = Warming(18.0, rise_k, time_constant_s, 0.0, True)
    found = warming([(t, true.at_c(t)) for t in range(0, 1201, 60)])
    assert found.time_constant_s == pytest.approx(time_constant_s, rel=1e-4)
    assert found.end_c == pytest.approx(18.0 + rise_k, abs=0.01)
    assert found.scatter_k < 1e-4


def test_the_time_to_a_limit_is_where_the_curve_crosses_it() -> None:
    curve = Warming(20.0, 60.0, 100.0, 0.0, True)
    reached = curve.time_to_s(65.0)
    assert reached == pytest.approx(-100.0 * math.log(1.0 - 45.0 / 60.0))
    assert curve.at_c(reached) == pytest.approx(65.0)


def test_a_limit_above_where_it_settles_is_never_reached() -> None:
    assert Warming(20.0, 60.0, 100.0, 0.0, True).time_to_s(80.0) is None


def test_a_start_at_the_limit_leaves_no_time() -> None:
    assert Warming(85.0, 5.0, 100.0, 0.0, True).time_to_s(80.0) == 0.0


def test_readings_that_end_early_are_said_not_to_have_settled() -> None:
    true = Warming(18.0, 40.0, 900.0, 0.0, True)
    assert not warming([(t, true.at_c(t)) for t in range(0, 301, 30)]).is_settled


def test_two_readings_are_too_few_to_see_warming() -> None:
    with pytest.raises(OutOfRangeError, match="fewer than three"):
        warming([(0.0, 18.0), (60.0, 25.0)])
