"""The ends of a day by the command line: a forgotten dive, the turn-round, a vehicle lent and taken back."""

from __future__ import annotations

import pytest
from calling import CommandLine, assert_one_clear_error, git
from hand_written import PEOPLE, write_files


@pytest.fixture
def call(tmp_path) -> CommandLine:
    root = tmp_path / "logbook"
    line = CommandLine(root, ROVLOG_WRITER="test-laptop")
    line.installed("init", str(root), *(w for p in PEOPLE for w in ("--person", p)), cwd=tmp_path)
    write_files(root)
    return line


@pytest.mark.system("git")
def test_a_forgotten_dive_is_closed_with_times_from_memory(call):
    evening, later = "2026-05-02T17:20:00+01:00", "2026-05-02T17:55:00+01:00"
    dive = call.json(
        "dive", "start", "auk", "--by", "nora", "--site", "lock", "--water", "fresh:12", "--at", evening
    )
    call("dive", "mark", "auk", "power-off", "--by", "nora", "--at", later)
    assert f"rovlog dive close {dive['dive']} --from-memory" in call("dive", "open", "auk", status=1).out
    call("dive", "close", "auk", "--by", "nora", "--from-memory")
    shown = call.json("dive", "show", dive["dive"])
    assert shown["closed"] is True
    assert shown["marks"] == [{"mark": "power-off", "at": later, "by": "nora", "from_memory": True}]
    text = call("dive", "show", dive["dive"], "--entries").out
    assert "power off ~17:55" in text
    assert "~ a time from memory" in text
    assert text.count("~17:") >= 2


@pytest.mark.system("git")
def test_the_turn_round_is_a_finding_while_something_is_open(call):
    data = call.json("dive", "open", "auk", status=1)
    assert data["count"] == len(data["open"]) > 50
    assert {row["cause"] for row in data["open"]} == {"never answered"}
    assert call("dive", "open", "auk", status=1).out.startswith(f"auk: {data['count']} items are open")


@pytest.mark.system("git")
def test_a_vehicle_is_lent_shown_as_lent_and_comes_back(call):
    lent = call.json("work", "lend", "auk", "--to", "Harbour school", "--by", "nora", "--text", "for a week")
    assert lent["commit"]
    rows = {row["vehicle"]: row["lent"] for row in call.json("vehicle", "list")["vehicles"]}
    assert rows["auk"]["to"] == "Harbour school"
    assert rows["dipper"] is None
    assert_one_clear_error(call("work", "lend", "auk", "--to", "others", "--by", "nora", status=2))
    back = call.json("work", "return", "auk", "--by", "tomas")
    assert (back["work"], back["lent_to"]) == (lent["work"], "Harbour school")
    assert call.json("work", "show", lent["work"])["closed"] is True
    assert call.json("validate")["problems"] == []
    assert_one_clear_error(call("work", "return", "auk", "--by", "tomas", status=2))


@pytest.mark.system("git")
def test_a_value_set_by_a_person_is_one_commit_of_one_line(call):
    git(call.root, "add", "-A")
    git(call.root, "commit", "-q", "-m", "files")
    before = (call.root / "vehicles" / "auk.yaml").read_text("utf-8")
    done = call.json(
        "vehicle",
        "set",
        "auk",
        "/trim_defaults/heave",
        "-0,05",
        "--by",
        "ife",
        "--reason",
        "floats lower in salt",
    )
    assert (done["from"], done["to"], done["written"]) == (0.07, -0.05, True)
    assert done["file"] == "vehicles/auk.yaml"
    assert done["pointer"] == "/trim_defaults/heave"
    assert "up" in done["effect"]["text"]
    shown = git(call.root, "show", "--stat", "--format=%s", done["commit"])
    assert shown.startswith("Set /trim_defaults/heave of auk to -0.05: floats lower in salt")
    assert "1 file changed, 1 insertion(+), 1 deletion(-)" in shown
    assert (call.root / "vehicles" / "auk.yaml").read_text("utf-8") == before.replace(
        "heave: 0.07", "heave: -0.05"
    )
    refused = call("vehicle", "set", "auk", "/trim_defaults/heave", "two", status=2)
    assert "refused, and nothing is written" in refused.err
    assert "mend:" in refused.err
    half = call("vehicle", "set", "auk", "/trim_defaults/heave", "0", "--by", "ife", status=2)
    assert_one_clear_error(half)
