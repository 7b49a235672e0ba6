"""From demands to channels, thrusts and the wrench."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from vehicles import (
    configuration_of,
    configurations,
    documents,
    hundredths,
    mirrored,
    puffin,
    stick_positions,
)

from rovlog.domain.allocation.channels import channel_commands
from rovlog.domain.allocation.response import response, response_to_sticks
from rovlog.domain.allocation.thrust import table, thrust_and_current
from rovlog.domain.vehicle import AXES, DEMANDS, ThrusterModel, ThrustPoint
from rovlog.problems import OutOfRangeError

asked = st.dictionaries(st.sampled_from(DEMANDS), hundredths(-1, 1))
TABLE = ThrusterModel(
    "knot-20", 12.0, (ThrustPoint(-1.0, -6.0, 3.0), ThrustPoint(0.5, 4.0, 1.0), ThrustPoint(1.0, 10.0, 4.0))
)


@pytest.mark.parametrize(
    ("command", "thrust_n", "current_a"),
    [(-1.0, -6.0, 3.0), (-0.5, -3.0, 1.5), (0.0, 0.0, 0.0), (0.25, 2.0, 0.5), (0.5, 4.0, 1.0),
     (0.75, 7.0, 2.5), (1.0, 10.0, 4.0), (1.25, 13.0, 5.5), (-1.25, -7.5, 3.75)],
)  # fmt: skip
def test_a_table_is_straight_between_its_points_through_the_origin_and_beyond_its_ends(
    command, thrust_n, current_a
):
    assert thrust_and_current(TABLE, command) == pytest.approx((thrust_n, current_a), abs=1e-12)


@pytest.mark.parametrize("command", [1.2501, -1.3, float("nan")])
def test_a_command_beyond_the_table_is_refused_by_name(command):
    with pytest.raises(OutOfRangeError, match="command"):
        thrust_and_current(TABLE, command)


def test_a_table_with_its_own_origin_keeps_it():
    with_origin = replace(TABLE, points=(*TABLE.points, ThrustPoint(0.0, 0.0, 0.2)))
    assert [p.command for p in table(with_origin)] == [-1.0, 0.0, 0.5, 1.0]
    assert thrust_and_current(with_origin, 0.0) == (0.0, 0.2)


def test_clip_cuts_each_channel_and_scale_divides_all():
    found = puffin()
    demands = {"surge": 1.0, "yaw": 1.0}
    assert channel_commands(configuration_of(found), demands, {})[2] == pytest.approx(0.2)
    assert channel_commands(configuration_of(found), demands, {})[1] == 1.0
    found.box["thruster_maps"][5]["when_saturated"] = "scale"
    scaled = channel_commands(configuration_of(found), demands, {7: -0.9})
    assert scaled[1] == pytest.approx(1.0)
    assert scaled[2] == pytest.approx(0.2 / 1.8)
    assert scaled[7] == pytest.approx(-0.5)
    assert list(scaled) == [1, 2, 3, 4, 5, 6, 7, 8]


def test_an_empty_channel_counts_when_scaling():
    documents = puffin()
    documents.box["thruster_maps"][5]["when_saturated"] = "scale"
    found = response(configuration_of(documents), {"heave": 1.0}, {8: 2.0})
    assert found.channels[5] == pytest.approx(0.5)


def test_a_worked_surge_of_the_hand_made_vehicle():
    found = response(configuration_of(puffin()), {"surge": 1.0})
    assert found.wrench["X"] == pytest.approx(4 * 11.0 * 0.5**0.5)
    assert all(abs(found.wrench[a]) < 1e-9 for a in AXES if a != "X")
    assert found.thrusters["bow-port"].thrust_n == 11.0
    assert found.current_a == pytest.approx(4 * 4.4)


def test_reversed_polarity_pushes_the_other_way_by_the_other_half_of_the_table():
    documents = puffin()
    documents.vehicle["thrusters"][4]["polarity"] = "reversed"
    found = response(configuration_of(documents), {"heave": 1.0})
    assert found.thrusters["lift-port"].thrust_n == -9.0
    assert found.thrusters["lift-port"].current_a == 4.1
    assert found.wrench["Z"] == pytest.approx(2.0)


@settings(max_examples=40)
@given(configurations(), asked)
def test_mirroring_the_vehicle_mirrors_what_it_does(configuration, demands):
    here = response(configuration, demands).wrench
    there = response(mirrored(configuration), demands).wrench
    for axis in AXES:
        sign = -1.0 if axis in ("Y", "K", "N") else 1.0
        assert there[axis] == pytest.approx(sign * here[axis], abs=1e-9)


@settings(max_examples=40)
@given(configurations(), asked, st.data())
def test_a_polarity_turned_at_the_thruster_and_again_in_the_map_is_nothing(configuration, demands, data):
    channel = data.draw(st.sampled_from(configuration.channels_in_use))
    thrusters = tuple(
        replace(t, sign=-t.sign) if t.channel == channel else t for t in configuration.thrusters
    )
    shares = {
        d: {c: -v if c == channel else v for c, v in row.items()}
        for d, row in configuration.thruster_map.shares.items()
    }
    thruster_map = replace(configuration.thruster_map, shares=shares)
    twice = replace(configuration, thrusters=thrusters, thruster_map=thruster_map)
    assert response(twice, demands).thrusters == response(configuration, demands).thrusters


@settings(max_examples=40)
@given(configurations(), asked)
def test_turning_every_polarity_is_asking_the_opposite(configuration, demands):
    turned = replace(
        configuration, thrusters=tuple(replace(t, sign=-t.sign) for t in configuration.thrusters)
    )
    opposite = {d: -v for d, v in demands.items()}
    assert response(turned, demands).thrusters == response(configuration, opposite).thrusters


@settings(max_examples=40)
@given(configurations(is_odd=True), asked)
def test_tables_alike_both_ways_answer_alike_both_ways(configuration, demands):
    ahead = response(configuration, demands).wrench
    astern = response(configuration, {d: -v for d, v in demands.items()}).wrench
    for axis in AXES:
        assert astern[axis] == pytest.approx(-ahead[axis], abs=1e-9)


@settings(max_examples=40)
@given(configurations(), st.data())
def test_sticks_go_through_shaping_and_trim_and_commands_stay_within_the_table(configuration, data):
    sticks = data.draw(stick_positions(configuration))
    found = response_to_sticks(configuration, sticks)
    assert all(-1.0 <= u <= 1.0 for u in found.channels.values())
    assert response(configuration, found.demands, found.direct).wrench == found.wrench


@settings(max_examples=40)
@given(documents(has_trims=False))
def test_a_vehicle_at_rest_does_nothing(made):
    found = response_to_sticks(configuration_of(made), {})
    assert set(found.wrench.values()) == {0.0}
    assert found.current_a == 0.0
