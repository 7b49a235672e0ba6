"""The three files that the README gives a person who writes them by hand are a logbook that validates."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
import yaml
from calling import CommandLine

README = (Path(__file__).parents[2] / "README.md").read_text("utf-8")
FILE = re.compile(
    r"^```yaml\n(# ((?:vehicles|boxes|thrusters)/[a-z0-9-]+\.yaml)\b.*?)^```$", re.MULTILINE | re.DOTALL
)


def files() -> dict[str, str]:
    return {name: text for text, name in FILE.findall(README)}


@pytest.fixture
def call(tmp_path: Path) -> CommandLine:
    root = tmp_path / "logbook"
    line = CommandLine(root)
    line.installed("init", str(root), cwd=tmp_path)
    for name, text in files().items():
        (root / name).parent.mkdir(exist_ok=True)
        (root / name).write_text(text, "utf-8")
    return line


@pytest.mark.system("git")
def test_the_files_copied_from_the_readme_validate(call):
    assert sorted(name.partition("/")[0] for name in files()) == ["boxes", "thrusters", "vehicles"]
    assert call.json("validate")["problems"] == []


@pytest.mark.system("git")
def test_the_vehicle_of_the_readme_answers_as_commanded_and_keeps_its_fuse(call):
    shown = call.json("vehicle", "show", "heron")
    answers = {demand: row["answers"] for demand, row in shown["authority"].items()}
    assert {answers[d] for d in ("surge", "heave", "yaw")} == {"as-commanded"}
    assert not [f for f in shown["findings"] if f["severity"] == "stops"]
    assert call.json("budget", "heron")["fuse"]["verdict"] == "within-continuous"


@pytest.mark.system("git")
def test_the_edit_of_the_readme_says_what_it_would_do(call):
    (command,) = re.findall(r"`rovlog (vehicle set heron [^`]*)`", README)
    before = (call.root / "vehicles" / "heron.yaml").read_text("utf-8")
    assert "Preview: nothing is written." in call(*command.split()).out
    assert (call.root / "vehicles" / "heron.yaml").read_text("utf-8") == before


def test_the_hook_in_the_readme_is_one_that_exists():
    (block,) = re.findall(r"^```yaml\n(repos:.*?)^```$", README, re.MULTILINE | re.DOTALL)
    wanted = {h["id"] for repo in yaml.safe_load(block)["repos"] for h in repo["hooks"]}
    hooks = yaml.safe_load((Path(__file__).parents[2] / ".pre-commit-hooks.yaml").read_text("utf-8"))
    assert wanted <= {h["id"] for h in hooks}
