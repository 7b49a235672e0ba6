"""Every answer of the audit names records that do not validate, and records whose clock was wrong."""

from __future__ import annotations

import io
import json
import re
import shutil
from pathlib import Path

import pytest
from team_logbook import fill

from rovlog.faces.cli.main import run
from rovlog.wiring import new_book

pytestmark = pytest.mark.system("git")

DIVES = ("grebe-20260503-test", "grebe-20260509-test")
SYMPTOM = ("--symptom", "yaw-reversed")
ANSWERS = {
    "timeline": ("audit", "timeline", "--vehicle", "grebe"),
    "known-good": ("audit", "known-good", "--vehicle", "grebe", *SYMPTOM),
    "suspects": ("audit", "suspects", "--vehicle", "grebe", *SYMPTOM),
    "faults": ("audit", "faults", "--vehicle", "grebe"),
    "recurrence": ("audit", "recurrence", "--vehicle", "grebe", *SYMPTOM),
    "experiment": ("audit", "experiment", "--vehicle", "grebe", *SYMPTOM),
    "field": ("audit", "field", "/trim_defaults/heave", "--vehicle", "grebe"),
    "flown": ("audit", "flown", "/trim_defaults/heave", "--vehicle", "grebe"),
    "between": ("audit", "between", *DIVES),
    "history": ("vehicle", "history", "grebe", "/trim_defaults/heave"),
}


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("whole") / "logbook"
    fill(new_book(str(folder)))
    for path in [*folder.glob("dives/2026/*.yaml"), *folder.glob("work/2026/*.yaml")]:
        # Typed in just now, so every time is from memory; as if each had been written as it happened.
        path.write_text(re.sub(r',? clock: "?memory"?', "", path.read_text("utf-8")), "utf-8")
    return folder


@pytest.fixture(scope="module")
def broken(whole: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A copy in which one dive does not validate and the work before it has a wrong clock."""
    folder = tmp_path_factory.mktemp("broken") / "logbook"
    shutil.copytree(whole, folder)
    dive = folder / f"dives/2026/{DIVES[0]}.yaml"
    dive.write_text(
        dive.read_text("utf-8").replace("kind: mark, mark: power-on", "kind: mark, mork: on"), "utf-8"
    )
    (work,) = folder.glob("work/2026/grebe-*.yaml")
    work.write_text(work.read_text("utf-8").replace('"2026-05-02T', '"2000-01-01T'), "utf-8")
    return folder


def rovlog(folder: Path, *words: str) -> tuple[int, str, str]:
    out, err = io.StringIO(), io.StringIO()
    status = run(["--logbook", str(folder), *words], out, err)
    return status, " ".join(out.getvalue().split()), " ".join(err.getvalue().split())


@pytest.mark.parametrize("name", ANSWERS)
def test_what_cannot_be_used_is_named_in_words_and_in_the_data(broken: Path, name: str):
    status, _, err = rovlog(broken, *ANSWERS[name])
    assert status == 0
    assert f"dives/2026/{DIVES[0]}.yaml: 1 problem(s)" in err
    assert re.search(r"the times of grebe-work-20260502-\w{4} say 2000-01-01, but", err), err
    _, out, _ = rovlog(broken, "--json", *ANSWERS[name])
    notes = json.loads(out)["notes"]
    assert any(n.startswith(f"dives/2026/{DIVES[0]}.yaml: 1 problem(s)") for n in notes)
    assert any("it is placed by its entries' ids, on 2026-05-02" in n for n in notes)


def test_status_accounting_names_them_too(broken: Path):
    _, out, _ = rovlog(broken, "report", "status", "-o", "-")
    assert f"dives/2026/{DIVES[0]}.yaml: 1 problem(s)" in out
    assert "say 2000-01-01, but the ids of its entries say 2026-05-02" in out


def test_validate_tells_the_times_that_contradict_the_ids(broken: Path, whole: Path):
    status, out, err = rovlog(broken, "validate")
    assert status != 0
    assert "times-at-odds: the times of grebe-work-20260502-" in out + err
    assert "times-at-odds" not in "".join(map(str, rovlog(whole, "validate")))


def test_work_with_a_wrong_clock_counts_before_the_dive_it_came_before(broken: Path):
    _, out, _ = rovlog(broken, "--json", "audit", "timeline", "--vehicle", "grebe")
    moments = [m["record"] for m in json.loads(out)["moments"]]
    work = next(m for m in moments if m.startswith("grebe-work-"))
    assert moments.index(work) < moments.index(DIVES[0])
    began = next(m for m in json.loads(out)["moments"] if m["record"] == work)
    assert began["at"].startswith("2026-05-02T")


def test_a_trim_set_in_the_water_names_who_set_it_why_and_the_dives_that_flew_it(whole: Path):
    words = ANSWERS["field"]
    _, out, _ = rovlog(whole, *words)
    assert (
        "never written in a file: set 2026-05-09 by Iben Škoda-Łuk in grebe-20260509-test: rose at the wall"
        in out
    )
    assert "in water 2026-05-09, 2 dives: grebe-20260509-test, grebe-20260516-test" in out
    _, data, _ = rovlog(whole, "--json", *words)
    (row,) = [v for v in json.loads(data)["values"] if v["value"] == 0.08]
    assert (row["written_by"], row["reason"], row["set_in"]) == ("iben", "rose at the wall", DIVES[1])
    assert row["dives"] == ["grebe-20260509-test", "grebe-20260516-test"]
