"""Clamp readings: what is computed beside them, and the factor they propose for a thruster model."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from vehicles import configuration_of, puffin

from rovlog.domain.electrical.asked import asked_current
from rovlog.domain.electrical.model_fit import ThrusterReading, VehicleReading, fit_model, scaled_model
from rovlog.domain.electrical.sag import sag
from rovlog.domain.vehicle import ThrusterModel, ThrustPoint
from rovlog.problems import OutOfRangeError

MODEL = ThrusterModel(
    "m",
    12.0,
    (ThrustPoint(-1, -6, 3.0), ThrustPoint(-0.5, -2, 1.0), ThrustPoint(0.5, 2, 1.2), ThrustPoint(1, 8, 4.0)),
)


def test_what_a_demand_draws_is_the_operating_point_with_the_standing_loads_in_it() -> None:
    configuration = configuration_of(puffin())
    found = asked_current(configuration, {"heave": 1.0})
    point = sag(configuration, {5: 1.0, 6: 1.0}).point
    assert point is not None
    assert found.total_a == pytest.approx(point.current_a)
    assert found.standing_a == pytest.approx(0.35)
    assert sum(found.by_model.values()) + found.standing_a == pytest.approx(point.current_a)


def test_a_channel_driven_by_itself_draws_its_own_current_alone() -> None:
    configuration = configuration_of(puffin())
    one = asked_current(configuration, {}, {5: 1.0}).total_a
    two = asked_current(configuration, {}, {5: 1.0, 6: 1.0}).total_a
    assert one is not None
    assert two is not None
    assert 0.35 < one < two < 2 * one


def test_a_demand_beyond_full_is_refused_by_name() -> None:
    with pytest.raises(OutOfRangeError, match=r"heave is 1\.2"):
        asked_current(configuration_of(puffin()), {"heave": 1.2})
    with pytest.raises(OutOfRangeError, match="channel-5"):
        asked_current(configuration_of(puffin()), {}, {5: float("nan")})


def test_one_reading_at_full_command_and_rated_voltage_is_a_plain_ratio_without_uncertainty() -> None:
    fit = fit_model(MODEL, (), [ThrusterReading(1.0, 5.0)])
    assert fit.factor.value == pytest.approx(1.25)
    assert fit.factor.uncertainty is None


def test_at_another_voltage_the_table_is_read_at_its_share_and_the_driver_s_duty_counts() -> None:
    # duty 0.5 at 12 V is c = 0.5: 1.2 A; at 18 V it would be beyond the table
    assert fit_model(MODEL, (), [ThrusterReading(0.5, 1.2)]).factor.value == pytest.approx(1.0)
    # duty 1 at 6 V is c = 0.5: motor current 1.2 / 0.5, all of it from the supply
    assert fit_model(MODEL, (), [ThrusterReading(1.0, 2.4, 6.0)]).factor.value == pytest.approx(1.0)
    with pytest.raises(OutOfRangeError, match="supply_v"):
        fit_model(MODEL, (), [ThrusterReading(1.0, 2.4, 18.0)])


@settings(max_examples=25, deadline=None)
@given(st.floats(0.6, 1.6), st.lists(st.sampled_from([0.4, 0.6, 0.8, 1.0]), min_size=1, max_size=4))
def test_the_factor_that_made_the_readings_is_found_again_through_the_sag(
    factor: float, demands: list[float]
) -> None:
    configuration = configuration_of(puffin())
    model = configuration.models["heron-50"]
    true = {**configuration.models, "heron-50": scaled_model(model, factor)}
    really = replace(configuration, models=true)
    readings = []
    for heave in demands:
        read = asked_current(really, {"heave": heave}).total_a
        assert read is not None
        readings.append(VehicleReading(configuration, {"heave": heave}, {}, read))
    fit = fit_model(model, readings)
    assert fit.factor.value == pytest.approx(factor, rel=1e-5)


def test_readings_that_scatter_show_their_uncertainty() -> None:
    fit = fit_model(
        MODEL, (), [ThrusterReading(1.0, 4.4), ThrusterReading(1.0, 4.0), ThrusterReading(-1, 3.3)]
    )
    assert fit.factor.value == pytest.approx((4.4 * 4 + 4.0 * 4 + 3.3 * 3) / 41)
    assert fit.factor.uncertainty is not None
    assert fit.factor.uncertainty > 0.01


@pytest.mark.parametrize(
    ("reading", "said"),
    [
        (ThrusterReading(0.0, 1.0), "command 0"),
        (ThrusterReading(1.4, 1.0), "command of the reading"),
        (ThrusterReading(1.0, -1.0), "current read"),
        (ThrusterReading(1.0, float("nan")), "current read"),
    ],
)
def test_a_bench_reading_nothing_can_be_made_of_is_refused(reading: ThrusterReading, said: str) -> None:
    with pytest.raises(OutOfRangeError, match=said):
        fit_model(MODEL, (), [reading])


def test_a_reading_below_the_standing_loads_or_where_no_such_model_turns_is_refused() -> None:
    configuration = configuration_of(puffin())
    model = configuration.models["heron-50"]
    with pytest.raises(OutOfRangeError, match="less than all else draws"):
        fit_model(model, [VehicleReading(configuration, {"heave": 1.0}, {}, 0.2)])
    with pytest.raises(OutOfRangeError, match="no heron-50 turns"):
        fit_model(model, [VehicleReading(configuration, {}, {}, 3.0)])


def test_without_readings_there_is_nothing_to_scale_by() -> None:
    with pytest.raises(OutOfRangeError, match="no reading"):
        fit_model(MODEL)


def test_scaling_leaves_the_thrust_as_it_is() -> None:
    turned = scaled_model(MODEL, 1.3)
    assert [p.thrust_n for p in turned.points] == [p.thrust_n for p in MODEL.points]
    assert turned.points[0].current_a == pytest.approx(3.9)
