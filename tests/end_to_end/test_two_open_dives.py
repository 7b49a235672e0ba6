"""A vehicle with two open dives: every command that takes a dive asks which, and names both."""

from __future__ import annotations

import shlex

import pytest
from calling import CommandLine, assert_one_clear_error
from hand_written import PEOPLE, write_files

FIRST, SECOND = "auk-20260613-aaaa", "auk-20260613-bbbb"

STEPS = """
show {}
tick {} swimmers --by nora
waive {} recording --reason why --until dive --by nora
defer {} payload --reason why --by nora
not-applicable {} payload --reason why --by nora
pause {} --reason why --by nora
resume {} --by nora
complete {} pre-dive A --by nora
release {} release-power-on --by nora
mark {} in-water --by nora
event {} knocked --by nora
trim {} heave=0,05 --by nora
setup {} steering_scheme=3 --by nora
readback {} --in-use steering_scheme=3 --by nora
observe {} --push left-stick-y=-1 --seen aft-port=ahead --by nora
reading {} clamp-meter current_a=5 --by nora
fault {} yaw-weak --by nora
note {} seen --by nora
crew {} pilot=nora --by nora
clock {} --against "a phone" --off-s 2 --by nora
transcribe {} --by nora --file -
place {} --site lock --by nora
fitted {} tether-a --to tether --by nora
correct {} 1 site=lock --reason why --by nora
close {} --by nora
"""


@pytest.fixture(scope="module")
def call(tmp_path_factory: pytest.TempPathFactory) -> CommandLine:
    root = tmp_path_factory.mktemp("two") / "logbook"
    line = CommandLine(root, ROVLOG_WRITER="test-laptop")
    line.installed("init", str(root), *(w for p in PEOPLE for w in ("--person", p)), cwd=root.parent)
    write_files(root)
    started = line.json("dive", "start", "auk", "--by", "nora", "--site", "lock", "--water", "fresh:12")[
        "dive"
    ]
    first = next((root / "dives").rglob(f"{started}.yaml"))
    # Another laptop started one as well, before the two had met.
    text = first.read_text("utf-8").replace("test-laptop", "other-laptop")
    year = root / "dives" / "2026"
    year.mkdir(exist_ok=True)
    first.unlink()
    for name in (FIRST, SECOND):
        (year / f"{name}.yaml").write_text(text.replace(started, name), "utf-8")
    return line


def test_every_step_of_a_dive_asks_which(call):
    from rovlog.faces.cli.record_commands import STEPS as KNOWN

    tried = set()
    for line in STEPS.strip().splitlines():
        words = shlex.split(line.format("auk"))
        tried.add(words[0])
        called = call("dive", *words, status=2)
        assert_one_clear_error(called)
        assert FIRST in called.err, line
        assert SECOND in called.err, line
    assert set(KNOWN) - tried <= {"attach", "timer", "propose", "card"}


@pytest.mark.parametrize(
    "words",
    [
        ("dive", "attach", "auk", "attachments/a.jpg", "--what", "plug", "--by", "nora"),
        ("dive", "open", "auk"),
        ("drift", "auk"),
        ("diagnose", "auk"),
    ],
)
def test_other_commands_that_would_take_its_open_dive_ask_as_well(call, words):
    called = call(*words, status=2)
    assert_one_clear_error(called)
    assert FIRST in called.err
    assert SECOND in called.err


def test_named_by_its_id_each_dive_answers(call):
    for name in (FIRST, SECOND):
        assert call.json("dive", "show", name)["dive"] == name


def test_a_third_dive_is_not_started_over_them(call):
    called = call("dive", "start", "auk", "--by", "nora", "--site", "lock", "--water", "fresh:12", status=2)
    assert FIRST in called.err or SECOND in called.err


def test_a_misspelt_vehicle_dive_item_or_person_gets_the_nearest(call):
    for words, near in [
        (("dive", "show", "akk"), "auk"),
        (("dive", "show", "auk-20260613-aaab"), FIRST),
        (("dive", "tick", FIRST, "swimers", "--by", "nora"), "swimmers"),
        (("dive", "tick", FIRST, "swimmers", "--by", "norra"), "nora"),
        (("dive", "event", FIRST, "housing-open", "--by", "nora"), "housing-opened"),
        (("vehicle", "show", "dippr"), "dipper"),
        (("checklist", "show", "predive"), "pre-dive"),
    ]:
        called = call(*words, status=2)
        assert_one_clear_error(called)
        assert near in called.err, (words, called.err)
