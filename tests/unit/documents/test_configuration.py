"""The resolved configuration, its typed values, and the box's code tables in words."""

from __future__ import annotations

from copy import deepcopy
from math import pi

import pytest
from hypothesis import given, settings
from vehicles import configuration_of, documents, puffin, resolved_of

from rovlog.documents.canonical import digest
from rovlog.documents.configuration import configuration, decode, resolve
from rovlog.domain.electrical.tether import awg_area_mm2
from rovlog.domain.vehicle import ThrustPoint
from rovlog.problems import UsageError


def resolved(these):
    """The subject on a set of documents."""
    return resolve(these.vehicle, these.box, these.models)


@settings(max_examples=40, deadline=None)
@given(documents(vary_electrical=True))
def test_resolving_and_typing_agree_with_a_second_way_of_writing_them(these):
    assert resolved(these) == resolved_of(these)
    typed, second = configuration(resolved(these)), configuration_of(these)
    assert typed.electrical == second.electrical
    assert typed.thrusters == second.thrusters
    assert typed.thruster_map == second.thruster_map
    assert set(typed.steering_scheme.entries) == set(second.steering_scheme.entries)


def test_names_notes_trims_of_nought_and_empty_limits_are_no_part_of_it():
    bare, wordy = puffin(), puffin()
    wordy.vehicle.update(
        {"name": "Another", "notes": ["a"], "trim_defaults": {"yaw": 0, "heave": 0.0}, "limits": {}}
    )
    wordy.vehicle["thrusters"][0]["note"] = "new guard"
    wordy.vehicle["housings"][0]["name"] = "Barrel"
    wordy.box["steering_schemes"][2]["name"] = "renamed"
    wordy.models["heron-50"]["notes"] = "weighed"
    assert digest(resolved(wordy)) == digest(resolved(bare))
    assert "limits" not in resolved(wordy)
    assert resolved(wordy)["trim_defaults"] == {}


def test_a_firmware_that_renumbers_a_code_changes_the_digest():
    before, after = puffin(), puffin()
    after.box["firmware"] = "0.8"
    after.box["thruster_maps"] = {5: {"shares": {"surge": {1: 0.5}}, "when_saturated": "clip"}}
    assert digest(resolved(before)) != digest(resolved(after))
    assert before.vehicle["control_box"] == after.vehicle["control_box"]


def test_the_order_of_thrusters_in_the_file_is_no_part_of_it():
    before, after = puffin(), puffin()
    after.vehicle["thrusters"].reverse()
    assert digest(resolved(before)) == digest(resolved(after))


def test_a_number_the_box_does_not_have_is_refused_with_those_it_has():
    these = puffin()
    these.vehicle["control_box"]["thruster_map"] = 3
    with pytest.raises(UsageError, match="has no thruster map 3") as caught:
        resolved(these)
    assert caught.value.mend == "its numbers are: 5"


def test_another_box_and_a_missing_model_are_refused():
    these = puffin()
    with pytest.raises(UsageError, match="not pier-box"):
        resolve(these.vehicle, these.box | {"box": "pier-box"}, these.models)
    with pytest.raises(UsageError, match="no thruster model heron-50"):
        resolve(these.vehicle, these.box, {})


def test_resolving_leaves_the_documents_as_they_were():
    these = puffin()
    kept = deepcopy(these)
    resolved(these)["hull"]["mass_kg"] = 99
    assert these == kept


def test_the_origin_is_put_into_a_table_without_it_and_points_are_sorted():
    these = puffin()
    these.models["heron-50"]["points"] = [
        {"command": 1, "thrust_n": 9, "current_a": 4},
        {"command": -1, "thrust_n": -7, "current_a": 3},
    ]
    points = configuration(resolved(these)).models["heron-50"].points
    assert points == (ThrustPoint(-1, -7, 3), ThrustPoint(0, 0, 0), ThrustPoint(1, 9, 4))


# ASTM B258, diameters that define the gauge (second-hand, as wire tables quote them): 36 is 0.0050 inch,
# 4/0 is 0.4600 inch; 10 is 0.1019 inch, rounded to four places.
GAUGES = [(36, 0.0050, 1e-9), (-3, 0.4600, 1e-9), (10, 0.1019, 5e-5)]


@pytest.mark.parametrize(("gauge", "inch", "tolerance"), GAUGES)
def test_wire_gauges_have_the_diameters_of_the_standard(gauge, inch, tolerance):
    diameter_mm = (4 / pi * awg_area_mm2(gauge)) ** 0.5
    assert diameter_mm / 25.4 == pytest.approx(inch, abs=tolerance)


def test_a_tether_by_gauge_has_the_area_of_the_gauge():
    these = puffin()
    these.vehicle["electrical"]["tether"] = {"length_m": 9, "conductor_awg": 18, "carries": "supply-pair"}
    area = configuration(resolved(these)).electrical.tether.conductor_area_mm2
    assert area == pytest.approx(0.823, abs=5e-4)  # wire tables print 0.823 mm2 for 18 AWG


def test_numbers_are_told_in_the_words_of_the_firmware_that_is_asked_for():
    box = puffin().box | {"other_firmwares": {"0.5": {"thruster_maps": {"5": {"name": "old", "shares": {}}}}}}
    assert decode(box).map_name(5) == '5 "as built"'
    assert decode(box, "0.5").map_name(5) == '5 "old"'
    assert decode(box, "0.5").scheme_name(2) == "2 (no steering scheme 2 in firmware 0.5)"
    assert decode(box, "3.0").map_name(5) == "5 (no code table for firmware 3.0)"
