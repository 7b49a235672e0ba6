"""`rovlog response` as a use case: names, ranges, and what goes through shaping."""

from __future__ import annotations

import json

import pytest
from vehicles import configuration_of, puffin

from rovlog.faces.reports.motion_report import motion_data, motion_report
from rovlog.faces.reports.motion_text import response_data, response_text
from rovlog.problems import UsageError
from rovlog.usecases.compute_response import compute_response
from rovlog.usecases.show_vehicle import compute_motion


def trimmed():
    documents = puffin()
    documents.vehicle["trim_defaults"] = {"heave": 0.2}
    return configuration_of(documents)


def test_demands_bypass_shaping_and_trim_and_sticks_go_through_both():
    asked = compute_response(trimmed(), [("yaw", 0.5), ("channel-8", -1.0)])
    assert asked.response.demands["yaw"] == 0.5
    assert asked.response.demands["heave"] == 0.0
    assert asked.response.channels[8] == -1.0
    flown = compute_response(trimmed(), sticks=[("right-stick-x", 0.53)])
    # Dead band 0.06: 0.47 / 0.94 = 0.5; 40 % cubic: 0.6 x 0.5 + 0.4 x 0.125 = 0.35.
    assert flown.response.demands["yaw"] == pytest.approx(0.35)
    assert flown.response.demands["heave"] == 0.2


def test_with_nothing_given_only_the_trims_act():
    found = compute_response(trimmed())
    assert {d: v for d, v in found.response.demands.items() if v} == {"heave": 0.2}


def test_the_data_has_the_words_of_the_contract_and_is_plain_json():
    found = compute_response(configuration_of(puffin()), [("surge", 1.0), ("channel-1", 1.0)])
    data = response_data(found.response, found.motion)
    assert list(data) == ["demands", "channels", "thrusters", "wrench", "text"]
    assert data["demands"]["channel-1"] == 1.0
    assert data["channels"]["1"] == 1.0
    assert data["thrusters"]["bow-port"] == {"thrust_n": 11.0, "current_a": 4.4}
    assert list(data["wrench"]) == ["X", "Y", "Z", "K", "M", "N"]
    assert data["text"].startswith("ahead 31.1 N;")
    assert json.loads(json.dumps(data, allow_nan=False)) == data


def test_the_text_names_every_thruster_and_what_was_asked():
    found = compute_response(trimmed(), sticks=[("left-stick-y", -1.0)])
    said = response_text(found.response, found.motion)
    assert "asked:     surge 100 % ahead, heave 20 % down" in said
    assert all(t in said for t in ("bow-port", "bow-starboard", "lift-port"))


def test_a_control_that_drives_nothing_is_named():
    assert compute_response(trimmed(), sticks=[("left-cluster-top", 1.0)]).idle_controls == (
        "left-cluster-top",
    )


@pytest.mark.parametrize(
    ("demands", "sticks", "words"),
    [
        ([("surg", 1.0)], [], r"no demand 'surg'(?s:.*)surge"),
        ([("chanel-1", 1.0)], [], r"no demand 'chanel-1'(?s:.*)channel-1"),
        ([("channel-9", 1.0)], [], r"no channel 9 on box quay-box(?s:.*)1 to 8"),
        ([("surge", 1.5)], [], "surge is 1.5; expected -1 to 1"),
        ([("channel-2", -2.0)], [], "channel-2 is -2; expected -1 to 1"),
        ([("surge", float("nan"))], [], "surge is nan"),
        ([("surge", 1.0), ("surge", 0.5)], [], "surge is given twice"),
        ([("channel-1", 1.0), ("channel-01", 0.5)], [], "channel-01 is given twice"),
        ([], [("left-stik-y", 1.0)], r"no control 'left-stik-y'(?s:.*)left-stick-y"),
        ([], [("left-front-top", -0.1)], "left-front-top is -0.1; expected 0 to 1"),
        ([("surge", 1.0)], [("left-stick-y", 1.0)], "cannot be given together"),
    ],
)
def test_what_does_not_fit_is_refused_by_name(demands, sticks, words):
    with pytest.raises(UsageError, match=words):
        compute_response(configuration_of(puffin()), demands, sticks)


def test_the_report_on_motion_has_every_part_and_its_data_is_plain_json():
    documents = puffin()
    documents.vehicle["thrusters"][5]["polarity"] = "reversed"
    configuration = configuration_of(documents)
    motion = compute_motion(configuration)
    said = motion_report(motion, configuration.thruster_map.shares)
    assert "left stick forward: ahead; back: astern" in said
    assert "heave answers one way only: full down 2.00 N, full negative down 2.00 N" in said
    assert "nobody asks for roll, pitch" in said
    assert "best: channel 5 +1, channel 6 -1" in said
    data = motion_data(motion)
    assert data["authority"]["heave"]["answers"] == "one-way"
    assert data["limit"]["Z"] == {"positive": 22.0, "negative": -18.0}  # polarity limits nothing
    assert json.loads(json.dumps(data, allow_nan=False)) == data
