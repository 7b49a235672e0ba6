"""The hook for teams that keep the logbook by hand: its definition, and what its entry does at a commit."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import pytest
import yaml
from calling import CommandLine, git
from hand_written import PEOPLE, write_files

from rovlog.usecases.validate_logbook import FOLDERS

ROOT = Path(__file__).parents[2]
HOOKS = yaml.safe_load((ROOT / ".pre-commit-hooks.yaml").read_text("utf-8"))


def hook() -> dict[str, object]:
    (found,) = [h for h in HOOKS if h["id"] == "rovlog-validate"]
    return found


def test_the_hook_has_what_every_hook_needs():
    assert {"id", "name", "entry", "language"} <= hook().keys()
    assert hook()["language"] == "python"
    assert hook()["require_serial"] is True


def test_the_hook_runs_for_every_record_and_for_nothing_else():
    pattern = re.compile(str(hook()["files"]))
    for name in [
        "logbook.yaml",
        *(f"{folder}/a.yaml" for folder in FOLDERS),
        "dives/2026/a-20260101-abcd.yaml",
    ]:
        assert pattern.search(name), name
        assert pattern.search(f"team/log book/{name}"), name
    for name in [
        "README.md",
        "attachments/plug.jpg",
        ".rovlog/index.sqlite",
        "notes/logbook.yaml.txt",
        "mylogbook.yaml",
    ]:
        assert not pattern.search(name), name


def test_the_readme_shows_the_hook_as_it_is():
    text = (ROOT / "README.md").read_text("utf-8")
    assert "rovlog-validate" in text
    assert ".pre-commit-config.yaml" in text


@pytest.mark.system("git")
def test_the_entry_stops_a_commit_of_a_record_that_does_not_validate(tmp_path):
    root = tmp_path / "logbook"
    call = CommandLine(root)
    assert (
        call.installed("init", str(root), *(w for p in PEOPLE for w in ("--person", p)), cwd=tmp_path).status
        == 0
    )
    write_files(root)
    # What the framework does with this definition: run the entry in the repository before each commit.
    script = root / ".git" / "hooks" / "pre-commit"
    script.parent.mkdir(exist_ok=True)
    script.write_text(f'#!/bin/sh\nPATH="{Path(sys.executable).parent}:$PATH" exec {hook()["entry"]}\n')
    script.chmod(0o755)
    git(root, "add", "-A")
    git(root, "commit", "-q", "-m", "the team's files")
    vehicle = root / "vehicles" / "auk.yaml"
    vehicle.write_text(
        vehicle.read_text("utf-8").replace("polarity: normal", "polarity: reverse", 1), "utf-8"
    )
    git(root, "add", "-A")
    refused = subprocess.run(
        ["git", "commit", "-q", "-m", "crossed"], cwd=root, capture_output=True, text=True, timeout=60
    )
    assert refused.returncode != 0
    assert "polarity of thruster aft-port is 'reverse'" in refused.stdout + refused.stderr


@pytest.mark.system("git")
def test_the_entry_finds_the_logbook_in_a_subfolder_of_the_repository(tmp_path):
    git(tmp_path, "init", "-q", "-b", "main")
    root = tmp_path / "team" / "logbook"
    call = CommandLine(root)
    people = [w for p in PEOPLE for w in ("--person", p)]
    assert call.installed("init", str(root), *people, cwd=tmp_path).status == 0
    write_files(root)
    entry = str(hook()["entry"]).split()[1:]
    names = ["team/logbook/vehicles/auk.yaml", "team/logbook/logbook.yaml", "elsewhere/vehicles/x.yaml"]
    fine = call.installed(*entry, *names, cwd=tmp_path)
    assert (fine.status, fine.out.endswith(": no problems\n")) == (0, True)
    box = root / "boxes" / "jetty-box.yaml"
    box.write_text(box.read_text("utf-8").replace("box: jetty-box", "box: jety-box"), "utf-8")
    # Not the file of the commit alone: another record may refer to what it no longer says.
    refused = call.installed(*entry, names[0], cwd=tmp_path)
    assert refused.status == 1
    assert "team/logbook/boxes/jetty-box.yaml:" in refused.out
    assert call.installed(*entry, "elsewhere/vehicles/x.yaml", cwd=tmp_path).status == 0
