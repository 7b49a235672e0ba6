"""How demands answer, what they drag along, and which findings that gives."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from vehicles import configuration_of, configurations, mirrored, model_document, puffin

from rovlog.domain.allocation.authority import AXIS_OF, authority
from rovlog.domain.allocation.findings import motion_findings
from rovlog.domain.allocation.response import response
from rovlog.domain.vehicle import DEMANDS


def changed(**thrusters: dict):
    """The hand-made vehicle with some thrusters changed, by id with underscores."""
    documents = puffin()
    for row in documents.vehicle["thrusters"]:
        row.update(thrusters.get(row["thruster"].replace("-", "_"), {}))
    return documents


def findings(documents) -> dict:
    return {f.finding: f for f in motion_findings(configuration_of(documents))}


def test_the_hand_made_vehicle_answers_as_commanded_and_gives_its_worked_authority():
    found = authority(configuration_of(puffin()))
    assert {d: r.answers for d, r in found.items() if r.is_asked} == dict.fromkeys(
        ("surge", "sway", "heave", "yaw"), "as-commanded"
    )
    assert found["surge"].positive == pytest.approx(44 * math.sqrt(0.5))
    assert found["surge"].negative == pytest.approx(-36 * math.sqrt(0.5))
    assert found["heave"].positive == 22.0
    # Yaw at shares 0.8: the table gives 11 - 0.4 x 7.1 = 8.16 N ahead and 9 - 0.4 x 5.8 = 6.68 N astern,
    # on arms of 0.35 cos 45.
    assert found["yaw"].positive == pytest.approx(2 * (8.16 + 6.68) * 0.35 * math.sqrt(0.5))
    assert findings(puffin()) == {}


def test_coupling_divides_moments_by_the_largest_lever_arm():
    documents = changed(bow_port={"model": "knot-10"}, stern_port={"model": "knot-10"})
    half = [(-1.0, -4.5, 2.0), (1.0, 5.5, 2.2)]
    documents.models["knot-10"] = model_document("knot-10", half)
    row = authority(configuration_of(documents))["surge"]
    # Starboard pushes 11 N twice, port 5.5 N twice, all at 45 degrees: the arm that turns is the largest one.
    lever = 0.35 * math.sqrt(0.5)
    yaw = lever * 2 * (5.5 - 11.0)
    assert row.coupling["N"] == pytest.approx((yaw / lever) / (33.0 * math.sqrt(0.5)))
    assert row.coupling["Z"] == 0.0
    assert set(row.coupling) == {"Y", "Z", "K", "M", "N"}


def test_every_polarity_turned_makes_the_demand_backwards_and_stops_the_dive():
    documents = changed(lift_port={"polarity": "reversed"}, lift_starboard={"polarity": "reversed"})
    row = authority(configuration_of(documents))["heave"]
    assert (row.positive, row.negative, row.answers) == (-18.0, 22.0, "backwards")
    found = findings(documents)["backwards-heave"]
    assert (found.severity, found.observed, found.pointer) == ("stops", -18.0, "/thruster_map/shares/heave")


def test_two_thrusters_against_each_other_answer_one_way():
    documents = changed(lift_port={"polarity": "reversed"})
    row = authority(configuration_of(documents))["heave"]
    # Ahead 11 against astern 9, both ways round: down by 2 N whatever is asked.
    assert row.positive == pytest.approx(2.0)
    assert row.negative == pytest.approx(2.0)
    assert row.answers == "one-way"
    assert findings(documents)["one-way-heave"].severity == "note"


def test_thrusters_alike_both_ways_against_each_other_do_not_answer():
    documents = changed(lift_port={"polarity": "reversed"})
    documents.models["heron-50"] = model_document("heron-50", [(-1.0, -9.0, 4.0), (1.0, 9.0, 4.0)])
    row = authority(configuration_of(documents))["heave"]
    assert (row.positive, row.negative, row.answers, row.coupling) == (0.0, 0.0, "not-at-all", {})
    assert "come to nothing" in findings(documents)["not-at-all-heave"].text


def test_wrong_one_way_and_nothing_the_other_counts_as_backwards():
    documents = puffin()
    documents.box["thruster_maps"][5]["shares"]["heave"] = {5: -1.0}
    documents.models["knot-10"] = model_document("knot-10", [(-1.0, -0.0, 1.0), (1.0, 5.0, 2.0)])
    documents.vehicle["thrusters"][4]["model"] = "knot-10"
    row = authority(configuration_of(documents))["heave"]
    assert (row.positive, row.negative, row.answers) == (0.0, 5.0, "backwards")


def test_a_control_on_a_demand_without_shares_is_said_and_a_demand_nobody_asks_for_is_not():
    documents = puffin()
    documents.box["steering_schemes"][2]["controls"].append({"control": "left-front-top", "drives": "roll"})
    found = findings(documents)
    assert "the map gives it no share" in found["not-at-all-roll"].text
    assert "not-at-all-pitch" not in found


def test_a_push_below_a_thousandth_of_the_thrust_at_work_counts_as_nothing():
    documents = puffin()
    documents.box["thruster_maps"][5]["shares"]["surge"] = {5: 1.0, 6: 1.0}
    for row in documents.vehicle["thrusters"][4:]:
        row["thrust_direction"] = [-0.0004, 0.0, 1.0]
    assert authority(configuration_of(documents))["surge"].answers == "not-at-all"


def test_lines_of_thrust_through_the_origin_are_said_and_nothing_is_divided():
    documents = puffin()
    for row in documents.vehicle["thrusters"]:
        row["position_m"] = [0.0, 0.0, 0.0]
    found = findings(documents)
    assert "nothing rolls, pitches or turns" in found["no-lever-arm"].text
    rows = authority(configuration_of(documents))
    assert rows["surge"].coupling == dict.fromkeys(("Y", "Z", "K", "M", "N"), 0.0)
    assert rows["yaw"].answers == "not-at-all"


@settings(max_examples=40)
@given(configurations())
def test_authority_is_the_response_to_full_demand_or_nothing(configuration):
    for demand, row in authority(configuration).items():
        exact = response(configuration, {demand: 1.0}).wrench[AXIS_OF[demand]]
        if row.positive:
            assert row.positive == exact
            assert all(math.isfinite(v) for v in row.coupling.values())
        else:
            assert row.coupling == {}


@settings(max_examples=40)
@given(configurations())
def test_built_port_for_starboard_sway_roll_and_yaw_answer_the_other_way(configuration):
    here, there = authority(configuration), authority(mirrored(configuration))
    for demand in DEMANDS:
        sign = -1.0 if demand in ("sway", "roll", "yaw") else 1.0
        assert there[demand].positive == pytest.approx(sign * here[demand].positive, abs=1e-9)
