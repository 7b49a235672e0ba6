"""What was written while git could not take it goes in with the next milestone, and nothing else does."""

from __future__ import annotations

from pathlib import Path

import pytest
from calling import CommandLine, git, new_logbook

pytestmark = pytest.mark.system("git")

START = ("--by", "nora", "--site", "jetty", "--water", "fresh:14", "--crew", "supervisor=nora", "pilot=tomas")
OURS = ("dives", "work", "approvals")


@pytest.fixture
def line(tmp_path: Path) -> CommandLine:
    made = new_logbook(tmp_path / "logbook")
    git(made.root, "add", "-A")
    git(made.root, "commit", "-qm", "the vehicles")
    return made


def unclean(line: CommandLine) -> list[str]:
    return git(line.root, "status", "--porcelain", "--untracked-files=all", "--", *OURS).splitlines()


def begin_a_merge(line: CommandLine) -> None:
    git(line.root, "checkout", "-qb", "other")
    (line.root / "notes.txt").write_text("theirs\n")
    git(line.root, "add", "notes.txt")
    git(line.root, "commit", "-qm", "theirs")
    git(line.root, "checkout", "-q", "main")
    git(line.root, "merge", "--no-commit", "--no-ff", "other")


def test_what_was_written_during_a_merge_goes_in_with_the_next_milestone(line: CommandLine) -> None:
    begin_a_merge(line)
    line("vehicle", "approve", "auk", "--by", "nora", "--reason", "as built")
    dive = line.json("dive", "start", "auk", *START)["dive"]
    line("dive", "note", dive, "in the middle of it", "--by", "nora")
    assert len(unclean(line)) == 2
    noted = [r["text"] for r in line.json("verify", status=None)["rows"] if dive in r["text"]]
    assert any("takes it along" in t for t in noted)
    git(line.root, "commit", "-qm", "merged")
    assert len(unclean(line)) == 2
    line("work", "start", "auk", "--by", "nora", "--purpose", "new seals")
    assert unclean(line) == []
    message = git(line.root, "log", "-1", "--format=%B")
    assert message.startswith("Start work ")
    assert "Along with it, what was on the disk and not yet in git:" in message
    assert f"/{dive}.yaml" in message
    assert "- approvals/auk/r1-" in message


def test_what_was_written_while_the_store_was_damaged_goes_in_once_it_is_mended(line: CommandLine) -> None:
    head = git(line.root, "rev-parse", "HEAD").strip()
    commit = line.root / ".git/objects" / head[:2] / head[2:]
    kept = commit.read_bytes()
    commit.chmod(0o644)
    commit.write_bytes(b"")
    dive = line.json("dive", "start", "auk", *START)["dive"]
    commit.write_bytes(kept)
    line("dive", "fault", "auk", "yaw-weak", "--by", "nora")
    line("dive", "close", dive, "--by", "nora", status=None)
    line("dive", "note", dive, "written after the close", "--by", "nora")
    assert len(unclean(line)) == 1
    line("work", "start", "auk", "--by", "nora", "--purpose", "new seals")
    assert unclean(line) == []


def test_other_files_are_never_taken_along(line: CommandLine) -> None:
    dive = line.json("dive", "start", "auk", *START)["dive"]
    path = next(line.root.glob(f"dives/*/{dive}.yaml"))
    (path.parent / "plan.yaml").write_text("mine: 1\n")
    (line.root / "vehicles/auk.yaml").write_text((line.root / "vehicles/auk.yaml").read_text() + "# mine\n")
    (line.root / "todo.txt").write_text("mine\n")
    path.write_text(path.read_text(encoding="utf-8").replace("site: jetty", "site: pier"), encoding="utf-8")
    line("work", "start", "auk", "--by", "nora", "--purpose", "new seals")
    left = git(line.root, "status", "--porcelain", "--untracked-files=all").splitlines()
    assert sorted(row[3:] for row in left) == sorted(
        [
            path.relative_to(line.root).as_posix(),
            (path.parent / "plan.yaml").relative_to(line.root).as_posix(),
            "todo.txt",
            "vehicles/auk.yaml",
        ]
    )
    assert "Along with it" not in git(line.root, "log", "-1", "--format=%B")


def test_a_record_with_the_marks_of_a_conflict_is_not_taken_along(line: CommandLine) -> None:
    dive = line.json("dive", "start", "auk", *START)["dive"]
    path = next(line.root.glob(f"dives/*/{dive}.yaml"))
    with path.open("a", encoding="utf-8") as file:
        file.write("<<<<<<< HEAD\n=======\n>>>>>>> other\n")
    line("work", "start", "dipper", "--by", "nora", "--purpose", "new seals")
    assert [row[3:] for row in unclean(line)] == [path.relative_to(line.root).as_posix()]


def test_in_a_subfolder_of_a_persons_repository_too(tmp_path: Path) -> None:
    git(tmp_path, "init", "-q", "-b", "main")
    line = new_logbook(tmp_path / "team" / "logbook")
    (tmp_path / "dives").mkdir()
    (tmp_path / "dives/x.yaml").write_text("format: rovlog/dive/1\n")
    dive = line.json("dive", "start", "auk", *START)["dive"]
    line("dive", "note", dive, "one more", "--by", "nora")
    line("work", "start", "auk", "--by", "nora", "--purpose", "new seals")
    assert unclean(line) == []
    assert git(tmp_path, "status", "--porcelain", "dives").strip() == "?? dives/"
