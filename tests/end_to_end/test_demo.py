"""The demonstration as a whole: made by the command, valid, the same each time, and telling its story."""

from __future__ import annotations

import json
import os
import pathlib
import subprocess
import sys
from dataclasses import dataclass
from typing import Any

import pytest

from rovlog.domain.dive import Record
from rovlog.usecases.logbook import Logbook
from rovlog.wiring import open_book

pytestmark = pytest.mark.system("git")

FAILED_IN_THE_STORY = {"blown-fuse-shorts", "bench-insulation", "axes-wet"}
"""Items whose answer fails once, as the story has it."""


def rovlog(*words: str, **surroundings: str) -> subprocess.CompletedProcess[str]:
    """One run of the command in a process of its own, without a terminal."""
    return subprocess.run(
        [sys.executable, "-m", "rovlog", *words],
        capture_output=True,
        text=True,
        env={**os.environ, **surroundings},
        stdin=subprocess.DEVNULL,
        check=False,
    )


@dataclass(frozen=True)
class Demo:
    """A demonstration that was made, and what the command said of it."""

    folder: pathlib.Path
    said: dict[str, Any]

    def ask(self, *words: str) -> dict[str, Any]:
        """A command's JSON about it."""
        done = rovlog("--logbook", str(self.folder), "--json", *words)
        assert done.stdout, done.stderr
        answer: dict[str, Any] = json.loads(done.stdout)
        return answer

    def git(self, *words: str) -> str:
        """What git says of it."""
        done = subprocess.run(
            ["git", "-C", str(self.folder), *words], capture_output=True, text=True, check=True
        )
        return done.stdout

    @property
    def records(self) -> list[Record]:
        """Its dives and work, oldest first."""
        return Logbook(open_book(str(self.folder))).records()


def made_in(folder: pathlib.Path, **surroundings: str) -> Demo:
    done = rovlog("demo", str(folder), "--json", **surroundings)
    assert done.returncode == 0, done.stderr
    return Demo(folder, json.loads(done.stdout))


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Demo:
    return made_in(tmp_path_factory.mktemp("demo") / "season")


def test_it_holds_a_season_of_two_vehicles_two_boxes_and_three_models(demo: Demo) -> None:
    assert demo.said["vehicles"] == ["grebe", "wigeon"]
    assert len(demo.said["dives"]) >= 24
    assert len(demo.said["work"]) >= 8
    assert len(list((demo.folder / "boxes").iterdir())) == 2
    assert len(list((demo.folder / "thrusters").iterdir())) == 3
    months = {r.started[:7] for r in demo.records}
    assert {f"2026-0{month}" for month in range(4, 10)} <= months


def test_everything_in_it_validates_and_nothing_is_wrong(demo: Demo) -> None:
    validated = rovlog("--logbook", str(demo.folder), "validate", "--json")
    assert (validated.returncode, json.loads(validated.stdout)["problems"]) == (0, [])
    verified = rovlog("--logbook", str(demo.folder), "verify")
    assert verified.returncode == 0
    assert "wrong  " not in verified.stdout


def test_everything_is_committed_by_several_people_with_their_own_names(demo: Demo) -> None:
    assert demo.git("status", "--porcelain") == ""
    authors = set(demo.git("log", "--format=%an <%ae>").splitlines())
    assert len(authors) >= 4
    assert all(author.endswith("@larkwater.example>") for author in authors)
    assert set(demo.git("log", "--format=%cn <%ce>").splitlines()) == authors
    assert all(line.startswith("2026-") for line in demo.git("log", "--format=%cI").splitlines())


def test_two_makings_are_the_same_to_the_byte_also_without_a_name_in_git(
    demo: Demo, tmp_path: pathlib.Path
) -> None:
    again = made_in(
        tmp_path / "again",
        GIT_CONFIG_GLOBAL=os.devnull,
        HOME=str(tmp_path),
        TZ="Asia/Tokyo",
        PYTHONHASHSEED="11",
        ROVLOG_WRITER="another-laptop",
    )
    assert again.said["commit"] == demo.said["commit"]
    assert files_of(again.folder) == files_of(demo.folder)


def files_of(folder: pathlib.Path) -> dict[str, bytes]:
    """Every file but what is derived and git's own."""
    return {
        str(path.relative_to(folder)): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file() and not {".git", ".rovlog"} & set(path.relative_to(folder).parts)
    }


def test_diagnose_names_the_swap_first(demo: Demo) -> None:
    ranked = demo.ask("diagnose", demo.said["faulty"][-1])["ranked"]
    assert ranked[0]["edits"] == [{"edit": "swapped", "channels": [1, 2]}]
    assert ranked[0]["posterior"] > 0.9


def test_the_refit_comes_first_among_the_suspects(demo: Demo) -> None:
    found = demo.ask("audit", "suspects", "--vehicle", "grebe", "--symptom", "yaw-dead")
    assert found["dives"]["with"] == 2
    first, second = found["ranked"][0], found["ranked"][1]
    assert "bow refit" in first["text"]
    assert first["score"] > 3 * second["score"]
    assert any("connector parted" in row["text"] for row in first["grouped_with"])


def test_the_two_faulty_dives_differ_in_day_pilot_tender_and_place(demo: Demo) -> None:
    both = [r for r in demo.records if r.id in demo.said["faulty"]]
    starts = [r.entries[0].fields for r in both]
    assert both[0].started[:10] != both[1].started[:10]
    assert starts[0]["site"] != starts[1]["site"]
    for role in ("pilot", "tender"):
        assert starts[0]["crew"][role] != starts[1]["crew"][role]


def test_the_renumbered_map_was_caught_before_the_launch(demo: Demo) -> None:
    day = [r for r in demo.records if r.id.startswith("grebe-20260627")]
    assert [len([m for m in r.of_kind("mark") if m.fields["mark"] == "in-water"]) for r in day] == [0, 1]
    rows = demo.ask("drift", day[0].id)["deviations"]
    firmware = next(d for d in rows if d["pointer"] == "/control_box/firmware")
    assert firmware["stops_dive"]
    assert firmware["effect"]["lost"]["sway"] == pytest.approx(1.0)
    assert all(d["pointer"] != "/control_box/thruster_map" for d in rows)  # the number itself is the same


def test_no_vehicle_was_launched_without_the_release_and_no_answer_failed_but_in_the_story(
    demo: Demo,
) -> None:
    for record in demo.records:
        released = [e.n for e in record.of_kind("release") if e.fields["point"] == "clear-to-launch"]
        for mark in record.of_kind("mark"):
            if mark.fields["mark"] == "in-water":
                assert released, record.id
                assert released[-1] < mark.n
        failed = {e.fields["item"] for e in record.of_kind("check") if e.fields["outcome"] == "fail"}
        assert failed <= FAILED_IN_THE_STORY, (record.id, failed)


def test_the_season_shows_what_a_team_really_does(demo: Demo) -> None:
    kinds = {e.kind for r in demo.records for e in r.entries}
    assert {"pause", "resume", "deferral", "waiver", "correction", "fitted", "attachment", "fault"} <= kinds
    from_memory = [r for r in demo.records if any(e.fields.get("clock") == "memory" for e in r.entries)]
    assert [r.id[:14] for r in from_memory] == ["grebe-20260606"]
    days = [r.id[:14] for r in demo.records if r.kind == "dive"]
    assert len(days) > len(set(days))  # a second dive on one day


def test_it_ends_in_a_quarantine_where_the_work_stopped(demo: Demo) -> None:
    last = demo.records[-1]
    assert last.id == demo.said["open"]
    assert [r.id for r in demo.records if not r.is_closed] == [last.id]
    shown = demo.ask("work", "show", last.id)
    assert any("quarantine" in stop["reason"] for stop in shown["stops"])


def test_a_folder_with_something_in_it_is_refused_and_left_alone(tmp_path: pathlib.Path) -> None:
    (tmp_path / "notes.txt").write_text("mine")
    done = rovlog("demo", str(tmp_path), "--no-open")
    assert done.returncode == 2
    assert "is not an empty folder" in done.stderr
    assert [p.name for p in tmp_path.iterdir()] == ["notes.txt"]


def test_without_a_terminal_it_says_what_to_type_next(demo: Demo) -> None:
    from rovlog.faces.reports.demo_text import demo_text
    from rovlog.usecases.demonstration.make_demonstration import Made

    said = demo.said
    made = Made(
        said["logbook"],
        tuple(said["vehicles"]),
        tuple(said["dives"]),
        tuple(said["work"]),
        said["last_good"],
        tuple(said["faulty"]),
        said["open"],
        said["commit"],
    )
    commands = [line.strip() for line in demo_text(made).splitlines() if line.startswith("  rovlog ")]
    assert 8 <= len(commands) <= 10
    for command in commands:
        done = rovlog("--logbook", str(demo.folder), *command.split()[1:])
        assert done.returncode in (0, 1), (command, done.stderr)
        assert done.stdout
