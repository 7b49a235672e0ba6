"""Committing records in a person's own repository: exactly these files, and nothing else of theirs moves."""

from __future__ import annotations

import subprocess
import threading
from pathlib import Path

import pytest
from scratch_git import Scratch, by_hand, fresh

from rovlog.problems import UsageError
from rovlog.store.files import DiskFiles
from rovlog.store.history import GitHistory, initialise

pytestmark = pytest.mark.system("git")


@pytest.fixture
def scratch(tmp_path: Path) -> Scratch:
    return fresh(tmp_path / "book")


@pytest.mark.parametrize(
    ("below", "init"),
    [("", ("-b", "main")), ("records/rov", ("-b", "trunk")), ("", ("-b", "main", "--object-format=sha256"))],
)
def test_a_first_and_a_second_commit_hold_exactly_the_named_files(
    tmp_path: Path, below: str, init: tuple[str, ...]
) -> None:
    scratch = Scratch(tmp_path / "repository", below, init)
    assert scratch.history.head() is None
    assert scratch.history.log([]) == []
    scratch.write("unrelated.txt", "mine")
    first = scratch.commit(logbook__yaml="a: 1\n", vehicles_in_kelpie__yaml="a: 1\n")
    second = scratch.commit(vehicles_in_kelpie__yaml="a: 2\n")
    prefix = f"{below}/" if below else ""
    assert scratch.git("log", "--format=%H %s", "--name-only").split("\n") == [
        f"{second} Record vehicles/kelpie.yaml",
        "",
        f"{prefix}vehicles/kelpie.yaml",
        f"{first} Record logbook.yaml, vehicles/kelpie.yaml",
        "",
        f"{prefix}logbook.yaml",
        f"{prefix}vehicles/kelpie.yaml",
        "",
    ]
    assert scratch.git("status", "--porcelain") == f"?? {prefix}unrelated.txt\n"
    assert scratch.history.head() == second
    assert scratch.git("fsck", "--strict") == ""


def test_the_same_content_again_gives_the_current_commit(scratch: Scratch) -> None:
    first = scratch.commit(logbook__yaml="a: 1\n")
    assert scratch.history.commit(["logbook.yaml"], "again").commit == first
    assert scratch.history.commit([], "nothing").commit == first


def test_a_file_taken_away_is_taken_out(scratch: Scratch) -> None:
    scratch.commit(logbook__yaml="a: 1\n", parts_in_p__yaml="b\n")
    (scratch.root / "parts" / "p.yaml").unlink()
    assert scratch.history.commit(["parts/p.yaml", "parts/never.yaml"], "Scrap p").commit
    assert scratch.git("ls-files") == "logbook.yaml\n"
    assert scratch.git("status", "--porcelain") == ""


def test_author_message_and_dates_are_those_given(scratch: Scratch) -> None:
    scratch.write("logbook.yaml", "a: 1\n")
    message = "Close kelpie dive 3 — 11 °C\n\nAll items done.\n"
    outcome = scratch.history.commit(["logbook.yaml"], message, ("Mira Ek", "mira@team.example"))
    assert outcome.commit
    shown = scratch.git("log", "-1", "--format=%an|%ae|%cn|%ce|%B")
    assert shown == f"Mira Ek|mira@team.example|Test Builder|builder@team.example|{message}\n"
    scratch.write("logbook.yaml", "a: 2\n")
    at = "2026-06-13T09:31:55+01:00"
    assert scratch.history.commit(["logbook.yaml"], "Old", ("Mira Ek", "mira@team.example"), at).commit
    assert scratch.git("log", "-1", "--format=%aI|%cI|%cn") == f"{at}|{at}|Mira Ek\n"
    assert scratch.git("log", "-g", "-1", "--format=%gs") == "rovlog: Old\n"


def test_a_commit_with_a_given_time_is_the_same_on_every_machine(tmp_path: Path) -> None:
    made = []
    for name in ("one", "two"):
        scratch = fresh(tmp_path / name)
        scratch.git("config", "user.name", f"Somebody {name}")
        scratch.write("logbook.yaml", "a: 1\n")
        at = "2026-06-13T09:31:55+01:00"
        made.append(scratch.history.commit(["logbook.yaml"], "Start", ("Mira", "m@team.example"), at).commit)
    assert made[0] == made[1]


def test_every_other_staged_change_stays_byte_for_byte(scratch: Scratch) -> None:
    scratch.commit(logbook__yaml="a: 1\n")
    scratch.write("notes.txt", "one\n")
    scratch.write("plan.txt", "one\n")
    scratch.git("add", "notes.txt", "plan.txt")
    scratch.git("commit", "-qm", "mine")
    scratch.write("notes.txt", "one\nstaged\n")
    scratch.write("new.txt", "staged\n")
    scratch.git("add", "notes.txt", "new.txt")
    scratch.write("notes.txt", "one\nstaged\nnot staged\n")
    scratch.write("intended.txt", "later\n")
    scratch.git("add", "--intent-to-add", "intended.txt")
    scratch.git("rm", "-q", "--cached", "plan.txt")
    scratch.write("untracked.txt", "x\n")
    looks = (("diff", "--cached"), ("diff",), ("status", "--porcelain=v2", "--untracked-files=all"))
    before = [scratch.git(*look) for look in looks]
    scratch.commit(dives_in_2026_in_d__yaml="entries:\n")
    assert [scratch.git(*look) for look in looks] == before
    assert scratch.git("show", "--name-only", "--format=") == "dives/2026/d.yaml\n"


def test_files_staged_in_the_same_place_end_up_as_on_disk(scratch: Scratch) -> None:
    scratch.commit(logbook__yaml="a: 1\n")
    scratch.write("logbook.yaml", "a: 2\n")
    scratch.git("add", "logbook.yaml")
    scratch.commit(logbook__yaml="a: 3\n")
    assert scratch.git("status", "--porcelain") == ""
    assert scratch.git("show", "HEAD:logbook.yaml") == "a: 3\n"


def test_an_executable_file_stays_executable(scratch: Scratch) -> None:
    scratch.write("logbook.yaml", "a: 1\n")
    scratch.git("add", "--chmod=+x", "logbook.yaml")
    scratch.git("commit", "-qm", "odd")
    (scratch.root / "logbook.yaml").chmod(0o755)
    scratch.commit(logbook__yaml="a: 2\n")
    assert scratch.git("ls-tree", "HEAD").startswith("100755 ")
    assert scratch.git("status", "--porcelain") == ""


def test_nobody_s_hooks_run(scratch: Scratch) -> None:
    hooks = scratch.root / "own-hooks"
    hooks.mkdir()
    for name in [
        "pre-commit",
        "prepare-commit-msg",
        "commit-msg",
        "post-commit",
        "reference-transaction",
        "post-index-change",
        "pre-auto-gc",
        "post-rewrite",
        "fsmonitor-watchman",
    ]:
        hook = hooks / name
        hook.write_text(f"#!/bin/sh\necho {name} >> '{scratch.root}/ran'\nexit 1\n")
        hook.chmod(0o755)
    scratch.git("config", "core.hooksPath", str(hooks))
    scratch.git("config", "core.fsmonitor", str(hooks / "fsmonitor-watchman"))
    scratch.commit(logbook__yaml="a: 1\n")
    scratch.commit(logbook__yaml="a: 2\n")
    scratch.history.log([])
    scratch.history.state()
    assert not (scratch.root / "ran").exists()
    scratch.git("update-ref", "refs/heads/other", "HEAD", ok=False)
    assert (scratch.root / "ran").exists(), "the trap itself does not work"


def test_nobody_s_filters_run_and_line_ends_stay(scratch: Scratch) -> None:
    ran = scratch.root / "ran"
    scratch.git("config", "filter.loud.clean", f"echo clean >> '{ran}'; cat")
    scratch.git("config", "filter.loud.smudge", f"echo smudge >> '{ran}'; cat")
    scratch.git("config", "diff.loud.textconv", f"echo textconv >> '{ran}'; cat")
    scratch.git("config", "diff.external", f"echo external >> '{ran}'")
    scratch.git("config", "core.autocrlf", "true")
    scratch.write(
        ".gitattributes", "*.yaml filter=loud diff=loud ident text eol=crlf working-tree-encoding=UTF-16\n"
    )
    first = scratch.commit(logbook__yaml="a: 1 # $Id$ \u00fc\n")
    scratch.commit(logbook__yaml="a: 2\r\n")
    scratch.history.log(["logbook.yaml"])
    assert scratch.history.read_at(first, "logbook.yaml") == "a: 1 # $Id$ \u00fc\n".encode()
    raw = subprocess.run(
        ["git", "cat-file", "blob", "HEAD:logbook.yaml"], cwd=scratch.root, capture_output=True
    )
    assert raw.stdout == b"a: 2\r\n"
    assert not ran.exists()


def test_nothing_of_git_s_own_environment_leaks_in(scratch: Scratch, monkeypatch: pytest.MonkeyPatch) -> None:
    other = fresh(scratch.root.parent / "other")
    other.commit(logbook__yaml="other\n")
    before = other.git("rev-parse", "HEAD")
    monkeypatch.setenv("GIT_DIR", str(other.root / ".git"))
    monkeypatch.setenv("GIT_WORK_TREE", str(other.root))
    monkeypatch.setenv("GIT_INDEX_FILE", str(other.root / ".git" / "index"))
    monkeypatch.setenv("GIT_AUTHOR_NAME", "Somebody Else")
    monkeypatch.setenv("GIT_CONFIG_COUNT", "1")
    monkeypatch.setenv("GIT_CONFIG_KEY_0", "user.name")
    monkeypatch.setenv("GIT_CONFIG_VALUE_0", "Somebody Else")
    monkeypatch.setenv("GIT_TRACE", str(scratch.root / "trace"))
    scratch.commit(logbook__yaml="mine\n")
    for name in (
        "GIT_DIR",
        "GIT_WORK_TREE",
        "GIT_INDEX_FILE",
        "GIT_AUTHOR_NAME",
        "GIT_CONFIG_COUNT",
        "GIT_TRACE",
    ):
        monkeypatch.delenv(name)
    assert other.git("rev-parse", "HEAD") == before
    assert scratch.git("log", "--format=%an") == "Test Builder\n"
    assert not (scratch.root / "trace").exists()


def test_it_works_in_a_second_worktree_and_on_no_branch(scratch: Scratch) -> None:
    scratch.commit(logbook__yaml="a: 1\n")
    scratch.git("worktree", "add", "-q", "-b", "trip", "../trip")
    trip = Scratch(scratch.root.parent / "trip", init=())
    made = trip.commit(logbook__yaml="a: 2\n")
    assert trip.git("symbolic-ref", "--short", "HEAD") == "trip\n"
    assert trip.git("status", "--porcelain") == ""
    assert scratch.git("show", "main:logbook.yaml") == "a: 1\n"
    trip.git("checkout", "-q", "--detach")
    detached = trip.commit(logbook__yaml="a: 3\n")
    assert trip.git("rev-parse", "HEAD", "HEAD~1", "trip").split() == [detached, made, made]
    assert trip.history.state() == ["no branch is checked out: commits made now belong to none"]


def test_commits_from_two_programs_at_once_all_arrive(scratch: Scratch) -> None:
    scratch.commit(logbook__yaml="a: 1\n")
    outcomes: list[str | None] = []

    def work(number: int) -> None:
        history = GitHistory(DiskFiles(str(scratch.root)))
        for turn in range(4):
            name = f"dives/{number}-{turn}.yaml"
            scratch.write(name, name)
            outcomes.append(history.commit([name], name).commit)

    threads = [threading.Thread(target=work, args=(n,)) for n in (1, 2)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert None not in outcomes
    assert len(set(outcomes)) == 8
    assert scratch.git("rev-list", "--count", "HEAD") == "9\n"
    assert len(scratch.git("ls-tree", "-r", "--name-only", "HEAD").split()) == 9
    assert scratch.git("status", "--porcelain") == ""


def test_a_link_in_place_of_a_record_is_not_committed_as_what_it_points_to(
    scratch: Scratch, tmp_path: Path
) -> None:
    scratch.commit(logbook__yaml="a: 1\n")
    (tmp_path / "secret").write_text("secret")
    (scratch.root / "vehicles").mkdir()
    (scratch.root / "vehicles" / "a.yaml").symlink_to(tmp_path / "secret")
    outcome = scratch.history.commit(["vehicles/a.yaml"], "x")
    assert scratch.history.read_at(outcome.commit or "", "vehicles/a.yaml") is None
    with pytest.raises(UsageError, match="climbs out"):
        scratch.history.commit(["../secret"], "x")


def test_making_a_logbook_inside_a_repository_makes_no_second_one(tmp_path: Path) -> None:
    by_hand(tmp_path, "init", "-q", "-b", "trunk")
    (tmp_path / "book").mkdir()
    assert not initialise(str(tmp_path / "book"))
    assert not (tmp_path / "book" / ".git").exists()
    assert initialise(str(tmp_path / "book"), own_repository=True)
    assert by_hand(tmp_path / "book", "symbolic-ref", "HEAD") == "refs/heads/main\n"
    assert not initialise(str(tmp_path / "book"), own_repository=True)


def test_a_split_staging_area_stays_split_and_gains_no_leftovers(scratch: Scratch) -> None:
    scratch.commit(logbook__yaml="a: 1\n")
    scratch.git("config", "core.splitIndex", "true")
    scratch.git("update-index", "--split-index")
    before = sorted(p.name for p in (scratch.root / ".git").glob("sharedindex.*"))
    assert before
    scratch.commit(logbook__yaml="a: 2\n")
    assert sorted(p.name for p in (scratch.root / ".git").glob("sharedindex.*")) == before
    assert list((scratch.root / ".rovlog" / "tmp").iterdir()) == []
    assert scratch.git("status", "--porcelain") == ""
