"""A checklist that cannot be read or is gone stops the dive, is named, and hides no other list."""

from __future__ import annotations

from pathlib import Path

import pytest
from calling import CommandLine, assert_one_clear_error, new_logbook

START = ("--by", "nora", "--site", "jetty", "--water", "fresh:14", "--crew", "supervisor=nora", "pilot=tomas")
LIST = "checklists/pre-dive.yaml"


@pytest.fixture
def line(tmp_path: Path) -> CommandLine:
    made = new_logbook(tmp_path / "logbook")
    made("vehicle", "approve", "auk", "--by", "nora", "--reason", "as built")
    made("dive", "start", "auk", *START)
    return made


def broken(line: CommandLine, how: str) -> None:
    path = line.root / LIST
    text = path.read_text(encoding="utf-8")
    if how == "gone":
        path.unlink()
    elif how == "not YAML":
        path.write_text(text.replace("sections:", "sections: [", 1), encoding="utf-8")
    else:
        path.write_text(text.replace("revision: 1", "revision: 1\ncolour: red", 1), encoding="utf-8")


@pytest.mark.parametrize("how", ["not YAML", "unknown key", "gone"])
def test_a_list_that_cannot_be_used_stops_the_dive_and_says_what_clears_it(
    line: CommandLine, how: str
) -> None:
    broken(line, how)
    shown = line.json("dive", "show", "auk")
    first = shown["stops"][0]
    assert LIST in first["reason"]
    assert first["clears"].startswith(("rovlog validate", "take it back from git"))
    said = line("dive", "show", "auk").out
    assert "nothing recorded stops this dive" not in said
    assert LIST in said
    assert LIST in line("dive", "open", "auk", status=1).out


@pytest.mark.parametrize("how", ["not YAML", "unknown key", "gone"])
def test_an_item_of_a_list_that_cannot_be_used_is_refused_with_the_file(line: CommandLine, how: str) -> None:
    broken(line, how)
    refused = line("dive", "tick", "auk", "swimmers", "--by", "nora", status=2)
    assert_one_clear_error(refused)
    assert LIST in refused.err
    assert "swimmers" in refused.err
    assert "did you mean" not in refused.err


@pytest.mark.parametrize("name", ["pre-dive", "launch", "recovery", "post-dive"])
def test_validate_names_a_list_of_the_dive_that_is_gone(line: CommandLine, name: str) -> None:
    assert line("validate").err == ""
    (line.root / f"checklists/{name}.yaml").unlink()
    for words in ((), ("checklists",), ("--json",)):
        (note,) = line("validate", *words).err.splitlines()
        assert f"no {name} list is on file" in note
        assert f"git restore checklists/{name}.yaml" in note


def test_a_logbook_without_any_list_is_not_wrong_but_its_dive_is_stopped(line: CommandLine) -> None:
    for path in (line.root / "checklists").iterdir():
        path.unlink()
    assert line.json("validate")["problems"] == []
    assert any(LIST in s["reason"] for s in line.json("dive", "show", "auk")["stops"])


def test_a_list_of_the_same_phase_under_another_name_is_enough(line: CommandLine) -> None:
    old = line.root / "checklists/recovery.yaml"
    text = old.read_text(encoding="utf-8").replace("checklist: recovery", "checklist: home-again")
    (line.root / "checklists/home-again.yaml").write_text(text, encoding="utf-8")
    old.unlink()
    assert line("validate").err == ""
    assert not any("recovery list" in s["reason"] for s in line.json("dive", "show", "auk")["stops"])


def test_a_vehicle_to_which_no_list_of_a_phase_applies_is_told(line: CommandLine) -> None:
    path = line.root / "checklists/launch.yaml"
    text = path.read_text(encoding="utf-8")
    text = text.replace("applies_to: all", "applies_to: [dipper]").replace("revision: 1", "revision: 2")
    path.write_text(text, encoding="utf-8")
    (note,) = line("validate").err.splitlines()
    assert "launch list for auk" in note
    assert "applies_to" in note
    assert any("launch list for auk" in s["reason"] for s in line.json("dive", "show", "auk")["stops"])


def test_the_cards_and_a_closed_dive_stop_nothing(line: CommandLine) -> None:
    (line.root / "checklists/emergency.yaml").write_text("{[", encoding="utf-8")
    assert not any("emergency" in s["reason"] for s in line.json("dive", "show", "auk")["stops"])
    line("dive", "close", "auk", "--by", "nora", status=None)
    broken(line, "gone")
    dive = line.json("dive", "list")["dives"][0]["dive"]
    assert not any(LIST in s["reason"] for s in line.json("dive", "show", dive)["stops"])


def test_the_other_lists_are_listed_and_the_broken_one_is_named(line: CommandLine) -> None:
    broken(line, "not YAML")
    said = line("checklist", "list")
    assert "launch       revision 1" in said.out
    assert "pre-dive     cannot be used: " in said.out
    assert "rovlog validate" in said.err
    found = line.json("checklist", "list")
    assert [b["checklist"] for b in found["broken"]] == ["pre-dive"]
    assert "recovery" in [c["checklist"] for c in found["checklists"]]
