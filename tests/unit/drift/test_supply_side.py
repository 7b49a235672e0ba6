"""What a difference does to fuse, voltage, wires, run time and depth, each on one changed value."""

from __future__ import annotations

from drifting import PHYSICS, resolved

from rovlog.domain.drift.effect import effect_of, reference_of
from rovlog.domain.drift.leaves import differences, with_value
from rovlog.domain.drift.swap import causes, swapped
from rovlog.usecases.physics import bound_physics
from rovlog.values import replace

WHOLE = replace(PHYSICS, supply_side=bound_physics().supply_side)
BASE = resolved()
REFERENCE = reference_of(BASE, WHOLE)


def text(pointer: str, value: object) -> str:
    return effect_of(REFERENCE, with_value(BASE, pointer, value), WHOLE).text


def test_a_longer_tether_costs_thrust_and_may_keep_a_short_alive():
    said = text("/electrical/tether/length_m", 45)
    assert "thrust lost to sag there" in said
    assert "a short at the far end of the tether draws" in said
    assert "may never open on it" in said


def test_a_smaller_fuse_opens_and_the_shortest_time_is_said():
    said = text("/electrical/fuse/rating_a", 7.5)
    assert "the 7.5 A fuse opens, perhaps after" in said


def test_a_supply_with_more_resistance_costs_volts_where_the_electronics_are():
    assert "at the worst manoeuvre the electronics get" in text(
        "/electrical/supply/internal_resistance_ohm", 0.2
    )


def test_electronics_that_need_more_than_they_get_are_named_with_what_they_need():
    assert "they need 12.9 V" in text("/electrical/least_working_v", 12.9)


def test_a_driver_that_carries_less_names_the_channels_above_it():
    said = text("/electrical/drivers/channel_limit_a", 1.0)
    assert "channel 1 up to" in said
    assert "above the driver's 1 A" in said


def test_a_housing_rated_for_less_says_so():
    name = next(iter(BASE["housings"]))
    assert "the weakest housing is rated to 3 m instead of" in text(f"/housings/{name}/depth_rating_m", 3)


def test_a_battery_of_half_the_capacity_runs_shorter():
    supply = {
        **BASE["electrical"]["supply"],
        "capacity_ah": 20.0,
        "discharge_h": 20.0,
        "peukert_exponent": 1.2,
    }
    whole = with_value(BASE, "/electrical/supply", supply)
    half = with_value(whole, "/electrical/supply/capacity_ah", 10.0)
    assert "run time" in effect_of(reference_of(whole, WHOLE), half, WHOLE).text


def test_nothing_that_changes_says_what_was_looked_at():
    assert (
        effect_of(REFERENCE, BASE, WHOLE).text
        == "at full stick no demand changes, nor current, fuse, voltage, run time, depth or buoyancy"
    )


def test_a_number_no_computation_can_use_is_an_effect_that_cannot_be_computed():
    found = effect_of(REFERENCE, with_value(BASE, "/electrical/supply/internal_resistance_ohm", -1.0), WHOLE)
    assert not found.is_known
    assert "internal_resistance_ohm" in found.text


def test_a_thruster_of_another_model_brings_the_models_table_along():
    other = {**BASE["models"][BASE["thrusters"]["lift-port"]["model"]]}
    other["points"] = [
        {**point, "current_a": 2 * point["current_a"], "thrust_n": 2 * point["thrust_n"]}
        for point in other["points"]
    ]
    stronger = with_value(BASE, "/thrusters/lift-port/model", "twice")
    stronger = {**stronger, "models": {**stronger["models"], "twice": other}}
    after = swapped(BASE, "/thrusters/lift-port/model", stronger)
    found = effect_of(REFERENCE, after, WHOLE)
    assert found.is_known
    assert "worst-case current" in found.text


def test_the_table_a_model_brings_is_no_difference_of_its_own():
    stronger = with_value(BASE, "/thrusters/lift-port/model", "twice")
    stronger = {**stronger, "models": {**stronger["models"], "twice": {"rated_v": 12.0, "points": []}}}
    pointers = [p for p, _, _ in causes(differences(BASE, stronger))]
    assert pointers == ["/thrusters/lift-port/model"]


def test_a_table_that_changes_by_itself_stays_a_difference():
    name = BASE["thrusters"]["lift-port"]["model"]
    changed = with_value(BASE, f"/models/{name}/rated_v", 11.0)
    assert [p for p, _, _ in causes(differences(BASE, changed))] == [f"/models/{name}/rated_v"]
