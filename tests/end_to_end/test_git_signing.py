"""A person who signs commits gets signed commits, and no repository brings its own signer along."""

from __future__ import annotations

import subprocess
from pathlib import Path

import pytest
from scratch_git import Scratch, fresh

pytestmark = [pytest.mark.system("git"), pytest.mark.system("ssh-keygen")]


@pytest.fixture
def scratch(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Scratch:
    key = tmp_path / "key"
    subprocess.run(["ssh-keygen", "-q", "-t", "ed25519", "-N", "", "-C", "test", "-f", key], check=True)
    public = key.with_suffix(".pub").read_text()
    (tmp_path / "allowed").write_text(f"ada@team.example {public}")
    (tmp_path / "gitconfig").write_text(
        "[user]\n\tname = Ada\n\temail = ada@team.example\n"
        f"\tsigningkey = {key}.pub\n[commit]\n\tgpgsign = true\n[gpg]\n\tformat = ssh\n"
        f'[gpg "ssh"]\n\tallowedSignersFile = {tmp_path}/allowed\n'
    )
    monkeypatch.setenv("GIT_CONFIG_GLOBAL", str(tmp_path / "gitconfig"))
    return fresh(tmp_path / "book")


def test_a_signed_commit_verifies(scratch: Scratch) -> None:
    commit = scratch.commit(logbook__yaml="a: 1\n")
    assert scratch.git("log", "-1", "--format=%G? %GS", commit) == "G ada@team.example\n"
    scratch.commit(logbook__yaml="a: 2\n")
    assert scratch.git("log", "--format=%G?") == "G\nG\n"


def test_signing_is_off_where_the_person_says_so(scratch: Scratch) -> None:
    scratch.git("config", "commit.gpgsign", "false")
    scratch.commit(logbook__yaml="a: 1\n")
    assert scratch.git("log", "--format=%G?") == "N\n"


def test_invented_commits_with_a_given_time_are_not_signed(scratch: Scratch) -> None:
    scratch.write("logbook.yaml", "a: 1\n")
    at = "2026-06-13T09:31:55+01:00"
    assert scratch.history.commit(["logbook.yaml"], "Old", ("Mira", "m@team.example"), at).commit
    assert scratch.git("log", "--format=%G?") == "N\n"


def test_a_signer_that_fails_leaves_nothing_behind(scratch: Scratch, tmp_path: Path) -> None:
    before = scratch.commit(logbook__yaml="a: 1\n")
    (tmp_path / "key").unlink()
    scratch.write("logbook.yaml", "a: 2\n")
    outcome = scratch.history.commit(["logbook.yaml"], "x")
    assert outcome.commit is None
    assert outcome.reason == "git could not sign the commit"
    assert "commit.gpgsign false" in outcome.mend
    assert scratch.git("rev-parse", "HEAD").strip() == before
    assert scratch.git("diff", "--cached") == ""


@pytest.mark.parametrize(
    "key", ["gpg.ssh.program", "gpg.program", "gpg.x509.program", "gpg.ssh.defaultKeyCommand"]
)
def test_a_signer_named_by_the_repository_itself_is_not_run(
    scratch: Scratch, tmp_path: Path, key: str
) -> None:
    planted = tmp_path / "planted"
    planted.write_text(f"#!/bin/sh\ntouch '{tmp_path}/ran'\nexit 1\n")
    planted.chmod(0o755)
    scratch.git("config", key, str(planted))
    scratch.write("logbook.yaml", "a: 1\n")
    outcome = scratch.history.commit(["logbook.yaml"], "x")
    assert outcome.commit is None
    assert "brings its own program for signing" in outcome.reason
    assert key.lower() in outcome.mend
    assert not (tmp_path / "ran").exists()
    scratch.git("config", "commit.gpgsign", "false")
    assert scratch.history.commit(["logbook.yaml"], "x").commit
