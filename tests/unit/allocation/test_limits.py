"""The geometric limit: worked vehicles, and never below any position that balances."""

from __future__ import annotations

import math
import random
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from vehicles import configuration_of, configurations, mirrored, model_document, puffin, thruster_document

from rovlog.domain.allocation.limits import LIMIT_AXES, Limit, limits
from rovlog.domain.allocation.simplex import maximise
from rovlog.domain.allocation.thrust import thrust_and_current
from rovlog.domain.allocation.wrench import columns, wrench_of
from rovlog.domain.vehicle import Configuration


def test_the_limits_of_the_hand_made_vehicle_are_those_worked_by_hand():
    found = limits(configuration_of(puffin()))
    c = math.sqrt(0.5)
    assert found["X"] == Limit(pytest.approx(44 * c), pytest.approx(-36 * c))
    # Sideways two push ahead and two astern: surge balances only at the smaller of 11 N and 9 N.
    assert found["Y"] == Limit(pytest.approx(36 * c), pytest.approx(-36 * c))
    assert found["Z"] == Limit(22.0, -18.0)
    assert found["N"] == Limit(pytest.approx(36 * 0.35 * c), pytest.approx(-36 * 0.35 * c))


def test_a_lone_side_thruster_off_the_middle_cannot_push_without_turning():
    documents = puffin()
    documents.vehicle["thrusters"] = [thruster_document("side", 1, [0.2, 0.0, 0.0], [0.0, 1.0, 0.0])]
    assert set(limits(configuration_of(documents)).values()) == {Limit(0.0, 0.0)}


def test_a_vehicle_without_thrusters_has_no_limit_but_zero():
    documents = puffin()
    documents.vehicle["thrusters"] = []
    assert set(limits(configuration_of(documents)).values()) == {Limit(0.0, 0.0)}


def test_zero_is_exactly_zero_with_directions_written_to_four_decimals():
    documents = puffin()
    for row in documents.vehicle["thrusters"][:4]:
        row["thrust_direction"] = [round(v, 4) for v in row["thrust_direction"]]
    documents.vehicle["thrusters"] = documents.vehicle["thrusters"][:4]
    assert limits(configuration_of(documents))["Z"] == Limit(0.0, 0.0)


def test_equal_thrusters_on_one_channel_share_one_force():
    documents = puffin()
    documents.vehicle["thrusters"] = documents.vehicle["thrusters"][4:]
    documents.vehicle["thrusters"][1]["channel"] = 5
    assert limits(configuration_of(documents))["Z"] == Limit(22.0, -18.0)


def test_unequal_thrusters_on_one_channel_go_through_their_tables_by_command():
    # One ahead, one opposed with a bent table: f(u) = 10 u - g(u) with g(0.5) = 1 and g(1) = 10. The
    # sum is greatest at half command, 4 N, while at both ends it is nothing.
    documents = puffin()
    documents.models["straight"] = model_document("straight", [(-1.0, -10.0, 2.0), (1.0, 10.0, 2.0)])
    bent = [(-1.0, -10.0, 2.0), (0.5, 1.0, 0.5), (1.0, 10.0, 2.0)]
    documents.models["bent"] = model_document("bent", bent)
    documents.vehicle["thrusters"] = [
        thruster_document("a", 1, [0.0, 0.0, 0.0], [0.0, 0.0, 1.0], model="straight"),
        thruster_document("b", 1, [0.0, 0.0, 0.1], [0.0, 0.0, -1.0], model="bent"),
    ]
    assert limits(configuration_of(documents))["Z"] == Limit(pytest.approx(4.0), 0.0)


def test_a_mixture_of_two_places_of_a_bent_table_is_not_taken_for_a_place():
    # Channel 1 gives surge 4 with sway 7 at half command and surge 8 with sway 8 at full; channel 2
    # gives sway alone.
    documents = puffin()
    documents.models["straight"] = model_document("straight", [(-1.0, -8.0, 2.0), (1.0, 8.0, 2.0)])
    bent = [(-1.0, -8.0, 2.0), (0.5, 7.0, 0.5), (1.0, 8.0, 2.0)]
    documents.models["bent"] = model_document("bent", bent)
    documents.vehicle["thrusters"] = [
        thruster_document("a", 1, [0.0, 0.0, 0.0], [1.0, 0.0, 0.0], model="straight"),
        thruster_document("b", 1, [0.0, 0.0, 0.0], [0.0, 1.0, 0.0], model="bent"),
        thruster_document("c", 2, [0.0, 0.0, 0.0], [0.0, 1.0, 0.0], model="bent"),
    ]
    # Full sway of channel 1 is just balanced by channel 2 the other way: surge 8 is reached.
    assert limits(configuration_of(documents))["X"] == Limit(pytest.approx(8.0), pytest.approx(-8.0))
    documents.vehicle["thrusters"][2]["model"] = "weak"
    documents.models["weak"] = model_document("weak", [(-1.0, -7.0, 2.0), (1.0, 7.0, 2.0)])
    # Now only 7 N of sway can be balanced: channel 1 at half, surge 4, not the 7 of rest mixed with full.
    assert limits(configuration_of(documents))["X"].positive == pytest.approx(4.0)


@settings(max_examples=40)
@given(configurations())
def test_port_for_starboard_leaves_the_limits_but_turns_the_ways(configuration):
    here, there = limits(configuration), limits(mirrored(configuration))
    for axis in LIMIT_AXES:
        way = (there[axis].positive, there[axis].negative)
        mirrored_way = (-there[axis].negative, -there[axis].positive)
        assert (mirrored_way if axis in "YN" else way) == pytest.approx(
            (here[axis].positive, here[axis].negative), abs=1e-7
        )


@settings(max_examples=25)
@given(configurations(most_thrusters=3), st.randoms(use_true_random=False))
def test_the_limit_is_never_below_a_position_that_balances(configuration: Configuration, rng: random.Random):
    """Pairs of opposite copies balance by construction: every position of the vehicle is one to try."""
    twins = tuple(
        replace(
            t,
            thruster=f"{t.thruster}-{n}",
            channel=100 * n + t.channel,
            position_m=tuple(sx * p for sx, p in zip(signs, t.position_m, strict=True)),
            thrust_direction=tuple(sx * e for sx, e in zip(signs, t.thrust_direction, strict=True)),
        )
        for t in configuration.thrusters
        for n, signs in enumerate(((1, 1, 1), (1, -1, 1), (1, 1, -1), (1, -1, -1)), start=1)
    )
    vehicle = replace(configuration, thrusters=twins)
    u = {c: rng.uniform(-1, 1) for c in configuration.channels_in_use}
    thrusts = {
        t.thruster: thrust_and_current(vehicle.models[t.model], t.sign * u[t.channel % 100])[0] for t in twins
    }
    wrench = wrench_of(twins, columns(vehicle), thrusts)
    found = limits(vehicle)["X"]
    assert all(abs(wrench[a]) < 1e-6 for a in "YZN")
    assert found.negative - 1e-6 <= wrench["X"] <= found.positive + 1e-6


def test_a_programme_without_a_solution_says_so():
    assert maximise([1.0], [[1.0], [1.0]], [1.0, 2.0]) is None
    assert maximise([], [[]], [1.0]) is None
    assert maximise([], [], []) == (0.0, [])


def test_a_programme_without_a_bound_is_an_error_and_not_a_number():
    with pytest.raises(ArithmeticError):
        maximise([1.0, 0.0], [[1.0, -1.0]], [0.0])


def test_the_cycling_example_ends_at_its_published_optimum():
    # Beale (1955), as in Chvatal, Linear Programming (1983), in the form with slacks: optimum 1/20.
    gains = [0.75, -150.0, 0.02, -6.0, 0.0, 0.0, 0.0]
    rows = [
        [0.25, -60.0, -0.04, 9.0, 1.0, 0.0, 0.0],
        [0.5, -90.0, -0.02, 3.0, 0.0, 1.0, 0.0],
        [0.0, 0.0, 1.0, 0.0, 0.0, 0.0, 1.0],
    ]
    solved = maximise(gains, rows, [0.0, 0.0, 1.0])
    assert solved is not None
    assert solved[0] == pytest.approx(0.05)
