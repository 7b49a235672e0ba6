"""Voltage under load: closed forms, both places of the box, supplies that give no more, and no answer."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from vehicles import (
    box_document,
    configuration_of,
    configurations,
    electrical_document,
    model_document,
    puffin,
    thruster_document,
    vehicle_document,
)

from rovlog.domain.electrical.motor import Driven, motor_table
from rovlog.domain.electrical.sag import Sag, sag
from rovlog.domain.electrical.worst_case import worst_case
from rovlog.domain.vehicle import Configuration, ThrusterModel, ThrustPoint
from rovlog.problems import OutOfRangeError

LINE = [(-1.0, -6.0, 3.0), (1.0, 6.0, 3.0)]  # a straight line: the motor's current is 3 A at any voltage
PAIR_OHM = 2 * 20.0 / 58.0 / 1.5


def single(points: list[tuple[float, float, float]] = LINE, **electrical: Any) -> Configuration:
    """One thruster on channel 1 on the left stick."""
    document = electrical_document(
        **{
            "supply": {"kind": "battery", "open_circuit_v": 12.0, "internal_resistance_ohm": 0.05},
            "fuse": {"rating_a": 10, "resistance_ohm": 0.01},
            "leads": {"resistance_ohm": 0.04},
            "drivers": {"on_resistance_ohm": 0.1},
            "tether": {"length_m": 20, "conductor_area_mm2": 1.5, "carries": "motor-pairs"},
            "standing_loads": [{"load": "lamp", "current_a": 1.0}],
            **electrical,
        }
    )
    vehicle = vehicle_document(
        [thruster_document("only", 1, [0.0, 0.0, 0.0], [1.0, 0.0, 0.0])], electrical=document
    )
    box = box_document({"surge": {1: 1.0}}, [{"control": "left-stick-y", "drives": "surge"}])
    return configuration_of(
        replace(puffin(), vehicle=vehicle, box=box, models={"heron-50": model_document("heron-50", points)})
    )


def with_convex_tables(configuration: Configuration) -> Configuration:
    """The same vehicle with tables whose motor current rises with voltage, so that points are unique."""
    points = tuple(ThrustPoint(c, 8.0 * c * abs(c), 3.0 * c * c) for c in (-1.0, -0.6, -0.3, 0.3, 0.6, 1.0))
    models = {m: ThrusterModel(m, 12.0, points) for m in configuration.models}
    return replace(configuration, models=models)


def point_of(solved: Sag):
    assert solved.point is not None, solved.reason
    return solved.point


def test_a_constant_motor_current_gives_the_voltages_worked_out_by_hand() -> None:
    at = point_of(sag(single(), {1: 0.8}))
    # the driver takes 0.8 x 3 A, the standing load 1 A: 3.4 A through 0.05 + 0.01 + 0.04 ohm
    assert at.current_a == pytest.approx(3.4)
    assert at.supply_v == pytest.approx(12.0 - 0.05 * 3.4)
    assert at.box_v == pytest.approx(12.0 - 0.1 * 3.4)
    assert at.vehicle_v == at.box_v
    assert at.thruster_v["only"] == pytest.approx(0.8 * 11.66 - 3.0 * (0.1 + PAIR_OHM))
    assert at.drop_v == pytest.approx(0.05 * 3.4 + PAIR_OHM * 3.0)
    assert at.is_unique


def test_with_the_box_on_the_vehicle_the_tether_carries_all_the_current_once() -> None:
    tether = {"length_m": 20, "conductor_area_mm2": 1.5, "carries": "supply-pair"}
    at = point_of(sag(single(tether=tether), {1: 0.8}))
    assert at.box_v == pytest.approx(12.0 - (0.1 + PAIR_OHM) * 3.4)
    assert at.thruster_v["only"] == pytest.approx(0.8 * at.box_v - 3.0 * 0.1)
    assert at.drop_share == pytest.approx((0.05 + PAIR_OHM) * 3.4 / 12.0)


def test_a_curve_is_solved_on_its_segment() -> None:
    points = [(-1.0, -6.0, 3.0), (-0.5, -2.0, 0.5), (0.5, 2.0, 0.5), (1.0, 6.0, 3.0)]
    at = point_of(sag(single(points, standing_loads=[]), {1: 1.0}))
    c = at.thruster_v["only"] / 12.0
    motor_a = (0.5 + (c - 0.5) * 5.0) / c
    assert at.channels[1].motor_current_a == pytest.approx(motor_a, rel=1e-9)
    assert at.thruster_v["only"] == pytest.approx(at.box_v - motor_a * (0.1 + PAIR_OHM), rel=1e-9)
    assert at.thrust_n["only"] == pytest.approx(2.0 + (c - 0.5) * 8.0, rel=1e-9)
    assert at.thrust_lost["only"] == pytest.approx(1.0 - at.thrust_n["only"] / 6.0)


def test_the_last_segment_goes_on_above_rated_voltage() -> None:
    supply = {"kind": "battery", "open_circuit_v": 14.4, "internal_resistance_ohm": 0.0}
    short = {"length_m": 0.001, "conductor_area_mm2": 6.0, "carries": "motor-pairs"}
    at = point_of(
        sag(
            single(
                supply=supply, tether=short, drivers={}, leads={"resistance_ohm": 0.0}, fuse={"rating_a": 10}
            ),
            {1: 1.0},
        )
    )
    assert at.thruster_v["only"] == pytest.approx(14.4, abs=1e-3)
    assert at.thrust_n["only"] == pytest.approx(6.0 * 1.2, rel=1e-4)
    assert at.thrust_lost["only"] < 0


def test_beyond_a_quarter_above_rated_voltage_there_is_no_answer_but_a_reason() -> None:
    supply = {"kind": "battery", "open_circuit_v": 24.0, "internal_resistance_ohm": 0.02}
    solved = sag(single(supply=supply), {1: 1.0})
    assert solved.point is None
    assert "1.25 times" in solved.reason
    assert not solved.may_not_carry


@pytest.mark.parametrize("carries", ["motor-pairs", "supply-pair"])
def test_a_tether_too_thin_for_the_load_has_no_operating_point(carries: str) -> None:
    tether = {"length_m": 200, "conductor_area_mm2": 0.5, "carries": carries}
    solved = sag(single(tether=tether, standing_loads=[]), {1: 1.0})
    assert solved.point is None
    assert solved.may_not_carry
    assert "no operating point" in solved.reason


def test_a_command_too_small_to_turn_the_motor_leaves_it_still_and_names_no_voltage() -> None:
    at = point_of(sag(single(), {1: 0.05}))
    assert at.thruster_v["only"] is None
    assert at.thrust_n["only"] == 0.0
    assert at.channels[1].motor_current_a == pytest.approx(0.05 * at.box_v / (0.1 + PAIR_OHM))


def test_a_regulated_supply_at_its_limit_gives_its_limit_and_the_box_sinks() -> None:
    points = [(-1.0, -6.0, 5.0), (-0.5, -2.0, 1.0), (0.5, 2.0, 1.0), (1.0, 6.0, 5.0)]
    supply = {"kind": "regulated", "open_circuit_v": 12.0, "current_limit_a": 3.0}
    free = point_of(sag(single(points, supply={"kind": "regulated", "open_circuit_v": 12.0}), {1: 1.0}))
    held = point_of(sag(single(points, supply=supply), {1: 1.0}))
    assert free.current_a > 3.0
    assert held.current_a == pytest.approx(3.0)
    assert held.is_limited
    assert held.box_v < free.box_v
    assert held.supply_v == pytest.approx(held.box_v + 0.05 * 3.0)


def test_standing_loads_above_the_supply_s_limit_are_said_to_be_so() -> None:
    supply = {"kind": "regulated", "open_circuit_v": 12.0, "current_limit_a": 0.8}
    solved = sag(single(supply=supply), {1: 1.0})
    assert solved.point is None
    assert "standing loads alone" in solved.reason


def test_of_several_operating_points_the_highest_voltage_is_given_and_said_to_be_one_of_several() -> None:
    # current that falls with command: at low voltage the motor asks for much, at high for little
    points = [(-1.0, -6.0, 1.0), (-0.2, -1.0, 2.0), (0.2, 1.0, 2.0), (1.0, 6.0, 1.0)]
    tether = {"length_m": 1, "conductor_area_mm2": 2.5, "carries": "supply-pair"}
    supply = {"kind": "battery", "open_circuit_v": 12.0, "internal_resistance_ohm": 0.9}
    at = point_of(sag(single(points, tether=tether, supply=supply, standing_loads=[]), {1: 1.0}))
    assert not at.is_unique
    c = at.thruster_v["only"] / 12.0
    assert at.current_a == pytest.approx((2.0 - (c - 0.2) * 1.25) / c, rel=1e-6)
    assert c > 0.6


def test_standing_loads_that_the_tether_cannot_feed_are_said_to_be_so() -> None:
    tether = {"length_m": 200, "conductor_area_mm2": 0.5, "carries": "supply-pair"}
    solved = sag(single(tether=tether), {1: 1.0})
    assert solved.point is None
    assert "standing loads alone" in solved.reason


def test_two_thrusters_on_one_channel_share_its_driver_and_pair() -> None:
    table = motor_table("a", ThrusterModel("line", 12.0, tuple(ThrustPoint(*p) for p in LINE)), 1)
    one, two = Driven(1, 1.0, (table,), 0.5), Driven(1, 1.0, (table, table), 0.5)
    assert one.effective_voltages(12.0) == [pytest.approx(12.0 - 0.5 * 3.0)]
    assert two.effective_voltages(12.0) == [pytest.approx(12.0 - 0.5 * 6.0)]


@pytest.mark.parametrize(
    ("key", "value", "name"),
    [
        ("leads", {"resistance_ohm": -0.1}, "resistance_ohm of the leads"),
        ("drivers", {"on_resistance_ohm": math.inf}, "on_resistance_ohm of the drivers"),
        ("supply", {"kind": "battery", "open_circuit_v": math.nan}, "open_circuit_v"),
        (
            "tether",
            {"length_m": 10, "conductor_area_mm2": -1.0, "carries": "motor-pairs"},
            "conductor_area_mm2",
        ),
        ("standing_loads", [{"load": "lamp", "current_a": math.nan}], "current_a of the standing load lamp"),
    ],
)
def test_what_no_circuit_has_is_refused_by_name(key: str, value: Any, name: str) -> None:
    with pytest.raises(OutOfRangeError, match=name):
        sag(single(**{key: value}), {1: 1.0})


def test_a_current_at_command_0_is_refused() -> None:
    model = ThrusterModel("odd", 12.0, (ThrustPoint(-1, -5, 3), ThrustPoint(0, 0, 0.2), ThrustPoint(1, 5, 3)))
    with pytest.raises(OutOfRangeError, match="current_a of odd at command 0"):
        motor_table("t", model, 1)


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.filter_too_much])
@given(configurations(vary_electrical=True), st.integers(1, 30))
def test_more_tether_never_gives_a_motor_more_than_the_lightened_supply_gives_back(
    configuration: Configuration, more_m: int
) -> None:
    configuration = with_convex_tables(configuration)
    commands = worst_case(configuration).commands
    electrical = configuration.electrical
    longer = replace(electrical.tether, length_m=electrical.tether.length_m + more_m)
    before = sag(configuration, commands).point
    after = sag(replace(configuration, electrical=replace(electrical, tether=longer)), commands).point
    assume(before is not None and after is not None)
    assert before.is_unique
    assert after.is_unique
    if electrical.tether.carries == "motor-pairs":
        # a motor that gets less draws less, which lifts the box: what must not rise is the sum of it
        for channel, was in before.channels.items():
            now = after.channels[channel]
            if was.effective_v is not None and now.effective_v is not None:
                lifted = abs(was.command) * max(0.0, after.box_v - before.box_v)
                assert now.effective_v <= was.effective_v + lifted + 1e-9
    else:
        for name, volts in after.thruster_v.items():
            was_v = before.thruster_v[name]
            if volts is not None and was_v is not None:
                assert volts <= was_v + 1e-9


@settings(max_examples=40, deadline=None)
@given(
    st.integers(1, 60),
    st.integers(1, 40),
    st.floats(0.3, 1.0),
    st.sampled_from(("motor-pairs", "supply-pair")),
)
def test_more_tether_never_raises_the_voltage_at_the_motor(
    length_m: int, more_m: int, command: float, carries: str
) -> None:
    points = [(-1.0, -6.0, 3.0), (-0.4, -2.0, 0.5), (0.4, 2.0, 0.5), (1.0, 6.0, 3.0)]

    def at(metres: int):
        tether = {"length_m": metres, "conductor_area_mm2": 1.5, "carries": carries}
        return sag(single(points, tether=tether), {1: command}).point

    before, after = at(length_m), at(length_m + more_m)
    assume(before is not None and after is not None)
    if before.thruster_v["only"] is None:
        assert after.thruster_v["only"] is None
    elif after.thruster_v["only"] is not None:
        assert after.thruster_v["only"] <= before.thruster_v["only"] + 1e-9


@settings(max_examples=25, deadline=None)
@given(configurations())
def test_without_resistance_nothing_sags(configuration: Configuration) -> None:
    electrical = configuration.electrical
    ideal = replace(
        electrical,
        supply=replace(electrical.supply, open_circuit_v=12.0, internal_resistance_ohm=0.0),
        fuse=replace(electrical.fuse, resistance_ohm=0.0),
        leads_resistance_ohm=0.0,
        drivers=replace(electrical.drivers, on_resistance_ohm=0.0),
        tether=replace(electrical.tether, length_m=0.0),
    )
    vehicle = replace(configuration, electrical=ideal)
    worst = worst_case(vehicle)
    at = point_of(sag(vehicle, worst.commands))
    assert at.box_v == pytest.approx(12.0)
    assert at.drop_share == pytest.approx(0.0, abs=1e-12)
    if not worst.is_at_most:
        assert at.current_a == pytest.approx(worst.total_a, rel=1e-6)
    for lost in at.thrust_lost.values():
        assert lost == pytest.approx(0.0, abs=1e-6)


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.filter_too_much])
@given(configurations(vary_electrical=True))
def test_every_operating_point_balances(configuration: Configuration) -> None:
    configuration = with_convex_tables(configuration)
    solved = sag(configuration, worst_case(configuration).commands)
    assume(solved.point is not None)
    at = point_of(solved)
    drawn = sum(abs(c.command) * c.motor_current_a for c in at.channels.values())
    standing = sum(load.current_a for load in configuration.electrical.standing_loads)
    assert at.current_a == pytest.approx(drawn + standing, rel=1e-7)
    supply = configuration.electrical.supply
    lost = supply.internal_resistance_ohm * at.current_a
    assert at.supply_v == pytest.approx(supply.open_circuit_v - lost, rel=1e-7)
