"""What each control does, in the pilot's words, as it really comes out."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from vehicles import configuration_of, configurations, puffin

from rovlog.domain.allocation.controls import control_effects
from rovlog.domain.allocation.gamepad import CONTROLS
from rovlog.faces.reports.control_text import control_texts
from rovlog.faces.reports.motion_text import demand_words, figures, wrench_words


def texts(documents, *controls) -> dict[str, str]:
    documents.box["steering_schemes"][2]["controls"] += controls
    return control_texts(control_effects(configuration_of(documents)))


def test_the_controls_of_the_hand_made_vehicle_say_what_they_do():
    assert texts(puffin()) == {
        "left-stick-y": "left stick forward: ahead; back: astern",
        "left-stick-x": "left stick right: sideways to starboard; left: sideways to port",
        "right-stick-y": "right stick forward: up; back: down",
        "right-stick-x": "right stick right: turns the bow to starboard; left: turns the bow to port"
        " (nothing in the first 6 % of the throw; gentle near the centre, 40 % cubic)",
    }


def test_a_control_through_crossed_wiring_says_what_really_happens():
    documents = puffin()
    for row in documents.vehicle["thrusters"][:4]:
        row["polarity"] = "reversed"
    assert texts(documents)["left-stick-y"] == "left stick forward: astern; back: ahead"


def test_a_reversed_control_says_what_really_happens():
    documents = puffin()
    documents.box["steering_schemes"][2]["controls"][0]["reversed"] = False
    assert texts(documents)["left-stick-y"] == "left stick forward: astern; back: ahead"


@pytest.mark.parametrize(
    ("row", "expected"),
    [
        (
            {"control": "left-cluster-top", "drives": "channel-5"},
            "left cluster top button: channel 5 by itself: down and rolls port side down",
        ),
        (
            {"control": "right-front-bottom", "drives": "heave", "full_stick": 0.5, "reversed": True},
            "right front bottom button: up (full throw asks only half of heave)",
        ),
        (
            {"control": "centre-centre", "drives": "surge", "full_stick": 0.7},
            "centre middle button: ahead (full throw asks only 70 % of surge)",
        ),
        (
            {"control": "left-front-top", "drives": "roll"},
            "left front top button: nothing (roll has no share in the thruster map)",
        ),
        (
            {"control": "left-front-top", "drives": "channel-7"},
            "left front top button: nothing (nothing is wired to channel 7)",
        ),
        (
            {"control": "left-front-top", "drives": "surge", "full_stick": 0.0},
            "left front top button: nothing (what it asks of the thrusters comes to nothing; "
            "full throw asks only 0 % of surge)",
        ),
    ],
)
def test_one_more_control_says_what_it_does(row, expected):
    assert texts(puffin(), row)[row["control"]] == expected


def test_a_control_on_two_demands_names_both():
    documents = puffin()
    documents.box["steering_schemes"][2]["controls"].append({"control": "left-stick-x", "drives": "yaw"})
    said = texts(documents)["left-stick-x"]
    assert "left stick right: sideways to starboard and turns the bow to starboard" in said


def test_a_control_on_a_demand_and_a_channel_names_both():
    documents = puffin()
    rows = [
        {"control": "left-front-top", "drives": "surge"},
        {"control": "left-front-top", "drives": "channel-5"},
    ]
    said = texts(documents, *rows)["left-front-top"]
    assert said.startswith("left front top button: ahead, also ")
    assert "down" in said
    assert said.endswith("with channel 5 by itself")


def test_a_demand_that_moves_only_another_axis_is_said_so():
    documents = puffin()
    documents.box["thruster_maps"][5]["shares"]["surge"] = {5: 1.0, 6: 1.0}
    assert (
        texts(documents)["left-stick-y"] == "left stick forward: no surge, but down; back: no surge, but up"
    )


def test_what_a_control_drags_along_is_said():
    documents = puffin()
    documents.vehicle["thrusters"] = documents.vehicle["thrusters"][:1] + documents.vehicle["thrusters"][3:]
    said = texts(documents)["left-stick-y"]
    assert said.startswith("left stick forward: ahead, also turns the bow to starboard")


@settings(max_examples=40)
@given(configurations())
def test_every_control_of_the_scheme_has_one_sentence_that_begins_with_its_place(configuration):
    said = control_texts(control_effects(configuration))
    assert list(said) == list(dict.fromkeys(e.control for e in configuration.steering_scheme.entries))
    for control, text in said.items():
        assert text.startswith(CONTROLS[control].words(CONTROLS[control].ends[0]))


def test_a_wrench_is_said_with_its_signs_in_words():
    wrench = {"X": 12.34, "Y": 0.0, "Z": -0.5, "K": 0.0, "M": -0.3, "N": 1.204}
    assert (
        wrench_words(wrench)
        == "ahead 12.3 N; up 0.500 N; pitches the bow down 0.300 N m; turns the bow to starboard 1.20 N m"
    )
    assert wrench_words(dict.fromkeys(wrench, 0.0)) == "nothing moves the vehicle"


def test_a_trace_of_force_beside_a_large_one_is_left_unsaid():
    wrench = {**dict.fromkeys("XYZKMN", 0.0), "X": -40.0, "Y": 0.1}
    assert wrench_words(wrench) == "astern 40.0 N"


@pytest.mark.parametrize(
    ("demand", "value", "words"),
    [
        ("heave", -0.4, "heave 40 % up"),
        ("heave", 0.4, "heave 40 % down"),
        ("yaw", 1.0, "yaw 100 % to starboard"),
        ("surge", -0.125, "surge 12.5 % astern"),
        ("pitch", 0.5, "pitch 50 % bow up"),
        ("sway", 0.0, "sway 0 %"),
    ],
)
def test_a_demand_is_said_with_its_sign_in_words(demand, value, words):
    assert demand_words(demand, value) == words


@pytest.mark.parametrize(
    ("value", "written"),
    [
        (12.34, "12.3"),
        (9.996, "10.0"),
        (1.2, "1.20"),
        (0.0449, "0.0449"),
        (1234.4, "1234"),
        (0, "0"),
        (0.9996, "1.00"),
    ],
)
def test_figures_have_three_digits_and_no_powers(value, written):
    assert figures(value) == written
