"""An experiment is started as a list of its work record, and its steps are answered as any item is."""

from __future__ import annotations

import io
import json
from pathlib import Path

import pytest
from team_logbook import fill

from rovlog.faces.cli.main import run
from rovlog.wiring import new_book

pytestmark = pytest.mark.system("git")

START = ("audit", "experiment", "--vehicle", "grebe", "--symptom", "yaw-reversed", "--start", "--by", "iben")


def rovlog(folder: Path, *words: str) -> tuple[int, str, str]:
    out, err = io.StringIO(), io.StringIO()
    return run(["--logbook", str(folder), *words], out, err), out.getvalue(), err.getvalue()


def test_the_steps_of_an_experiment_are_ticked_failed_and_shown(tmp_path: Path):
    folder = tmp_path / "logbook"
    fill(new_book(str(folder)))
    status, out, _ = rovlog(folder, "--json", *START)
    assert status == 0
    found = json.loads(out)
    work, steps = found["work"], found["steps"]
    assert rovlog(folder, "work", "tick", work, "EX1", "--by", "iben")[0] == 0
    failed = (
        "work",
        "tick",
        work,
        "experiment-step-5",
        "--by",
        "tariq",
        "--outcome",
        "fail",
        "--text",
        "gone",
    )
    rovlog(folder, *failed)
    _, out, _ = rovlog(folder, "--json", "work", "show", work)
    items = json.loads(out)["items"]
    states = {k: v["state"] for k, v in items.items() if k.startswith("experiment-step-")}
    wanted = {f"experiment-step-{n}": "open" for n in range(1, len(steps) + 1)}
    assert states == {**wanted, "experiment-step-1": "answered", "experiment-step-5": "failed"}
    assert rovlog(folder, "validate")[0] == 0


def test_the_steps_of_one_experiment_are_no_list_of_another_record(tmp_path: Path):
    folder = tmp_path / "logbook"
    fill(new_book(str(folder)))
    work = json.loads(rovlog(folder, "--json", *START)[1])["work"]
    assert rovlog(folder, "work", "tick", work, "EX1", "--by", "iben")[0] == 0
    rovlog(folder, "work", "close", work, "--by", "iben")
    assert rovlog(folder, "work", "start", "grebe", "--by", "iben", "--purpose", "new plugs")[0] == 0
    status, _, err = rovlog(folder, "work", "tick", "grebe", "EX1", "--by", "iben")
    assert status != 0
    assert "EX1" in err
    again = json.loads(rovlog(folder, "--json", *START)[1])["work"]
    _, out, _ = rovlog(folder, "--json", "work", "show", again)
    assert json.loads(out)["items"]["experiment-step-1"]["state"] == "open"
