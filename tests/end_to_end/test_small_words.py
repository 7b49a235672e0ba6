"""Slips at the command line and in files, each told in the words that mend it."""

from __future__ import annotations

import os
import sys
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from calling import CommandLine, assert_one_clear_error, git, new_logbook

START = ("--by", "nora", "--site", "jetty", "--water", "fresh:14", "--crew", "supervisor=nora", "pilot=tomas")


@pytest.fixture
def line(tmp_path: Path) -> CommandLine:
    return new_logbook(tmp_path / "logbook")


def refused(line: CommandLine, *words: str) -> str:
    called = line(*words, status=2)
    assert_one_clear_error(called)
    return called.err


def validated(line: CommandLine, before: str, after: str) -> dict[str, str]:
    """The one problem of the vehicle with this change."""
    path = line.root / "vehicles/auk.yaml"
    text = path.read_text(encoding="utf-8")
    assert before in text
    path.write_text(text.replace(before, after, 1), encoding="utf-8")
    (problem,) = line.json("validate", status=1)["problems"]
    return problem


def test_a_commit_on_no_branch_says_so_and_how_to_keep_it(line: CommandLine) -> None:
    assert "branch" not in line("dive", "start", "auk", *START).err
    git(line.root, "checkout", "-q", "--detach")
    said = line("dive", "fault", "auk", "yaw-weak", "--by", "nora").err
    assert said.count("no branch is checked out") == 1
    assert "switch -c NAME" in said


@pytest.mark.skipif(sys.platform == "win32", reason="needs a pseudo-terminal")
def test_at_a_terminal_a_slip_is_asked_about_before_it_is_written(line: CommandLine) -> None:
    import pexpect

    dive = line.json("dive", "start", "auk", *START)["dive"]
    record = next(line.root.glob(f"dives/*/{dive}.yaml"))
    kept = record.read_bytes()

    def ask(answer: str) -> str:
        words = ["-m", "rovlog", "--logbook", str(line.root), "dive", "tick", dive, "deck", "--by", "nora"]
        words += ["--value", "supply_from_edge=4000"]
        child = pexpect.spawn(sys.executable, words, env={**os.environ}, encoding="utf-8", timeout=60)
        child.expect("yes/no: ")
        assert record.read_bytes() == kept
        child.sendline(answer)
        child.expect(pexpect.EOF)
        return str(child.before)

    assert "Nothing is written" in ask("no")
    assert record.read_bytes() == kept
    assert "kept: " in ask("yes")
    assert b"confirmed: true" in record.read_bytes()


def test_where_nobody_can_be_asked_it_is_kept_and_told(line: CommandLine) -> None:
    line("dive", "start", "auk", *START)
    said = line("dive", "tick", "auk", "deck", "--by", "nora", "--value", "supply_from_edge=4000")
    assert said.out.startswith("kept: ")
    assert "It is kept as given; --sure says" in said.err


def test_a_lent_vehicle_is_named_at_the_start_of_a_dive(line: CommandLine) -> None:
    line("work", "lend", "auk", "--to", "the harbour school", "--by", "nora")
    assert "auk is lent to the harbour school" in line("dive", "start", "auk", *START).err


def test_closing_a_dive_of_another_day_says_so(line: CommandLine) -> None:
    then = (datetime.now(UTC) - timedelta(days=2)).strftime("%Y-%m-%dT%H:%M:%SZ")
    line("dive", "start", "auk", *START, "--at", then)
    assert "--from-memory" in line("dive", "close", "auk", "--by", "nora").err
    line("dive", "start", "auk", *START, "--at", then)
    assert "--from-memory" not in line("dive", "close", "auk", "--by", "nora", "--from-memory").err


def test_a_misspelt_option_before_the_command_is_an_option(tmp_path: Path) -> None:
    import io

    from rovlog.faces.cli.main import run

    out, err = io.StringIO(), io.StringIO()
    assert run(["--logbok", str(tmp_path), "validate"], out, err) == 2
    assert "there is no option --logbok" in err.getvalue()
    assert "did you mean --logbook?" in err.getvalue()


def test_a_misspelt_vehicle_of_drift_is_a_vehicle(line: CommandLine) -> None:
    said = refused(line, "drift", "aukk")
    assert "no vehicle or dive 'aukk'" in said
    assert "did you mean auk?" in said


def test_two_separators_in_one_number_are_told_as_such(line: CommandLine) -> None:
    line("dive", "start", "auk", *START)
    said = refused(line, "dive", "tick", "auk", "deck", "--by", "nora", "--value", "supply_from_edge=1.260,5")
    assert "two separators" in said
    assert "a number in m, such as 12,5" in said


def test_a_release_names_only_hold_points(line: CommandLine) -> None:
    line("dive", "start", "auk", *START)
    for word in ("x", "swimmers"):
        said = refused(line, "dive", "release", "auk", word, "--by", "nora")
        assert "clear-to-launch" in said
        assert "battery-away" not in said
    assert "did you mean clear-to-launch" in refused(
        line, "dive", "release", "auk", "clear-to-lunch", "--by", "nora"
    )


@pytest.mark.parametrize("word", ["surge=2", "channel-2=-1,5"])
def test_a_demand_beside_a_reading_is_a_share(line: CommandLine, word: str) -> None:
    line("dive", "start", "auk", *START)
    said = refused(line, "dive", "reading", "auk", "clamp-meter", "current_a=5", word, "--by", "nora")
    assert "between -1 and 1" in said


def test_a_logbook_inside_a_logbook_is_refused(line: CommandLine) -> None:
    from rovlog.faces.cli.main import run

    assert run(["init", str(line.root / "parts" / "new")]) == 2
    assert not (line.root / "parts" / "new").exists()


def test_a_torn_last_line_is_mended_by_the_next_entry_and_validate_says_so(line: CommandLine) -> None:
    dive = line.json("dive", "start", "auk", *START)["dive"]
    record = next(line.root.glob(f"dives/*/{dive}.yaml"))
    record.write_bytes(record.read_bytes() + b'- {id: "01K')
    (problem,) = line.json("validate", status=1)["problems"]
    assert problem["rule"] == "torn-line"
    assert "the next entry" in problem["mend"]
    assert problem["line"] == record.read_bytes().count(b"\n") + 1
    line("dive", "note", dive, "on we go", "--by", "nora")
    assert line.json("validate")["problems"] == []


def test_a_channel_that_the_box_does_not_have_is_told_once(line: CommandLine) -> None:
    problem = validated(line, "channel: 1,", "channel: 22,")
    assert problem["expected"] == "1 to 4, the channels of jetty-box"


@pytest.mark.parametrize(
    ("typed", "unit", "metres"),
    [("[-20, -18, 0]", "centimetres", "[-0.2, -0.18, 0]"), ("[-400, 0, 0]", "millimetres", "[-0.4, 0, 0]")],
)
def test_centimetres_taken_for_metres_are_asked_about(
    line: CommandLine, typed: str, unit: str, metres: str
) -> None:
    problem = validated(line, "position_m: [-0.2, -0.11, 0.0]", f"position_m: {typed}")
    assert problem["rule"] == "implausible-length"
    assert problem["mend"] == f"are these {unit}? then write {metres}"


def test_a_share_in_per_cent_is_given_as_a_share(line: CommandLine) -> None:
    assert validated(line, "heave: 0.07", "heave: 4 %")["mend"] == "write 0.04"


def test_a_word_that_a_key_does_not_know_is_answered_with_those_it_does(line: CommandLine) -> None:
    problem = validated(line, "characteristic: iso-8820-3-blade", "characteristic: blade")
    assert problem["mend"] == "write iso-8820-3-blade: opening characteristic of the fuse"


def test_a_missing_conductor_names_both_ways_to_say_it(line: CommandLine) -> None:
    mend = validated(line, "conductor_area_mm2: 1.5, ", "")["mend"]
    assert "conductor_area_mm2" in mend
    assert "conductor_awg" in mend
