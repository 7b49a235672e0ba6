"""Shaping, trims, and the limits of demands."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from vehicles import configuration_of, configurations, hundredths, puffin, stick_positions

from rovlog.domain.allocation.demand import contributions, demands_from_sticks, shaped
from rovlog.domain.allocation.gamepad import CONTROLS
from rovlog.domain.vehicle import DEMANDS, ControlEntry, SteeringScheme
from rovlog.problems import UsageError

# Worked by hand from the definition: dead band 0.2, |x| 0.6 -> 0.5; half cubic: 0.25 + 0.0625 = 0.3125.
WORKED = [
    (ControlEntry("left-stick-x", "surge"), 0.4, 0.4),
    (ControlEntry("left-stick-x", "surge", dead_band=0.2), 0.6, 0.5),
    (ControlEntry("left-stick-x", "surge", dead_band=0.2), -0.6, -0.5),
    (ControlEntry("left-stick-x", "surge", dead_band=0.2), 0.2, 0.0),
    (ControlEntry("left-stick-x", "surge", dead_band=0.2, cubic_share=0.5), 0.6, 0.3125),
    (ControlEntry("left-stick-x", "surge", dead_band=0.2, cubic_share=0.5, full_stick=0.8), 0.6, 0.25),
    (ControlEntry("left-stick-x", "surge", dead_band=0.2, cubic_share=1.0, is_reversed=True), 0.6, -0.125),
]

entries = st.builds(
    ControlEntry,
    control=st.just("left-stick-x"),
    drives=st.just("surge"),
    full_stick=hundredths(0, 1),
    dead_band=hundredths(0, 0.5),
    cubic_share=hundredths(0, 1),
    is_reversed=st.booleans(),
)


@pytest.mark.parametrize(("entry", "position", "expected"), WORKED)
def test_shaping_meets_the_values_worked_by_hand(entry, position, expected):
    assert shaped(entry, position) == pytest.approx(expected, abs=1e-12)


@given(entries)
def test_full_throw_asks_exactly_the_full_stick(entry):
    assert shaped(entry, 1.0) == pytest.approx(-entry.full_stick if entry.is_reversed else entry.full_stick)


@given(entries, hundredths(-1, 1))
def test_both_ways_are_shaped_alike(entry, position):
    assert shaped(entry, -position) == -shaped(entry, position)


@given(entries, hundredths(-1, 0.99))
def test_more_stick_never_asks_less(entry, position):
    upright = replace(entry, is_reversed=False)
    assert shaped(upright, position + 0.01) >= shaped(upright, position)


@given(entries, hundredths(0, 1))
def test_inside_the_dead_band_nothing_is_asked(entry, share):
    assert shaped(entry, share * entry.dead_band) == 0.0


def test_controls_on_one_demand_add_up_and_are_then_trimmed_and_clipped():
    documents = puffin()
    documents.box["steering_schemes"][2]["controls"] += [
        {"control": "left-cluster-top", "drives": "heave", "reversed": True, "full_stick": 0.4},
    ]
    documents.vehicle["trim_defaults"] = {"heave": 0.25}
    configuration = configuration_of(documents)
    found = demands_from_sticks(configuration, {"right-stick-y": 0.3, "left-cluster-top": 1.0})
    assert found.demands["heave"] == pytest.approx(0.3 - 0.4 + 0.25)
    assert demands_from_sticks(configuration, {"right-stick-y": 1.0}).demands["heave"] == 1.0
    # Clipped after the sum: 0.95 + 0.25 - 0.4 stays below 1.
    both = demands_from_sticks(configuration, {"right-stick-y": 0.95, "left-cluster-top": 1.0})
    assert both.demands["heave"] == pytest.approx(0.8)


def test_hands_off_the_sticks_leaves_the_trims():
    documents = puffin()
    documents.vehicle["trim_defaults"] = {"heave": 0.15, "surge": -0.05}
    found = demands_from_sticks(configuration_of(documents), {})
    assert {d: v for d, v in found.demands.items() if v} == {"heave": 0.15, "surge": -0.05}
    assert not any(found.direct.values())


def test_a_channel_driven_directly_adds_up_and_has_no_trim():
    configuration = configuration_of(puffin())
    rows = (
        ControlEntry("left-cluster-top", "channel-5", full_stick=0.7),
        ControlEntry("left-cluster-bottom", "channel-5", full_stick=0.7),
    )
    configuration = replace(configuration, steering_scheme=SteeringScheme(rows), trim_defaults={"heave": 0.2})
    found = demands_from_sticks(configuration, {"left-cluster-top": 1.0, "left-cluster-bottom": 1.0})
    assert found.direct == {5: 1.4}
    assert found.demands == {**dict.fromkeys(DEMANDS, 0.0), "heave": 0.2}


@settings(max_examples=40)
@given(st.data(), configurations())
def test_demands_stay_within_full_demand(data, configuration):
    found = demands_from_sticks(configuration, data.draw(stick_positions(configuration)))
    assert set(found.demands) == set(DEMANDS)
    assert all(-1.0 <= v <= 1.0 for v in found.demands.values())


@settings(max_examples=40)
@given(configurations(), st.data())
def test_each_control_contributes_by_itself(configuration, data):
    sticks = data.draw(stick_positions(configuration))
    together = contributions(configuration, sticks)
    for demand in DEMANDS:
        alone = sum(contributions(configuration, {c: x}).demands[demand] for c, x in sticks.items())
        assert together.demands[demand] == pytest.approx(alone, abs=1e-12)


def test_the_standard_gamepad_has_four_axes_and_seventeen_buttons():
    # W3C, Gamepad, "Remapping": standard gamepad, axes 0 to 3, buttons 0 to 16.
    assert sum(not c.is_button for c in CONTROLS.values()) == 4
    assert sum(c.is_button for c in CONTROLS.values()) == 17


@pytest.mark.parametrize(
    ("sticks", "words"),
    [
        ({"left-stick-z": 0.1}, r"no control 'left-stick-z'(?s:.*)left-stick-[xy]"),
        ({"left-stick-x": 1.01}, "left-stick-x is 1.01; expected -1 to 1"),
        ({"right-front-top": -0.5}, "right-front-top is -0.5; expected 0 to 1"),
        ({"left-stick-x": math.nan}, "left-stick-x is nan"),
    ],
)
def test_a_control_or_position_that_does_not_exist_is_refused_by_name(sticks, words):
    with pytest.raises(UsageError, match=words):
        demands_from_sticks(configuration_of(puffin()), sticks)
