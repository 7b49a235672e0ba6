"""rovlog inside somebody's own git repository: nothing of theirs is touched, and git in trouble is one sentence."""

# ruff: noqa: E501
from __future__ import annotations

import os
from pathlib import Path

import pytest
from calling import CommandLine, command, git, new_logbook

pytestmark = pytest.mark.system("git")

CREW = ("--by", "nora", "--site", "jetty", "--water", "fresh:14", "--crew", "supervisor=nora", "pilot=tomas")


@pytest.fixture
def theirs(tmp_path: Path) -> Path:
    """A repository with two commits, a branch, staged and unstaged changes, and a hook that always fails."""
    root = tmp_path / "project"
    root.mkdir()
    git(root, "init", "--quiet", "--initial-branch=trunk")
    (root / "plan.txt").write_text("one\n")
    (root / "drawing.bin").write_bytes(bytes(range(256)))
    git(root, "add", "-A")
    git(root, "commit", "--quiet", "-m", "Plan")
    git(root, "branch", "side")
    (root / "plan.txt").write_text("two\n")
    git(root, "commit", "--quiet", "-am", "Second thoughts")
    (root / "plan.txt").write_text("three\n")
    git(root, "add", "plan.txt")
    (root / "plan.txt").write_text("four\n")
    (root / "new.txt").write_text("not added\n")
    for name in ("pre-commit", "commit-msg", "post-commit", "reference-transaction", "pre-push"):
        hook = root / ".git/hooks" / name
        hook.write_text(
            "#!/bin/sh\ntouch HOOK-RAN\n" + ("exit 1\n" if name != "reference-transaction" else "")
        )
        hook.chmod(0o755)
    return root


def standing(root: Path) -> dict[str, object]:
    """What is the person's own: files, staging area, branches, history of their files, configuration."""
    return {
        "plan": (root / "plan.txt").read_text(),
        "new": (root / "new.txt").read_text(),
        "drawing": (root / "drawing.bin").read_bytes(),
        "staged": git(root, "diff", "--cached", "--name-only", "--", "plan.txt", "new.txt", "drawing.bin"),
        "staged text": git(root, "show", ":plan.txt"),
        "side": git(root, "rev-parse", "side"),
        "config": (root / ".git/config").read_text(),
        "history of the plan": git(root, "log", "--format=%H", "--", "plan.txt"),
        "stashes": git(root, "stash", "list"),
    }


def a_day(line: CommandLine) -> str:
    """Approve, dive, fault, close."""
    line("vehicle", "approve", "auk", "--by", "nora", "--reason", "as built")
    dive = str(line.json("dive", "start", "auk", *CREW)["dive"])
    line("dive", "tick", dive, "swimmers", "--by", "nora")
    line("dive", "fault", dive, "yaw-weak", "--by", "tomas")
    line("dive", "close", dive, "--by", "nora")
    return dive


@pytest.mark.parametrize("folder", [".", "logbook", "deep/er"])
def test_a_day_touches_nothing_that_is_theirs(theirs: Path, folder: str) -> None:
    before = standing(theirs)
    old = git(theirs, "rev-parse", "HEAD").strip()
    line = new_logbook(theirs / folder)
    dive = a_day(line)
    assert standing(theirs) == before
    assert not (theirs / "HOOK-RAN").exists()
    assert git(theirs, "merge-base", "--is-ancestor", old, "HEAD") == ""
    assert git(theirs, "symbolic-ref", "HEAD").strip() == "refs/heads/trunk"
    subjects = git(theirs, "log", "--format=%s", f"{old}..HEAD").splitlines()
    assert f"Close dive {dive}" in subjects
    touched = set(git(theirs, "log", "--format=", "--name-only", f"{old}..HEAD").split())
    prefix = "" if folder == "." else folder + "/"
    assert all(name.startswith(prefix) for name in touched)
    assert not touched & {"plan.txt", "new.txt", "drawing.bin"}
    assert git(theirs, "fsck", "--strict") == ""


def test_the_author_is_who_said_it_where_the_logbook_knows_an_address(tmp_path: Path) -> None:
    line = new_logbook(tmp_path / "logbook")
    settings = line.root / "logbook.yaml"
    text = settings.read_text(encoding="utf-8")
    assert "Nora Vik" in text
    settings.write_text(
        text.replace("name: Nora Vik", "email: nora@team.example, name: Nora Vik"), encoding="utf-8"
    )
    if line("validate", status=None).status:
        import re

        settings.write_text(
            re.sub(r"(?m)^( *)name: Nora Vik$", r"\1name: Nora Vik\n\1email: nora@team.example", text)
        )
    line("validate")
    line("dive", "start", "auk", *CREW)
    assert git(line.root, "log", "-1", "--format=%an <%ae>").strip() == "Nora Vik <nora@team.example>"


def test_on_a_detached_head_commits_go_on_from_there_or_are_said_not_to_be_made(theirs: Path) -> None:
    line = new_logbook(theirs)
    git(theirs, "checkout", "--quiet", "--detach")
    trunk = git(theirs, "rev-parse", "trunk")
    called = line("dive", "start", "auk", *CREW)
    assert git(theirs, "rev-parse", "trunk") == trunk
    dive = line.json("dive", "list")["dives"][0]["dive"]
    assert "not yet in git" in called.err or f"Start dive {dive}" in git(theirs, "log", "-1", "--format=%s")
    assert line("dive", "note", dive, "kept", "--by", "nora").status == 0


def test_in_the_middle_of_a_merge_entries_are_kept_and_the_merge_is_left_alone(theirs: Path) -> None:
    line = new_logbook(theirs)
    git(theirs, "stash", "--quiet", "--include-untracked", "--", "plan.txt", "new.txt")
    git(theirs, "-c", "core.hooksPath=/nowhere", "checkout", "--quiet", "side")
    (theirs / "plan.txt").write_text("other\n")
    git(theirs, "-c", "core.hooksPath=/nowhere", "commit", "--quiet", "-am", "Other thoughts")
    git(theirs, "-c", "core.hooksPath=/nowhere", "checkout", "--quiet", "trunk")
    import subprocess

    merging = subprocess.run(["git", "merge", "side"], cwd=theirs, capture_output=True)
    assert merging.returncode == 1
    head = git(theirs, "rev-parse", "HEAD")
    conflict = (theirs / "plan.txt").read_text()
    for name in ("vehicles", "boxes", "thrusters"):
        if not (theirs / name).exists():
            from hand_written import write_files

            write_files(theirs)
    called = line("dive", "start", "auk", *CREW)
    assert "not yet in git" in called.err
    assert "merge" in called.err
    assert "mend: " in called.err
    dive = line.json("dive", "list")["dives"][0]["dive"]
    line("dive", "tick", dive, "swimmers", "--by", "nora")
    assert line.json("dive", "show", dive)["items"]["swimmers"]["state"] == "answered"
    assert git(theirs, "rev-parse", "HEAD") == head
    assert (theirs / "plan.txt").read_text() == conflict
    assert (theirs / ".git/MERGE_HEAD").exists()


def test_a_signature_that_cannot_be_made_keeps_the_entry_and_says_so(theirs: Path) -> None:
    git(theirs, "config", "commit.gpgsign", "true")
    git(theirs, "config", "gpg.program", "/bin/false")
    line = CommandLine(theirs)
    made = new_logbook(theirs)
    called = made("dive", "start", "auk", *CREW)
    assert "not yet in git" in called.err
    assert "sign" in called.err
    dive = line.json("dive", "list")["dives"][0]["dive"]
    assert line("dive", "note", dive, "kept", "--by", "nora").status == 0


def test_without_git_there_is_one_sentence_with_the_mend_and_entries_are_kept(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    line = new_logbook(tmp_path / "logbook")
    nothing = tmp_path / "bin"
    nothing.mkdir()
    monkeypatch.setenv("PATH", str(nothing))
    called = line("dive", "start", "auk", *CREW)
    assert "git" in called.err
    assert "mend: " in called.err
    assert called.err.count("not yet in git") == 1
    dive = line.json("dive", "list")["dives"][0]["dive"]
    assert line("dive", "tick", dive, "swimmers", "--by", "nora").status == 0
    assert line("dive", "show", dive).status == 0
    assert line("vehicle", "show", "auk").status == 0
    for words in (
        ("verify",),
        ("audit", "timeline", "--vehicle", "auk"),
        ("checklist", "history", "pre-dive"),
    ):
        told = line(*words, status=None)
        assert told.status in (0, 1, 2)
        assert "Traceback" not in told.err
    refused = line("vehicle", "show", "auk@abcdef1", status=2)
    assert "mend: " in refused.err


def test_a_logbook_is_not_begun_without_git_and_says_how(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    import io

    from rovlog.faces.cli.main import run

    monkeypatch.setenv("PATH", str(tmp_path))
    err = io.StringIO()
    status = run(["init", str(tmp_path / "logbook")], io.StringIO(), err)
    assert status == 2
    assert "git" in err.getvalue()
    assert "mend: " in err.getvalue()


def test_without_a_name_in_git_the_entry_is_kept_and_the_two_commands_are_given(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    line = new_logbook(tmp_path / "logbook")
    empty = tmp_path / "gitconfig"
    empty.write_text("[user]\n\tuseConfigOnly = true\n")
    monkeypatch.setenv("GIT_CONFIG_GLOBAL", str(empty))
    called = line("dive", "start", "auk", *CREW)
    assert "user.name" in called.err
    assert "user.email" in called.err
    dive = line.json("dive", "list")["dives"][0]["dive"]
    line("dive", "tick", dive, "swimmers", "--by", "nora")
    assert line.json("dive", "show", dive)["items"]["swimmers"]["state"] == "answered"


def test_what_could_not_be_committed_is_committed_at_the_next_milestone(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    line = new_logbook(tmp_path / "logbook")
    path = os.environ["PATH"]
    monkeypatch.setenv("PATH", str(tmp_path))
    dive = str(line.json("dive", "start", "auk", *CREW)["dive"])
    monkeypatch.setenv("PATH", path)
    assert git(line.root, "status", "--porcelain", "--", "dives") != ""
    line("dive", "close", dive, "--by", "nora")
    assert git(line.root, "status", "--porcelain", "--", "dives") == ""


def test_a_killed_program_leaves_every_entry_it_said_was_kept(tmp_path: Path) -> None:
    import signal
    import subprocess
    import time

    line = new_logbook(tmp_path / "logbook")
    dive = str(line.json("dive", "start", "auk", *CREW)["dive"])
    said = 0
    for n in range(12):
        program = subprocess.Popen(
            [str(command()), "dive", "note", dive, f"number {n}", "--by", "nora"],
            cwd=line.root, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True,
        )  # fmt: skip
        time.sleep(0.02 * n)
        program.send_signal(signal.SIGKILL)
        out, _ = program.communicate()
        if "kept" in out:
            said += 1
            assert f"number {n}" in line("dive", "show", dive, "--entries").out
    line("dive", "note", dive, "after it all", "--by", "nora")
    entries = line("dive", "show", dive, "--entries").out
    assert "after it all" in entries
    assert entries.count("number ") >= said
    assert line.json("validate")["problems"] == []
