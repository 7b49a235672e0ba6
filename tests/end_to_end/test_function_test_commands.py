"""The function test by the command line: told, called, answered, counted, and nothing given away."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from calling import CommandLine
from three_thrusters import three_thrusters

ORDER = [
    ("left-stick-y", -1), ("left-stick-y", 1), ("left-stick-x", 1),
    ("left-stick-x", -1), ("right-stick-y", -1), ("right-stick-y", 1),
]  # fmt: skip


@pytest.fixture
def bench(tmp_path: Path) -> CommandLine:
    call = three_thrusters(tmp_path)
    with (tmp_path / "logbook.yaml").open("a", encoding="utf-8") as file:
        file.write("policy: {dry_rest_s: 0}\n")
    call("work", "start", "smew", "--by", "ro", "--purpose", "which lead", "--crew", "technician=aino")
    return call


def test_push_by_push_until_the_whole_test_is_watched(bench):
    for number, (control, way) in enumerate(ORDER):
        told = bench.json("work", "observe", "smew", "--next")
        assert (told["watched"], told["pushes"], told["medium"]) == (number, 6, "dry")
        [(name, position)] = told["next"]["push"].items()
        assert (name, position * way > 0) == (control, True)
        assert told["next"]["greatest_command"] <= 0.3 + 1e-9
        if number == 0:
            called = bench.json("work", "observe", "smew", "--clear", "--by", "aino")
            assert called["push"] == told["next"]["push"]
            assert (
                "not over: wait" in bench("work", "observe", "smew", "--clear", "--by", "aino", status=2).err
            )
        seen = ("aft-port=stern", "aft-starboard=none", "lift=unseen")
        kept = bench.json("work", "observe", "smew", "--seen", *seen, "--by", "aino", status=None)
        assert kept["push"] == told["next"]["push"]
        assert kept["seen"] == {"aft-port": "ahead", "aft-starboard": "still", "lift": "unseen"}
        assert not any("command" in e for e in kept["excesses"])
    shown = bench.json("work", "show", "smew")["function_test"]
    assert (shown["watched"], shown["pushes"], shown["left"]) == (6, 6, [])
    assert "6 of 6 pushes watched, the whole of it" in bench("work", "show", "smew").out
    assert "The whole test is watched" in bench("work", "observe", "smew", "--next").out
    assert bench.json("diagnose", "smew", status=None)["dry"] is True
    assert bench.json("diagnose", "smew", "--wet", status=None)["dry"] is False


def test_the_next_push_says_stick_caution_and_words_and_no_prediction(bench):
    text = bench("work", "observe", "smew", "--next").out
    for words in ("Next push: left stick forward at", "CAUTION: Clamped", "never feel for it with a hand",
                  'calls "clear"', "bow, stern, port, starboard, up, down, none, unseen"):  # fmt: skip
        assert words in text
    data = bench.json("work", "observe", "smew", "--next")
    assert not {"seen", "expected", "predicted", "flow"} & set(data)
    # Letter by letter the same with every thruster wired the other way round.
    file = bench.root / "vehicles" / "smew.yaml"
    turned = (
        file.read_text()
        .replace("polarity: normal", "polarity: X")
        .replace("polarity: reversed", "polarity: normal")
    )
    file.write_text(turned.replace("polarity: X", "polarity: reversed"))
    call = ("work", "start", "smew", "--by", "ro", "--purpose", "turned", "--crew", "technician=aino")
    bench("work", "close", "smew", "--by", "ro")
    bench(*call)
    assert bench("work", "observe", "smew", "--next").out == text
    other = bench.json("work", "observe", "smew", "--next")
    keys = ("next", "words", "thrusters", "caution", "left")
    assert json.dumps([other[k] for k in keys]) == json.dumps([data[k] for k in keys])


def test_a_full_stick_in_air_is_not_begun_and_is_kept_once_it_was_seen(bench):
    push = ("--push", "left-stick-y=-1")
    refused = bench("work", "observe", "smew", "--clear", *push, "--by", "aino", status=2)
    assert "in air at most 30 %" in refused.err
    kept = bench("work", "observe", "smew", *push, "--seen", "lift=none", "--by", "aino", status=1)
    assert "BEYOND the limits in air" in kept.out
    bench("work", "observe", "smew", *push, "--seen", "lift=none", "--medium", "wet", "--by", "aino")


def test_what_is_asked_of_it_is_one_thing_and_by_somebody(bench):
    assert "--next tells" in bench("work", "observe", "smew", status=2).err
    assert "given together" in bench("work", "observe", "smew", "--next", "--clear", status=2).err
    assert "--by PERSON" in bench("work", "observe", "smew", "--clear", status=2).err
    assert (
        "'sternn'" in bench("work", "observe", "smew", "--seen", "lift=sternn", "--by", "aino", status=2).err
    )
