"""The marks of a merge that git could not finish: named once, with the mend, and never eaten."""

from __future__ import annotations

from pathlib import Path

import pytest
from calling import CommandLine, assert_one_clear_error, new_logbook

START = ("--by", "nora", "--site", "jetty", "--water", "fresh:14", "--crew", "supervisor=nora", "pilot=tomas")


@pytest.fixture
def line(tmp_path: Path) -> CommandLine:
    return new_logbook(tmp_path / "logbook")


@pytest.mark.parametrize("ending", ["\n", "\r\n"])
def test_in_a_document_they_are_one_problem_with_its_mend(line: CommandLine, ending: str) -> None:
    path = line.root / "vehicles/auk.yaml"
    text = path.read_text(encoding="utf-8")
    both = "<<<<<<< HEAD\nname: Auk\n=======\nname: Alk\n>>>>>>> other"
    path.write_bytes(text.replace("name: Auk", both, 1).replace("\n", ending).encode())
    problems = line.json("validate", status=1)["problems"]
    mine = [p for p in problems if p["file"] == "vehicles/auk.yaml"]
    assert [p["rule"] for p in mine] == ["unfinished-merge"]
    assert mine[0]["found"] == "'<<<<<<< HEAD'"
    assert ">>>>>>>" in mine[0]["mend"]
    assert "git add" in mine[0]["mend"]
    said = line("vehicle", "show", "auk", status=2).err
    assert "could not merge" in said


@pytest.mark.parametrize("last", ["\n", ""])
def test_in_a_record_both_sides_are_read_and_nothing_is_eaten(line: CommandLine, last: str) -> None:
    dive = line.json("dive", "start", "auk", *START)["dive"]
    line("dive", "note", dive, "ours", "--by", "nora")
    path = next(line.root.glob(f"dives/*/{dive}.yaml"))
    lines = path.read_text(encoding="utf-8").splitlines()
    theirs = lines[-1].replace("ours", "theirs").replace("n: 2", "n: 3").replace('id: "0', 'id: "1')
    lines[-1:] = ["<<<<<<< HEAD", lines[-1], "=======", theirs, ">>>>>>> p2"]
    path.write_text("\n".join(lines) + last, encoding="utf-8")
    kept = path.read_bytes()
    shown = line("dive", "show", dive, "--entries").out
    assert "ours" in shown
    assert "theirs" in shown
    assert "could not merge" in shown
    refused = line("dive", "note", dive, "one more", "--by", "nora", status=2)
    assert_one_clear_error(refused)
    assert "could not merge" in refused.err
    assert "lines of both" in refused.err
    assert path.read_bytes() == kept
    problems = line.json("validate", status=1)["problems"]
    assert [p["rule"] for p in problems] == ["unfinished-merge"]
    settled = [x for x in lines if not x.startswith(("<<<<<<<", "=======", ">>>>>>>"))]
    path.write_text("\n".join(settled) + "\n", encoding="utf-8")
    line("dive", "note", dive, "one more", "--by", "nora")
    assert line.json("validate")["problems"] == []
