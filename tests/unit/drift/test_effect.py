"""What a difference does: demands turned round, demands lost, current."""

from __future__ import annotations

import pytest
from drifting import PHYSICS, resolved
from hypothesis import given, settings
from hypothesis import strategies as st
from vehicles import documents, resolved_of

from rovlog.domain.drift.effect import effect_of, reference_of
from rovlog.domain.drift.leaves import with_value

BASE = resolved()
REFERENCE = reference_of(BASE, PHYSICS)
LIFTERS = ("lift-port", "lift-starboard")


def effect(changed):
    return effect_of(REFERENCE, changed, PHYSICS)


def with_all(resolved_object, thrusters, key, value):
    for name in thrusters:
        resolved_object = with_value(resolved_object, f"/thrusters/{name}/{key}", value)
    return resolved_object


def test_both_lifters_crossed_turn_heave_round_and_lose_nothing_else():
    found = effect(with_all(BASE, LIFTERS, "polarity", "reversed"))
    assert found.reversed == ("heave",)
    assert found.lost == {}


def test_one_lifter_crossed_leaves_no_heave_one_way():
    # Ahead 11 N against astern 9 N: what is left points the same way whatever is asked.
    assert effect(with_all(BASE, LIFTERS[:1], "polarity", "reversed")).lost["heave"] == 1.0


def test_two_things_turned_round_answer_as_before():
    entry = "/steering_scheme/controls/right-stick-y/0/reversed"
    changed = with_value(with_all(BASE, LIFTERS, "polarity", "reversed"), entry, True)
    assert effect(changed).reversed == ()


def test_full_stick_counts_in_what_is_lost_through_the_thruster_table():
    found = effect(with_value(BASE, "/steering_scheme/controls/right-stick-y/0/full_stick", 0.5))
    assert found.lost == {"heave": pytest.approx(1 - 3.9 / 11, abs=5e-4)}


def test_a_control_taken_away_loses_its_demand_both_ways():
    found = effect(with_value(BASE, "/steering_scheme/controls/right-stick-y/0/drives", "yaw"))
    assert found.lost["heave"] == 1.0
    assert "heave answers no longer" in found.text


def test_current_is_said_with_the_limit_it_passes():
    found = effect(with_value(BASE, "/electrical/standing_loads/camera/current_a", 1.35))
    assert found.worst_case_current_a.after - found.worst_case_current_a.before == pytest.approx(1.0)
    assert "worst-case current 27.8 A instead of 26.8 A, above the 15.0 A" in found.text


def test_controls_that_drive_channels_directly_still_reach_a_demand():
    tank = {
        "left-stick-y": [{"drives": "channel-5", "reversed": True}],
        "right-stick-y": [{"drives": "channel-6", "reversed": True}],
    }
    found = effect({**BASE, "steering_scheme": {"controls": tank}})
    assert "heave" not in found.lost
    assert found.lost["surge"] == 1.0


@settings(max_examples=40)
@given(documents())
def test_no_difference_has_no_effect(generated):
    same = resolved_of(generated)
    found = effect_of(reference_of(same, PHYSICS), same, PHYSICS)
    assert (found.reversed, dict(found.lost)) == ((), {})


@settings(max_examples=40)
@given(documents(has_direct=False), st.data())
def test_losses_are_shares_and_a_demand_is_never_both_lost_and_reversed(generated, data):
    before = resolved_of(generated)
    name = data.draw(st.sampled_from(sorted(before["thrusters"])))
    old = before["thrusters"][name]["polarity"]
    after = with_value(before, f"/thrusters/{name}/polarity", "normal" if old == "reversed" else "reversed")
    found = effect_of(reference_of(before, PHYSICS), after, PHYSICS)
    assert all(0 < share <= 1 for share in found.lost.values())
    assert not set(found.reversed) & set(found.lost)
