"""A broken logbook.yaml stops no recording: entries go on, and the problem is named."""

from __future__ import annotations

from pathlib import Path

import pytest
from calling import CommandLine, new_logbook

START = ("--by", "nora", "--site", "jetty", "--water", "fresh:14", "--crew", "supervisor=nora", "pilot=tomas")


@pytest.fixture
def line(tmp_path: Path) -> CommandLine:
    made = new_logbook(tmp_path / "logbook")
    made("dive", "start", "auk", *START)
    return made


@pytest.mark.parametrize("is_in_git", [True, False])
def test_entries_go_on_and_the_broken_file_is_named(line: CommandLine, is_in_git: bool) -> None:
    import shutil

    (line.root / "logbook.yaml").write_text("title: [\n", encoding="utf-8")
    if not is_in_git:
        shutil.rmtree(line.root / ".git")
    for words in (
        ("mark", "auk", "power-on"),
        ("tick", "auk", "swimmers"),
        ("trim", "auk", "heave=0.05"),
        ("fault", "auk", "yaw-weak"),
        ("note", "auk", "still here"),
    ):
        said = line("dive", *words, "--by", "nora")
        assert said.out.startswith("kept: ")
        assert "logbook.yaml cannot be used" in said.err
    shown = line.json("dive", "show", "auk")
    assert any("logbook.yaml cannot be used" in p for p in shown["problems"])
    assert any("logbook.yaml cannot be used" in s["reason"] for s in shown["stops"])
    assert "logbook.yaml cannot be used" in line("work", "start", "auk", "--by", "nora", "--purpose", "p").err


def test_a_name_is_still_checked_where_git_knows_the_people(line: CommandLine) -> None:
    (line.root / "logbook.yaml").write_text("title: [\n", encoding="utf-8")
    assert "Nora Vik" in line("dive", "show", "auk").out


def test_what_needs_to_know_who_may_do_it_waits(line: CommandLine) -> None:
    (line.root / "logbook.yaml").write_text("title: [\n", encoding="utf-8")
    refused = line("vehicle", "approve", "auk", "--by", "nora", "--reason", "as built", status=2)
    assert "logbook.yaml:" in refused.err
