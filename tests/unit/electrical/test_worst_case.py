"""The worst case of current: places that corners, grids and random search miss, and what may never happen."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from vehicles import (
    box_document,
    configuration_of,
    configurations,
    documents,
    model_document,
    puffin,
    stick_positions,
    thruster_document,
    vehicle_document,
)

from rovlog.domain.allocation.channels import channel_commands
from rovlog.domain.allocation.demand import demands_from_sticks, shaped
from rovlog.domain.electrical.idle import nominal_current_a
from rovlog.domain.electrical.less_demand import scaled_full_stick
from rovlog.domain.electrical.reach import Lever
from rovlog.domain.electrical.worst_case import per_channel_worst_a, worst_case
from rovlog.domain.vehicle import Configuration, ControlEntry
from rovlog.problems import OutOfRangeError

CURRENTS = [(-1.0, -8.0, 4.0), (-0.5, -3.0, 1.1), (0.5, 3.0, 1.2), (1.0, 9.0, 4.6)]
AXES = {"surge": "left-stick-y", "sway": "left-stick-x", "heave": "right-stick-y", "yaw": "right-stick-x"}
STANDING_A = 0.35  # of the vehicle documents


def vehicle_with(
    shares: dict[str, dict[int, float]],
    controls: list[dict[str, object]] | None = None,
    *,
    when_saturated: str = "clip",
    trims: dict[str, float] | None = None,
    points: list[tuple[float, float, float]] = CURRENTS,
    channels: int = 8,
) -> Configuration:
    """One thruster a channel, each demand on its own stick axis unless controls are given."""
    used = sorted({c for row in shares.values() for c in row})
    thrusters = [thruster_document(f"t{c}", c, [0.1, 0.1 * c, 0.0], [1.0, 0.0, 0.0]) for c in used]
    rows = controls or [{"control": AXES[d], "drives": d} for d in shares]
    vehicle = vehicle_document(thrusters)
    if trims:
        vehicle["trim_defaults"] = trims
    box = box_document(shares, rows, channels=channels, when_saturated=when_saturated)
    whole = replace_documents(vehicle, box, points)
    return configuration_of(whole)


def replace_documents(vehicle, box, points):
    """The puffin with another vehicle, box and table."""
    return replace(
        puffin(), vehicle=vehicle, box=box, models={"heron-50": model_document("heron-50", points)}
    )


def corners_a(configuration: Configuration, steps: int = 2) -> float:
    """The greatest over a grid of all axes with so many places each."""
    controls = sorted({e.control for e in configuration.steering_scheme.entries})
    places = [-1.0 + 2.0 * n / (steps - 1) for n in range(steps)]
    best = 0.0

    def walk(sticks: dict[str, float], left: list[str]) -> None:
        nonlocal best
        if not left:
            best = max(best, nominal_current_a(configuration, sticks))
            return
        for place in places:
            walk({**sticks, left[0]: place}, left[1:])

    walk({}, controls)
    return best


def random_a(configuration: Configuration, count: int) -> float:
    """The greatest over random positions of all axes."""
    controls = sorted({e.control for e in configuration.steering_scheme.entries})
    rng = random.Random(4)
    return max(
        nominal_current_a(configuration, {c: rng.uniform(-1.0, 1.0) for c in controls}) for _ in range(count)
    )


def test_surge_with_yaw_draws_less_than_surge_alone_when_channels_clip() -> None:
    configuration = vehicle_with({"surge": {1: 1.0, 2: 1.0}, "yaw": {1: 1.0, 2: -1.0}})
    both = nominal_current_a(configuration, {"left-stick-y": 1.0, "right-stick-x": 1.0})
    alone = nominal_current_a(configuration, {"left-stick-y": 1.0})
    assert both == pytest.approx(4.6 + STANDING_A)
    assert alone == pytest.approx(2 * 4.6 + STANDING_A)
    worst = worst_case(configuration)
    assert worst.total_a == pytest.approx(alone)
    assert worst.sticks == {"left-stick-y": 1.0, "right-stick-x": 0.0}
    assert worst.demand == {"surge": 1.0, "yaw": 0.0}
    assert corners_a(configuration) < worst.total_a / 1.5


CLIP_SHARES = {
    "surge": {1: -0.3, 2: 0.65, 3: 0.8, 4: 0.2, 5: -0.85, 6: -0.15},
    "sway": {1: -0.7, 2: 0.65, 3: 0.15, 4: -0.95, 5: 0.85, 6: 0.7},
    "heave": {1: 0.65, 2: -0.65, 3: -0.15, 4: -1.0, 5: -0.1, 6: -0.55},
    "yaw": {1: -0.95, 2: -1.0, 3: 0.9, 4: 0.1, 5: -0.85, 6: 0.6},
}


def test_with_clip_the_worst_place_is_missed_by_corners_a_coarse_grid_and_random_search() -> None:
    configuration = vehicle_with(CLIP_SHARES)
    worst = worst_case(configuration)
    assert not worst.is_at_most
    assert nominal_current_a(configuration, worst.sticks) == pytest.approx(worst.total_a, rel=1e-9)
    assert corners_a(configuration) < 0.93 * worst.total_a
    assert corners_a(configuration, steps=5) < 0.93 * worst.total_a
    assert random_a(configuration, 1500) < 0.95 * worst.total_a
    assert 0.1 < abs(worst.demand["sway"]) < 0.9, "two demands stand between rest and full"
    assert 0.1 < abs(worst.demand["yaw"]) < 0.9


def test_with_scale_a_trim_makes_an_inner_place_the_worst() -> None:
    shares = {
        "surge": {1: -0.4, 2: 0.7, 3: 0.45, 4: 0.8},
        "sway": {1: -0.3, 2: 0.1, 3: -0.95, 4: -0.95},
        "yaw": {1: 0.8, 2: -0.7, 3: -0.75, 4: 0.65},
    }
    controls = [
        {"control": "left-stick-y", "drives": "surge", "full_stick": 0.5},
        {"control": "left-stick-x", "drives": "sway"},
        {"control": "right-stick-x", "drives": "yaw", "full_stick": 0.5},
    ]
    trims = {"surge": -0.4, "sway": 0.59, "yaw": -0.37}
    configuration = vehicle_with(shares, controls, when_saturated="scale", trims=trims)
    worst = worst_case(configuration)
    assert -0.999 < worst.sticks["left-stick-x"] < 0.999
    assert nominal_current_a(configuration, worst.sticks) == pytest.approx(worst.total_a, rel=1e-9)
    assert corners_a(configuration, steps=5) < 0.97 * worst.total_a
    assert random_a(configuration, 1500) < 0.97 * worst.total_a


def test_a_trim_that_keeps_a_demand_from_rest_is_searched_with_scale() -> None:
    shares = {"surge": {1: 1.0, 2: 1.0}, "yaw": {1: 1.0, 2: -1.0}}
    controls = [
        {"control": "left-stick-y", "drives": "surge"},
        {"control": "right-stick-x", "drives": "yaw", "full_stick": 0.2},
    ]
    configuration = vehicle_with(shares, controls, when_saturated="scale", trims={"yaw": 0.4})
    worst = worst_case(configuration)
    grid = max(
        nominal_current_a(configuration, {"left-stick-y": x / 200, "right-stick-x": y / 200})
        for x in range(-200, 201, 4)
        for y in range(-200, 201, 4)
    )
    assert grid <= worst.total_a * (1 + 1e-9)
    assert worst.total_a == pytest.approx(grid, rel=0.02)


def test_a_control_that_feeds_two_demands_of_one_shape_is_exact() -> None:
    controls = [
        {"control": "left-stick-y", "drives": "surge"},
        {"control": "left-stick-y", "drives": "yaw", "full_stick": 0.5},
    ]
    configuration = vehicle_with({"surge": {1: 1.0, 2: 1.0}, "yaw": {1: 0.6, 2: -0.6}}, controls)
    worst = worst_case(configuration)
    finest = max(nominal_current_a(configuration, {"left-stick-y": n / 1000}) for n in range(-1000, 1001))
    assert not worst.is_at_most
    assert worst.total_a == pytest.approx(finest, rel=1e-9)


def test_a_shared_control_whose_demand_clips_is_exact_as_well() -> None:
    controls = [
        {"control": "left-stick-y", "drives": "surge"},
        {"control": "left-stick-y", "drives": "yaw", "full_stick": 1.0},
    ]
    shares = {"surge": {1: 0.5, 2: 0.5}, "yaw": {1: 0.5, 2: -0.5}}
    configuration = vehicle_with(shares, controls, trims={"surge": 0.6, "yaw": -0.1})
    worst = worst_case(configuration)
    finest = max(nominal_current_a(configuration, {"left-stick-y": n / 1000}) for n in range(-1000, 1001))
    assert worst.total_a == pytest.approx(finest, rel=1e-9)


def test_entries_of_different_shapes_on_one_control_give_a_stated_upper_bound() -> None:
    controls = [
        {"control": "left-stick-y", "drives": "surge", "dead_band": 0.1},
        {"control": "left-stick-y", "drives": "yaw", "cubic_share": 1.0},
    ]
    configuration = vehicle_with({"surge": {1: 0.7, 2: 0.7}, "yaw": {1: 0.3, 2: -0.3}}, controls)
    worst = worst_case(configuration)
    assert worst.is_at_most
    finest = max(nominal_current_a(configuration, {"left-stick-y": n / 500}) for n in range(-500, 501))
    assert worst.total_a >= finest - 1e-9


def test_a_channel_driven_directly_by_a_button_counts() -> None:
    controls = [
        {"control": "left-stick-y", "drives": "surge"},
        {"control": "right-front-bottom", "drives": "channel-2", "full_stick": 0.5},
    ]
    thrusters = [thruster_document(f"t{c}", c, [0.0, 0.1 * c, 0.0], [1.0, 0.0, 0.0]) for c in (1, 2)]
    box = box_document({"surge": {1: 1.0}}, controls)
    configuration = configuration_of(replace_documents(vehicle_document(thrusters), box, CURRENTS))
    worst = worst_case(configuration)
    assert worst.total_a == pytest.approx(4.6 + 1.2 + STANDING_A)
    assert worst.demand == {"surge": 1.0, "channel-2": 0.5}
    assert per_channel_worst_a(configuration) == {1: pytest.approx(4.6), 2: pytest.approx(1.2)}


def test_thrusters_on_one_channel_add_up_in_its_greatest_current() -> None:
    documents_ = puffin()
    for row in documents_.vehicle["thrusters"]:
        row["channel"] = 5 if row["channel"] == 6 else row["channel"]
    each = per_channel_worst_a(configuration_of(documents_))
    assert each[5] == pytest.approx(2 * 4.4)
    assert each[1] == pytest.approx(4.4)


@settings(max_examples=60, deadline=None)
@given(configurations(), st.floats(0.0, 12.0))
def test_channels_above_a_current_are_the_same_however_few_are_asked_for(
    configuration: Configuration, above_a: float
) -> None:
    every = per_channel_worst_a(configuration)
    asked = per_channel_worst_a(configuration, above_a)
    assert asked.items() <= every.items()
    assert {c for c, a in asked.items() if a > above_a} == {c for c, a in every.items() if a > above_a}


def test_with_scale_a_channel_that_never_saturates_alone_keeps_its_smaller_greatest() -> None:
    shares = {"surge": {1: 1.0, 2: 0.5}}
    configuration = vehicle_with(shares, when_saturated="scale")
    each = per_channel_worst_a(configuration)
    assert each == {1: pytest.approx(4.6), 2: pytest.approx(1.2)}


@settings(max_examples=120, deadline=None)
@given(st.data())
def test_no_position_of_the_controls_draws_more_than_the_worst_case(data: st.DataObject) -> None:
    configuration = data.draw(configurations())
    worst, each = worst_case(configuration), per_channel_worst_a(configuration)
    for _ in range(6):
        sticks = data.draw(stick_positions(configuration))
        assert nominal_current_a(configuration, sticks) <= worst.total_a * (1 + 1e-8)
        asked = demands_from_sticks(configuration, sticks)
        commands = channel_commands(configuration, asked.demands, asked.direct)
        for channel, greatest in each.items():
            alone = replace(
                configuration, thrusters=tuple(t for t in configuration.thrusters if t.channel == channel)
            )
            drawn = nominal_current_a(alone, sticks) - STANDING_A
            assert drawn <= greatest * (1 + 1e-8) + 1e-9, (channel, commands[channel])


@settings(max_examples=80, deadline=None)
@given(configurations())
def test_the_worst_case_is_drawn_at_the_positions_it_names(configuration: Configuration) -> None:
    worst = worst_case(configuration)
    drawn = nominal_current_a(configuration, worst.sticks)
    if worst.is_at_most:
        assert drawn <= worst.total_a * (1 + 1e-8)
    else:
        assert drawn == pytest.approx(worst.total_a, rel=1e-8)
        shown = demands_from_sticks(configuration, worst.sticks)
        for name, value in worst.demand.items():
            if not name.startswith("channel-"):
                assert shown.demands[name] == pytest.approx(value, abs=1e-9)


@settings(max_examples=40, deadline=None)
@given(documents(), st.sampled_from((0.5, 2.0, 3.0)))
def test_currents_scale_with_the_tables(vehicle, factor: float) -> None:
    before = worst_case(configuration_of(vehicle)).total_a - STANDING_A
    louder = vehicle.copy()
    for model in louder.models.values():
        for point in model["points"]:
            point["current_a"] *= factor
    after = worst_case(configuration_of(louder)).total_a - STANDING_A
    assert after == pytest.approx(factor * before, rel=1e-7, abs=1e-9)


@settings(max_examples=40, deadline=None)
@given(configurations(has_trims=False), st.integers(1, 9))
def test_less_stick_never_draws_more(configuration: Configuration, tenths: int) -> None:
    less = worst_case(scaled_full_stick(configuration, tenths / 10))
    whole = worst_case(configuration)
    if not whole.is_at_most:
        assert less.total_a <= whole.total_a * (1 + 1e-8) or less.is_at_most


@pytest.mark.parametrize(
    ("field", "value"), [("dead_band", 1.0), ("cubic_share", 1.5), ("full_stick", float("nan"))]
)
def test_a_control_that_is_no_sound_number_is_refused_by_name(field: str, value: float) -> None:
    configuration = configuration_of(puffin())
    first, *rest = configuration.steering_scheme.entries
    bad = replace(configuration.steering_scheme, entries=(replace(first, **{field: value}), *rest))
    with pytest.raises(OutOfRangeError, match=f"{field} of left-stick-y"):
        worst_case(replace(configuration, steering_scheme=bad))


@given(st.sampled_from((0.0, 0.08, 0.3)), st.sampled_from((0.0, 0.4, 1.0)), st.integers(-100, 100))
def test_a_lever_s_position_gives_the_shaped_value_back(
    dead_band: float, cubic_share: float, hundredths: int
) -> None:
    lever = Lever("left-stick-y", (dead_band, cubic_share), -1.0, {"surge": 1.0})
    entry = ControlEntry("left-stick-y", "surge", dead_band=dead_band, cubic_share=cubic_share)
    value = hundredths / 100
    assert shaped(entry, lever.position(value)) == pytest.approx(value, abs=1e-9)


def test_a_share_that_is_infinite_is_refused_by_name() -> None:
    configuration = configuration_of(puffin())
    shares = {"surge": {1: float("inf")}}
    with pytest.raises(OutOfRangeError, match="share of surge on channel 1"):
        worst_case(replace(configuration, thruster_map=replace(configuration.thruster_map, shares=shares)))
