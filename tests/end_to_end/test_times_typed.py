"""Times typed on the command line: ahead of the clock refused, doubtful ones asked about, hours kept."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from calling import CommandLine, assert_one_clear_error, new_logbook

START = ("--by", "nora", "--site", "jetty", "--water", "fresh:14", "--crew", "supervisor=nora", "pilot=tomas")


@pytest.fixture
def line(tmp_path: Path) -> CommandLine:
    return new_logbook(tmp_path / "logbook")


def hence(**delta: float) -> str:
    return (datetime.now(UTC) + timedelta(**delta)).strftime("%Y-%m-%dT%H:%M:%SZ")


def test_a_time_still_to_come_is_refused_and_nothing_is_written(line: CommandLine) -> None:
    refused = line("dive", "start", "auk", *START, "--at", hence(days=30), status=2)
    assert_one_clear_error(refused)
    assert "still to come" in refused.err
    assert "set it first" in refused.err
    assert line.json("dive", "list")["dives"] == []
    line("dive", "start", "auk", *START)
    for words in (("mark", "auk", "power-on"), ("note", "auk", "x"), ("fault", "auk", "yaw-weak")):
        at = hence(minutes=10)
        assert_one_clear_error(line("dive", *words, "--by", "nora", "--at", at, status=2))
    dive = line.json("dive", "list")["dives"][0]["dive"]
    text = next(line.root.glob(f"dives/*/{dive}.yaml")).read_text(encoding="utf-8")
    assert text.count("\n- {") == 1


def test_a_clock_a_minute_behind_is_allowed_for(line: CommandLine) -> None:
    line("dive", "start", "auk", *START)
    line("dive", "mark", "auk", "power-on", "--by", "nora", "--at", hence(minutes=1))


def test_a_time_before_the_record_is_asked_about_and_kept_where_nobody_is_there(line: CommandLine) -> None:
    line("dive", "start", "auk", *START)
    said = line("dive", "mark", "auk", "power-on", "--by", "nora", "--at", "2020-01-01T00:00:00Z")
    assert "? 2020-01-01 00:00 lies before the beginning of auk-" in said.err
    assert "It is kept as given" in said.err
    said = line("dive", "mark", "auk", "power-off", "--by", "nora")
    assert "h under power" in said.err
    shown = line.json("dive", "show", "auk")
    assert any("is not counted" in p for p in shown["problems"])
    said = line("dive", "mark", "auk", "in-water", "--by", "nora")
    assert "in water without power" in said.err
    line("dive", "mark", "auk", "power-on", "--by", "nora", "--at", hence(seconds=1), "--sure")
    said = line("dive", "mark", "auk", "power-off", "--by", "nora", "--at", hence(hours=-2))
    assert "power off at " in said.err
    assert "lies before power on at" in said.err


def test_what_was_confirmed_is_on_record(line: CommandLine) -> None:
    line("dive", "start", "auk", *START)
    said = line("dive", "mark", "auk", "power-on", "--by", "nora", "--at", hence(hours=-30), "--sure")
    assert "?" not in said.err
    dive = line.json("dive", "list")["dives"][0]["dive"]
    text = next(line.root.glob(f"dives/*/{dive}.yaml")).read_text(encoding="utf-8")
    assert "confirmed: true" in text
    line("dive", "mark", "auk", "power-off", "--by", "nora", "--sure")
    assert line.json("validate")["problems"] == []
    assert not any("is not counted" in p for p in line.json("dive", "show", "auk")["problems"])
