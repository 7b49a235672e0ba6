"""Idle thrusters, empty channels, uneven pairs, rank, and the best shares."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from vehicles import configuration_of, configurations, model_document, puffin, thruster_document

from rovlog.domain.allocation.arrangement import (
    empty_channels,
    mirror_mismatches,
    rank,
    unused_thrusters,
)
from rovlog.domain.allocation.authority import AXIS_OF, asked_demands, in_newton
from rovlog.domain.allocation.findings import motion_findings
from rovlog.domain.allocation.response import response
from rovlog.domain.allocation.shares import best_shares
from rovlog.domain.allocation.table_findings import model_findings
from rovlog.domain.allocation.wrench import largest_lever_m
from rovlog.domain.vehicle import Configuration, ThrusterMap, ThrusterModel, ThrustPoint


def test_a_thruster_that_no_demand_uses_is_named_with_the_control_that_does():
    documents = puffin()
    documents.box["thruster_maps"][5]["shares"]["heave"] = {5: 1.0, 6: 0.0}
    (found,) = unused_thrusters(configuration_of(documents))
    assert (found.thruster, found.controls) == ("lift-starboard", ())
    documents.box["steering_schemes"][2]["controls"].append(
        {"control": "left-front-top", "drives": "channel-6"}
    )
    (found,) = unused_thrusters(configuration_of(documents))
    assert found.controls == ("left-front-top",)
    text = _text_of("unused-lift-starboard", configuration_of(documents))
    assert text.endswith("; only left-front-top drives it directly")
    documents.box["steering_schemes"][2]["controls"].append(
        {"control": "right-front-top", "drives": "channel-6", "reversed": True}
    )
    text = _text_of("unused-lift-starboard", configuration_of(documents))
    assert text.endswith("; only left-front-top and right-front-top drive it directly")


def _text_of(finding: str, configuration: Configuration) -> str:
    return next(f.text for f in motion_findings(configuration) if f.finding == finding)


def test_a_channel_driven_with_nothing_on_it_is_named_with_what_drives_it():
    documents = puffin()
    documents.box["thruster_maps"][5]["shares"]["heave"][7] = 0.5
    documents.box["steering_schemes"][2]["controls"].append(
        {"control": "left-front-top", "drives": "channel-8"}
    )
    seven, eight = empty_channels(configuration_of(documents))
    assert (seven.channel, seven.demands, seven.controls) == (7, ("heave",), ())
    assert (eight.channel, eight.demands, eight.controls) == (8, (), ("left-front-top",))


def test_a_vehicle_built_and_wired_as_its_own_mirror_image_is_even():
    assert mirror_mismatches(configuration_of(puffin())) == ()


def test_a_polarity_made_good_in_the_map_is_no_difference():
    documents = puffin()
    documents.vehicle["thrusters"][5]["thrust_direction"] = [0.0, 0.0, -1.0]
    documents.vehicle["thrusters"][5]["polarity"] = "reversed"
    documents.models["heron-50"] = model_document("heron-50", [(-1.0, -9.0, 4.0), (1.0, 9.0, 4.0)])
    assert mirror_mismatches(configuration_of(documents)) == ()


def test_a_crossed_lead_in_a_mirrored_pair_is_found():
    documents = puffin()
    documents.vehicle["thrusters"][5]["polarity"] = "reversed"
    (found,) = mirror_mismatches(configuration_of(documents))
    assert (found.port, found.starboard, found.demand) == ("lift-port", "lift-starboard", "heave")
    assert found.difference > 1.5


@pytest.mark.parametrize(("thrust_n", "is_found"), [(10.0, False), (9.0, True)])
def test_a_weaker_model_in_a_mirrored_pair_is_found_from_a_tenth_on(thrust_n, is_found):
    documents = puffin()
    documents.models["heron-50"] = model_document("heron-50", [(-1.0, -11.0, 4.0), (1.0, 11.0, 4.0)])
    documents.models["knot-10"] = model_document("knot-10", [(-1.0, -thrust_n, 4.0), (1.0, thrust_n, 4.0)])
    documents.vehicle["thrusters"][5]["model"] = "knot-10"
    found = mirror_mismatches(configuration_of(documents))
    assert bool(found) is is_found
    if found:
        assert found[0].difference == pytest.approx((11.0 - thrust_n) / 11.0)


def test_a_pair_further_than_two_centimetres_from_its_mirror_image_is_not_a_pair():
    documents = puffin()
    documents.vehicle["thrusters"][5].update(polarity="reversed", position_m=[0.021, 0.11, -0.03])
    assert mirror_mismatches(configuration_of(documents)) == ()


def test_two_parallel_thrusters_have_rank_two_for_surge_sway_and_yaw():
    # Linear algebra, worked example: two thrusters ahead at y = -0.15 and 0.15 cannot make sway.
    documents = puffin()
    documents.vehicle["thrusters"] = [
        thruster_document("port", 1, [0.0, -0.15, 0.0], [1.0, 0.0, 0.0]),
        thruster_document("starboard", 2, [0.0, 0.15, 0.0], [1.0, 0.0, 0.0]),
    ]
    shares = {"surge": {1: 1.0, 2: 1.0}, "sway": {1: 1.0}, "yaw": {1: 1.0, 2: -1.0}}
    documents.box["thruster_maps"][5]["shares"] = shares
    documents.box["steering_schemes"][2]["controls"] = []
    configuration = configuration_of(documents)
    assert (rank(configuration).rank, rank(configuration).axes) == (2, ("X", "Y", "N"))
    assert "dependent-demands" in {f.finding for f in motion_findings(configuration)}
    assert set(best_shares(configuration)) == {"surge", "yaw"}


def test_thrusters_on_one_channel_count_once_in_the_rank():
    documents = puffin()
    for row in documents.vehicle["thrusters"]:
        row["channel"] = 1
    assert rank(configuration_of(documents)).rank == 1


def test_the_best_shares_of_the_hand_made_vehicle_are_the_closed_form():
    # Four at 45 degrees: every axis takes all four alike, by sign; the two lifts share heave.
    found = best_shares(configuration_of(puffin()))
    assert found["surge"].shares == {1: 1.0, 2: 1.0, 3: 1.0, 4: 1.0}
    assert found["sway"].shares == {1: 1.0, 2: -1.0, 3: 1.0, 4: -1.0}
    assert found["heave"].shares == {5: 1.0, 6: 1.0}
    assert found["yaw"].shares == {1: 1.0, 2: -1.0, 3: -1.0, 4: 1.0}


def test_the_best_shares_mend_a_crossed_lead():
    documents = puffin()
    documents.vehicle["thrusters"][5]["polarity"] = "reversed"
    assert best_shares(configuration_of(documents))["heave"].shares == {5: 1.0, 6: -1.0}


def test_the_best_shares_say_what_they_cannot_avoid():
    documents = puffin()
    documents.vehicle["thrusters"] = [thruster_document("side", 2, [0.2, 0.0, 0.0], [0.0, 1.0, 0.0])]
    documents.box["thruster_maps"][5]["shares"] = {"sway": {2: 1.0}}
    documents.box["steering_schemes"][2]["controls"] = []
    (found,) = best_shares(configuration_of(documents)).values()
    assert found.shares == {2: 1.0}
    assert found.unwanted == {"N": pytest.approx(1.0)}  # 0.2 m of the largest lever arm, 0.2 m


def straight(model: ThrusterModel) -> ThrusterModel:
    """The model with one straight line from end to end."""
    end = model.points[-1]
    return ThrusterModel(model.model, model.rated_v, (ThrustPoint(-1.0, -end.thrust_n, end.current_a), end))


@settings(max_examples=40)
@given(configurations())
def test_with_straight_tables_the_best_shares_answer_as_commanded_and_move_nothing_else(configuration):
    models = {m: straight(v) for m, v in configuration.models.items()}
    configuration = replace(configuration, models=models)
    best = best_shares(configuration)
    shares = {d: dict(row.shares) for d, row in best.items()}
    mapped = replace(configuration, thruster_map=ThrusterMap(shares, "clip"))
    lever = largest_lever_m(configuration) or 1.0
    push = sum(models[t.model].points[-1].thrust_n for t in configuration.thrusters)
    asked = {AXIS_OF[d] for d in asked_demands(configuration)} | set("XYZN")
    for demand, row in best.items():
        assert max(abs(v) for v in row.shares.values()) == 1.0
        wrench = in_newton(response(mapped, {demand: 1.0}).wrench, lever)
        own = wrench[AXIS_OF[demand]]
        rounding = 0.0005 * push  # shares are written to three decimals
        assert own > -rounding
        for axis in asked - {AXIS_OF[demand]} - set(row.unwanted):
            assert abs(wrench[axis]) <= 0.0101 * abs(own) + 1.02 * rounding + 1e-9


@pytest.mark.parametrize(
    ("points", "found"),
    [
        ([(-1, -5, 2), (1, 6, 2.5)], []),
        ([(-1, -5, 2), (0.5, 3, 3), (1, 6, 2.5)], ["current-falls-m", "motor-current-falls-m"]),
        ([(-1, -5, 2), (0.5, 3, 1.5), (1, 6, 2.5)], ["motor-current-falls-m"]),
        ([(-1, -5, 2), (-0.5, -6, 1), (1, 6, 2.5)], ["thrust-falls-m"]),
    ],
)
def test_a_table_that_falls_is_said_by_name(points, found):
    model = ThrusterModel("m", 12.0, tuple(ThrustPoint(*p) for p in points))
    assert [f.finding for f in model_findings(model)] == found
