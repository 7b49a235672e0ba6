"""The pushes of the function test, how far they go in air, and which way water is thrown."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from vehicles import configuration_of, configurations, puffin

from rovlog.domain.allocation.gamepad import CONTROLS
from rovlog.domain.allocation.response import response_to_sticks
from rovlog.domain.diagnosis.flow import FLOW_WORDS, FLOWS, seen_of, thrown_toward
from rovlog.domain.diagnosis.function_test import dry_position, expected_flow, function_test, name_of
from rovlog.domain.diagnosis.pushes import ANALOGUE_BUTTONS
from rovlog.domain.vehicle import ControlEntry, SteeringScheme, Thruster
from rovlog.usecases.predict_push import predicted_push

PUFFIN = configuration_of(puffin())


def with_trim(**trims):
    return replace(PUFFIN, trim_defaults=trims)


def greatest(configuration, push):
    channels = response_to_sticks(configuration, push).channels
    return max((abs(channels[t.channel]) for t in configuration.thrusters), default=0.0)


def test_every_control_is_pushed_to_each_of_its_ends_in_the_schemes_order():
    names = [p.name for p in function_test(PUFFIN)]
    assert names == [
        ("left-stick-y", -1),
        ("left-stick-y", 1),
        ("left-stick-x", 1),
        ("left-stick-x", -1),
        ("right-stick-y", -1),
        ("right-stick-y", 1),
        ("right-stick-x", 1),
        ("right-stick-x", -1),
    ]


def test_a_control_that_moves_no_thruster_is_no_push_and_a_button_is_one():
    entries = (
        *PUFFIN.steering_scheme.entries,
        ControlEntry("left-cluster-top", "roll"),
        ControlEntry("right-front-bottom", "heave", full_stick=0.8),
    )
    found = function_test(replace(PUFFIN, steering_scheme=SteeringScheme(entries)))
    assert ("left-cluster-top", 1) not in [p.name for p in found]
    assert [p.name for p in found if p.control == "right-front-bottom"] == [("right-front-bottom", 1)]


@settings(max_examples=60)
@given(configurations(), st.sampled_from([0.2, 0.3, 0.45]))
def test_in_air_every_push_goes_as_far_as_the_share_lets_it_and_no_further(configuration, share):
    for push in function_test(configuration, share):
        partial = not CONTROLS[push.control].is_button or push.control in ANALOGUE_BUTTONS
        if push.dry is None:
            smallest = push.end * (0.01 if partial else 1.0)
            assert push.why_not_dry
            assert (
                greatest(configuration, {}) > share
                or greatest(configuration, {push.control: smallest}) > share
            )
            continue
        percent = round(100 * push.dry / push.end)
        assert push.dry == pytest.approx(push.end * percent / 100)
        assert push.dry_command == pytest.approx(greatest(configuration, {push.control: push.dry}))
        assert push.dry_command <= share + 1e-9
        if percent < 100:
            more = push.end * (percent + 1) / 100
            assert greatest(configuration, {push.control: more}) > share


def test_a_trim_takes_from_the_stick_on_its_own_side_and_gives_on_the_other():
    down, up = (
        next(p for p in function_test(with_trim(heave=0.1)) if p.name == ("right-stick-y", way))
        for way in (1, -1)
    )
    assert (down.dry, up.dry) == (0.2, -0.4)


def test_dead_band_and_cubic_share_are_gone_through():
    # 0.8 of ((1 - c) x + c x^3) with c = 0.4 and a dead band of 0.06: 55 % gives 0.2955, 56 % more than 0.3.
    yaw = next(p for p in function_test(PUFFIN) if p.name == ("right-stick-x", 1))
    assert yaw.dry == 0.55
    assert yaw.dry_command == pytest.approx(0.2955, abs=5e-5)


def test_a_trim_beyond_the_share_leaves_no_push_in_air_and_says_why():
    found = function_test(with_trim(heave=0.35))
    assert {p.dry for p in found} == {None}
    assert found[0].why_not_dry == "the trims alone give a thruster 35 % of command: put them to zero first"


def test_a_button_that_is_all_or_nothing_is_for_the_water():
    scheme = SteeringScheme((ControlEntry("right-cluster-top", "heave"),))
    push = function_test(replace(PUFFIN, steering_scheme=scheme))[0]
    assert push.dry is None
    assert (
        push.why_not_dry == "the right cluster top button gives 100 % of command and cannot be held part way"
    )
    assert push.positions(is_dry=True) is None
    assert push.positions(is_dry=False) == (("right-cluster-top", 1.0),)


def test_two_controls_are_drawn_back_together():
    push = (("left-stick-x", 1.0), ("left-stick-y", -1.0))
    held, why_not = dry_position(PUFFIN, push, 0.3)
    assert why_not == ""
    assert held == (("left-stick-x", 0.15), ("left-stick-y", -0.15))


def thruster(*direction):
    return Thruster("one", "heron-50", 1, 1, (0.0, 0.0, 0.0), direction)


@pytest.mark.parametrize(
    ("direction", "ahead", "astern"),
    [
        ((1.0, 0.0, 0.0), "stern", "bow"),
        ((0.0, 1.0, 0.0), "port", "starboard"),
        ((0.0, 0.0, 1.0), "up", "down"),
        ((0.7071, -0.7071, 0.0), "stern and starboard", "bow and port"),
        ((0.0, 0.28, -0.96), "down", "up"),
    ],
)
def test_water_is_thrown_against_the_push(direction, ahead, astern):
    one = thruster(*direction)
    assert (thrown_toward(one, "ahead"), thrown_toward(one, "astern")) == (ahead, astern)
    assert thrown_toward(one, "still") == "none"
    for seen in ("ahead", "astern"):
        for word in thrown_toward(one, seen).split(" and "):
            assert seen_of(one, word).seen == seen


def test_a_flow_across_the_axis_says_neither_way_and_is_marked():
    found = seen_of(thruster(1.0, 0.0, 0.0), "up")
    assert (found.seen, found.across) == ("unseen", True)
    assert [seen_of(thruster(1.0, 0.0, 0.0), w).seen for w in ("none", "unseen")] == ["still", "unseen"]


@settings(max_examples=30)
@given(configurations())
def test_the_expected_flow_is_the_prediction_of_the_single_push_in_words(configuration):
    pushes = [p.positions(is_dry=False) for p in function_test(configuration)]
    for push, flows in zip(pushes, expected_flow(configuration, pushes, 0.08), strict=True):
        seen = predicted_push(configuration.resolved, dict(push))
        for one in configuration.thrusters:
            assert flows[one.thruster] == thrown_toward(one, seen[one.thruster])


def test_the_words_are_eight():
    assert set(FLOW_WORDS) == {*FLOWS, "none", "unseen"}
    assert len(FLOW_WORDS) == 8


@pytest.mark.parametrize(
    ("push", "name"),
    [
        ({"left-stick-y": -0.3}, ("left-stick-y", -1)),
        ({"left-stick-y": 0.3, "right-stick-x": 0.0}, ("left-stick-y", 1)),
        ({"left-stick-y": 0.3, "right-stick-x": 0.3}, None),
        ({}, None),
    ],
)
def test_a_push_is_known_by_its_control_and_its_way(push, name):
    assert name_of(push) == name
