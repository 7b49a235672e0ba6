"""The audit over records that are damaged, merged, renamed or odd: used as far as they go, and named."""

from __future__ import annotations

import dataclasses
import io
import json
import os
import re
import shutil
import subprocess
from pathlib import Path
from typing import Any

import pytest
from team_logbook import HOSTILE, fill

from rovlog.faces.cli.main import run
from rovlog.usecases.dive_steps import log_fault, start_work
from rovlog.usecases.logbook import Logbook
from rovlog.usecases.recording import append
from rovlog.wiring import new_book, open_book

pytestmark = pytest.mark.system("git")

FAULTY = "dives/2026/grebe-20260509-test.yaml"
SYMPTOM = "yaw-reversed"

ASKED = {
    "timeline": ("timeline",),
    "known-good": ("known-good", "--symptom", SYMPTOM),
    "suspects": ("suspects", "--symptom", SYMPTOM),
    "faults": ("faults",),
    "recurrence": ("recurrence", "--symptom", SYMPTOM),
    "experiment": ("experiment", "--symptom", SYMPTOM),
}
"""The audit's questions of a vehicle, each of which ends well over every logbook of this file."""


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("whole") / "logbook"
    fill(new_book(str(folder)), hostile=True)
    for path in folder.glob("dives/2026/*.yaml"):
        # Typed in just now, so every time is from memory; as if each had been written as it happened.
        path.write_text(
            re.sub(r',? clock: "?memory"?', "", path.read_text(encoding="utf-8")), encoding="utf-8"
        )
    git(folder, "add", "vehicles", "boxes", "thrusters", "parts")
    git(folder, "commit", "-q", "-m", "the files as built")
    return folder


@pytest.fixture
def folder(whole: Path, tmp_path: Path) -> Path:
    """A copy that a test may damage."""
    return Path(shutil.copytree(whole, tmp_path / "logbook"))


def git(folder: Path, *words: str) -> None:
    name = ("-c", "user.name=Test", "-c", "user.email=test@example.invalid", "-c", "commit.gpgsign=false")
    subprocess.run(["git", "-C", str(folder), *name, *words], check=True, capture_output=True)


def rovlog(folder: Path, *words: str, status: int = 0) -> tuple[str, str]:
    out, err = io.StringIO(), io.StringIO()
    found = run(["--logbook", str(folder), *words], out, err)
    assert found == status, err.getvalue()
    assert "Traceback" not in err.getvalue()
    return out.getvalue(), err.getvalue()


def ask(folder: Path, question: str, vehicle: str = "grebe") -> dict[str, Any]:
    out, _ = rovlog(folder, "audit", *ASKED[question], "--vehicle", vehicle, "--json")
    found: dict[str, Any] = json.loads(out)
    return found


def notes(folder: Path, vehicle: str = "grebe") -> str:
    return "\n".join(ask(folder, "timeline", vehicle)["notes"])


def edit(folder: Path, name: str, old: str, new: str, count: int = 1) -> None:
    path = folder / name
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, count), encoding="utf-8")


def all_questions_end_well(folder: Path, vehicle: str = "grebe") -> None:
    for question, words in ASKED.items():
        ask(folder, question, vehicle)
        rovlog(folder, "audit", *words, "--vehicle", vehicle)


def test_a_clock_that_went_back_is_named_and_the_entries_keep_their_order(folder: Path):
    edit(folder, FAULTY, "2026-05-09T10:20:00+02:00", "2026-05-09T08:20:00+02:00")
    assert "the clock of grebe-20260509-test went back once, by up to 118 min" in notes(folder)
    moments = [m for m in ask(folder, "timeline")["moments"] if m["record"] == "grebe-20260509-test"]
    kinds = [m["kind"] for m in moments]
    assert kinds.index("trim") < kinds.index("fault") < kinds.index("event")
    assert [m["kind"] for m in moments if m["is_jump"]] == ["fault"]
    all_questions_end_well(folder)


def test_a_time_from_memory_is_shown_as_that_and_is_no_clock_that_went_back(folder: Path):
    edit(folder, FAULTY, "2026-05-09T10:20:00+02:00", "2026-05-09T08:20:00+02:00")
    edit(folder, FAULTY, "kind: fault", "kind: fault, clock: memory")
    fault = next(m for m in ask(folder, "timeline")["moments"] if m["kind"] == "fault")
    assert (fault["clock"], fault["is_jump"]) == ("memory", False)
    assert "went back" not in notes(folder)


def test_a_dive_never_closed_counts_and_is_named(folder: Path):
    assert "grebe-20260516-test was never closed; it is counted as it stands" in notes(folder)
    assert ask(folder, "suspects")["dives"] == {"with": 1, "without": 2}


def test_the_parts_of_two_laptops_are_one_dive_and_both_are_used(folder: Path):
    book = dataclasses.replace(open_book(str(folder)), writer="south-laptop")
    logbook = Logbook(book)
    record = logbook.record("grebe-20260516-test")
    append(logbook, record, "fault", "tariq", {"symptom": SYMPTOM, "text": "seen from the shore"})
    assert (folder / "dives/2026/grebe-20260516-test.south-laptop.yaml").exists()
    assert "grebe-20260516-test is joined from the parts of 2 laptops" in notes(folder)
    assert ask(folder, "suspects")["dives"] == {"with": 2, "without": 1}
    assert [f["record"] for f in ask(folder, "faults")["faults"]][-1] == "grebe-20260516-test"


def test_a_fault_without_a_dive_is_a_case_and_counts_for_no_dive(folder: Path):
    logbook = Logbook(open_book(str(folder)))
    work = start_work(logbook, "grebe", by="iben", purpose="on the bench")
    log_fault(logbook, logbook.record(work.record), "surge-dead", by="iben", text="nothing on the bench")
    assert f"the fault surge-dead was logged in {work.record}, outside dives" in notes(folder)
    out, _ = rovlog(folder, "audit", "suspects", "--vehicle", "grebe", "--symptom", "surge-dead", "--json")
    found = json.loads(out)
    assert found["dives"]["with"] == 0
    assert found["certainty"] == ["the symptom was never logged on a dive: there is nothing to rank"]
    good = json.loads(
        rovlog(folder, "audit", "known-good", "--vehicle", "grebe", "--symptom", "surge-dead", "--json")[0]
    )
    assert good["last_known_good"]["dive"]
    assert [c["record"] for c in ask(folder, "faults")["faults"]] == ["grebe-20260509-test", work.record]


def rename(folder: Path, *, is_committed: bool) -> None:
    text = (folder / "vehicles/grebe.yaml").read_text(encoding="utf-8")
    text = re.sub(r"^vehicle: grebe$", "vehicle: heron", text, flags=re.MULTILINE)
    (folder / "vehicles/heron.yaml").write_text(text, encoding="utf-8")
    (folder / "vehicles/grebe.yaml").unlink()
    if is_committed:
        git(folder, "add", "-A", "vehicles")
        git(folder, "commit", "-q", "-m", "grebe is called heron from now on")


def test_a_renamed_vehicle_keeps_its_past_where_git_saw_the_renaming(folder: Path):
    rename(folder, is_committed=True)
    assert "heron was called grebe up to commit" in notes(folder, "heron")
    assert ask(folder, "suspects", "heron")["dives"] == {"with": 1, "without": 2}
    assert ask(folder, "known-good", "heron")["last_known_good"]["dive"] == "grebe-20260503-test"
    # Its cases go on under the name that the records have.
    assert {f["vehicle"] for f in ask(folder, "faults", "grebe")["faults"]} == {"grebe"}


def test_a_vehicle_whose_file_is_gone_is_audited_by_its_old_name_and_named_by_the_new_one(folder: Path):
    rename(folder, is_committed=False)
    all_questions_end_well(folder, "grebe")
    rovlog(folder, "audit", "flown", "/trim_defaults/heave", "--vehicle", "grebe")
    rovlog(folder, "audit", "field", "/hull/mass_kg", "--vehicle", "grebe")
    told = notes(folder, "heron")
    assert "grebe has dives or work, and no file vehicles/grebe.yaml: not counted here" in told


def test_a_line_that_is_no_entry_is_left_out_and_named_and_the_rest_of_the_dive_is_used(folder: Path):
    edit(folder, FAULTY, "kind: trim", "kind: trimmed")
    told = notes(folder)
    assert f"{FAULTY}: 1 problem(s), used as far as it goes" in told
    assert ask(folder, "suspects")["dives"]["with"] == 1
    all_questions_end_well(folder)


def test_a_record_that_is_no_record_at_all_is_named_and_hides_no_other(folder: Path):
    (folder / "dives/2026/grebe-20260503-test.yaml").write_text("{[ not yaml", encoding="utf-8")
    assert "grebe-20260503-test.yaml" in notes(folder)
    assert ask(folder, "suspects")["dives"] == {"with": 1, "without": 1}
    all_questions_end_well(folder)


def test_an_approval_that_cannot_be_read_is_named_and_the_audit_goes_on(folder: Path):
    name = next((folder / "approvals/grebe").glob("r1-*.yaml"))
    name.write_text(
        name.read_text(encoding="utf-8").replace("revision: 1", "revision: one"), encoding="utf-8"
    )
    assert f"approvals/grebe/{name.name} cannot be used" in notes(folder)
    assert ask(folder, "suspects")["dives"]["with"] == 1
    all_questions_end_well(folder)


def test_a_torn_last_line_loses_nothing_before_it(folder: Path):
    path = folder / "dives/2026/grebe-20260516-test.yaml"
    path.write_bytes(path.read_bytes() + b'- {id: "01KTORN", n: 99, at: "2026-05-16T11')
    all_questions_end_well(folder)
    assert "grebe-20260516-test" in notes(folder)


def test_without_git_the_history_is_named_as_missing_and_everything_else_is_told(folder: Path):
    shutil.rmtree(folder / ".git")
    out, _ = rovlog(folder, "audit", "suspects", "--vehicle", "grebe", "--symptom", SYMPTOM, "--json")
    assert json.loads(out)["dives"] == {"with": 1, "without": 2}
    assert "git" in notes(folder)


@pytest.mark.parametrize("question", ASKED)
def test_the_text_of_a_record_steers_no_terminal(folder: Path, question: str):
    out, err = rovlog(folder, "audit", *ASKED[question], "--vehicle", "grebe")
    for stream in (out, err):
        assert "\x1b" not in stream
        assert "\u202e" not in stream


def test_the_text_of_a_record_is_text_in_the_fault_report_and_in_a_spreadsheet(folder: Path, tmp_path: Path):
    page = tmp_path / "fault.html"
    rovlog(folder, "report", "fault", "grebe", "-o", str(page))
    text = page.read_text(encoding="utf-8")
    assert "<script>alert" not in text
    assert "&lt;script&gt;alert(1)&lt;/script&gt;" in text
    sheet = tmp_path / "flat.csv"
    rovlog(folder, "report", "flat", "-o", str(sheet))
    cells = [c for line in sheet.read_text(encoding="utf-8-sig").splitlines() for c in line.split(",")]
    assert not [c for c in cells if c.lstrip('"')[:1] in tuple("=@") or c.startswith(("+", '"+'))]
    assert HOSTILE[:8] in sheet.read_text(encoding="utf-8-sig")


def test_an_experiment_started_over_hostile_records_is_kept_on_one_line_each(folder: Path):
    words = ("audit", "experiment", "--vehicle", "grebe", "--symptom", SYMPTOM, "--start", "--by", "iben")
    out, _ = rovlog(folder, *words, "--json")
    found = json.loads(out)
    record = Logbook(open_book(str(folder))).record(found["work"])
    steps = [e.fields["text"] for e in record.of_kind("note")]
    assert len(steps) == len(found["steps"])
    assert steps[0].startswith(f"experiment, step 1 of {len(steps)}: people clear")
    assert found["single_change"] in " ".join(steps)
    assert record.of_kind("start")[0].fields["purpose"].startswith(f"experiment for {SYMPTOM}")
    rovlog(folder, "validate")
    assert os.listdir(folder / "work/2026")


def test_an_experiment_is_started_by_somebody(folder: Path):
    _, err = rovlog(
        folder, "audit", "experiment", "--vehicle", "grebe", "--symptom", SYMPTOM, "--start", status=2
    )
    assert "add --by PERSON" in err
