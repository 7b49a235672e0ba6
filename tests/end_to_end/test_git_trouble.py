"""git in trouble: nothing is committed, the reason and the mend are said, and records go on being written."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from scratch_git import Scratch, by_hand, fresh

from rovlog.problems import GitError
from rovlog.store.files import DiskFiles
from rovlog.store.history import GitHistory, initialise
from rovlog.usecases.ports import CommitOutcome

pytestmark = pytest.mark.system("git")


@pytest.fixture
def scratch(tmp_path: Path) -> Scratch:
    made = fresh(tmp_path / "book")
    made.commit(logbook__yaml="a: 1\n")
    made.commit(vehicles_in_v__yaml="one\n")
    return made


def refused(scratch: Scratch) -> CommitOutcome:
    """Record something and try to commit it: it is recorded, and not committed."""
    entry = f"- {len(scratch.files.read('logbook.yaml'))}\n".encode()
    scratch.files.append("logbook.yaml", entry)
    outcome = scratch.history.commit(["logbook.yaml"], "try")
    assert outcome.commit is None
    assert outcome.reason
    assert "\n" not in outcome.reason
    assert outcome.mend
    assert scratch.files.read("logbook.yaml").endswith(entry)
    return outcome


def mended(scratch: Scratch, commands: str) -> None:
    """Run the mend as it was printed (but for a remark in brackets), then commit."""
    subprocess.run(
        ["sh", "-ec", commands.partition(" (")[0]], cwd=scratch.root, check=True, capture_output=True
    )
    assert scratch.history.commit(["logbook.yaml"], "after the mend").commit
    assert scratch.git("show", "HEAD:logbook.yaml") == (scratch.root / "logbook.yaml").read_text()
    assert by_hand(scratch.root, "status", "--porcelain", "logbook.yaml") == ""


def conflict(scratch: Scratch) -> None:
    """Two branches that do not agree about a file of the person's own."""
    scratch.write("notes.txt", "base\n")
    scratch.git("add", "notes.txt")
    scratch.git("commit", "-qm", "base")
    scratch.git("checkout", "-qb", "other")
    scratch.write("notes.txt", "theirs\n")
    scratch.git("commit", "-qam", "theirs")
    scratch.git("checkout", "-q", "main")
    scratch.write("notes.txt", "ours\n")
    scratch.git("commit", "-qam", "ours")


@pytest.mark.parametrize(
    ("begin", "what", "abort"),
    [
        (("merge", "other"), "a merge", ("merge", "--abort")),
        (("rebase", "other"), "a rebase", ("rebase", "--abort")),
        (("rebase", "--apply", "other"), "a rebase", ("rebase", "--abort")),
        (("cherry-pick", "other"), "a cherry-pick", ("cherry-pick", "--abort")),
        (("revert", "HEAD~1"), "a revert", ("revert", "--abort")),
        (("bisect", "start"), "a bisection", ("bisect", "reset")),
    ],
)
def test_what_the_person_has_begun_is_left_alone(
    scratch: Scratch, begin: tuple[str, ...], what: str, abort: tuple[str, ...]
) -> None:
    conflict(scratch)
    head = scratch.git("rev-parse", "HEAD")
    scratch.git(*begin, ok=False)
    during = scratch.git("rev-parse", "HEAD")
    before = scratch.git("diff", "--cached", "--raw"), scratch.git("ls-files", "-s")
    outcome = refused(scratch)
    assert what in outcome.reason
    assert abort[0] in outcome.mend
    assert scratch.git("rev-parse", "HEAD") == during
    assert (scratch.git("diff", "--cached", "--raw"), scratch.git("ls-files", "-s")) == before
    assert any(what in sentence for sentence in scratch.history.state())
    kept = (scratch.root / "logbook.yaml").read_bytes()
    scratch.git(*abort)
    (scratch.root / "logbook.yaml").write_bytes(kept)
    assert scratch.git("rev-parse", "HEAD") == head
    assert scratch.history.commit(["logbook.yaml"], "now").commit


def test_a_record_that_git_could_not_merge_is_not_committed_with_its_marks(scratch: Scratch) -> None:
    scratch.write("vehicles/v.yaml", "mine\n")
    scratch.git("stash", "-q")
    scratch.commit(vehicles_in_v__yaml="theirs\n")
    scratch.git("stash", "pop", ok=False)
    assert "<<<<<<<" in (scratch.root / "vehicles" / "v.yaml").read_text()
    outcome = scratch.history.commit(["vehicles/v.yaml"], "x")
    assert outcome.commit is None
    assert "could not merge" in outcome.reason
    scratch.write("vehicles/v.yaml", "both\n")
    subprocess.run(["sh", "-ec", outcome.mend.partition(": ")[2]], check=True)
    assert scratch.history.commit(["vehicles/v.yaml"], "x").commit


def emptied(scratch: Scratch, name: str) -> str:
    """Empty an object's file, as a power cut may; its path."""
    path = scratch.root / ".git" / "objects" / name[:2] / name[2:]
    path.chmod(0o644)
    path.write_bytes(b"")
    return str(path)


def test_an_emptied_newest_commit_is_told_and_the_printed_mend_goes_back_without_losing_a_file(
    scratch: Scratch,
) -> None:
    first, second = scratch.git("rev-parse", "HEAD~1", "HEAD").split()
    emptied(scratch, second)
    outcome = refused(scratch)
    assert outcome.reason == f"git's newest commit {second[:12]} is damaged: its file is empty"
    assert scratch.history.state() == [outcome.reason]
    assert scratch.history.head() == second
    for question in (
        lambda: scratch.history.log([]),
        lambda: scratch.history.read_at(second, "logbook.yaml"),
    ):
        with pytest.raises(GitError, match="damaged") as refusal:
            question()
        assert refusal.value.mend
    assert scratch.history.read_at(first, "logbook.yaml") == b"a: 1\n"
    mended(scratch, outcome.mend)
    assert scratch.git("rev-parse", "HEAD~1").strip() == first
    assert (scratch.root / "vehicles" / "v.yaml").read_text() == "one\n"
    assert scratch.history.commit(["vehicles/v.yaml"], "again").commit
    assert scratch.git("status", "--porcelain") == ""


@pytest.mark.parametrize("what", ["HEAD^{tree}", "HEAD:vehicles"])
def test_an_emptied_folder_of_the_newest_commit_is_told_and_mended(scratch: Scratch, what: str) -> None:
    path = emptied(scratch, scratch.git("rev-parse", what).strip())
    outcome = refused(scratch)
    assert "newest commit" in outcome.reason
    assert "damaged" in outcome.reason
    assert outcome.reason in scratch.history.state()
    os.unlink(path)
    mended(scratch, outcome.mend)


def test_an_emptied_file_of_a_branch_is_not_taken_for_a_new_repository(scratch: Scratch) -> None:
    before = scratch.git("rev-parse", "HEAD").strip()
    (scratch.root / ".git" / "refs" / "heads" / "main").write_bytes(b"")
    outcome = refused(scratch)
    assert "record of the branch is damaged" in outcome.reason
    with pytest.raises(GitError, match="damaged"):
        scratch.history.head()
    assert scratch.history.state() == [outcome.reason]
    mended(scratch, outcome.mend)
    assert scratch.git("rev-parse", "HEAD~1").strip() == before


def test_an_emptied_head_is_told_and_no_repository_further_out_is_used_instead(tmp_path: Path) -> None:
    by_hand(tmp_path, "init", "-q", "-b", "main")
    inner = Scratch(tmp_path / "book")
    inner.commit(logbook__yaml="a: 1\n")
    head = inner.root / ".git" / "HEAD"
    before = head.read_bytes()
    head.write_bytes(b"")
    again = Scratch(tmp_path / "book", init=())
    outcome = refused(again)
    assert outcome.reason == f"git cannot use its own folder {inner.root}/.git: it is damaged or not complete"
    assert again.history.state() == [outcome.reason]
    assert by_hand(tmp_path, "ls-files") == ""
    assert not list((tmp_path / ".git" / "objects").glob("??/*"))
    with pytest.raises(GitError, match="damaged"):
        initialise(str(inner.root))
    head.write_bytes(before)
    assert again.history.commit(["logbook.yaml"], "after").commit


def test_an_emptied_staging_area_is_told_and_the_printed_mend_makes_it_anew(scratch: Scratch) -> None:
    (scratch.root / ".git" / "index").write_bytes(b"")
    outcome = refused(scratch)
    assert outcome.reason == "git's staging area is damaged"
    mended(scratch, outcome.mend)


def test_another_git_at_work_is_waited_for_then_left_alone(scratch: Scratch) -> None:
    lock = scratch.root / ".git" / "index.lock"
    lock.write_bytes(b"")
    head = scratch.git("rev-parse", "HEAD")
    outcome = refused(scratch)
    assert outcome.reason == "another git is at work in this repository, so nothing was committed"
    assert str(lock) in outcome.mend
    assert lock.exists()
    assert scratch.git("rev-parse", "HEAD") == head
    assert scratch.history.state() == [f"another git is at work, or one died and left {lock}"]
    lock.unlink()
    mended(scratch, "true")


def test_a_branch_that_stays_locked_is_told(scratch: Scratch) -> None:
    lock = scratch.root / ".git" / "refs" / "heads" / "main.lock"
    lock.write_bytes(b"")
    outcome = refused(scratch)
    assert outcome.reason == "another git keeps the branch busy, so nothing was committed"
    assert str(lock) in outcome.mend
    lock.unlink()
    mended(scratch, "true")


def without_git(scratch: Scratch, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("PATH", str(tmp_path))


def without_identity(scratch: Scratch, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    (tmp_path / "gitconfig").write_text("")
    monkeypatch.setenv("GIT_CONFIG_GLOBAL", str(tmp_path / "gitconfig"))


def without_email(scratch: Scratch, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    (tmp_path / "gitconfig").write_text("[user]\n\tname = Ada\n")
    monkeypatch.setenv("GIT_CONFIG_GLOBAL", str(tmp_path / "gitconfig"))


def without_repository(scratch: Scratch, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    shutil.rmtree(scratch.root / ".git")


def of_somebody_else(scratch: Scratch, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    if os.getuid() != 0:
        pytest.skip("only the administrator can give a folder away")
    for folder, _, names in os.walk(scratch.root):
        for name in (".", *names):
            os.chown(os.path.join(folder, name), 12345, 12345)


@pytest.mark.parametrize(
    ("trouble", "reason", "mend"),
    [
        (without_git, "git is not installed, or not found on the PATH", "install git"),
        (without_identity, "git does not know your name and e-mail", "git config --global user.name"),
        (without_email, "git does not know your name and e-mail", "user.email"),
        (without_repository, "this logbook is not under git", "init -b main"),
        (of_somebody_else, "git refuses this repository because its folder belongs to another user", "chown"),
    ],
)
def test_what_is_missing_is_said_in_one_sentence_with_the_mend(
    scratch: Scratch,
    monkeypatch: pytest.MonkeyPatch,
    tmp_path: Path,
    trouble: Callable[[Scratch, pytest.MonkeyPatch, Path], None],
    reason: str,
    mend: str,
) -> None:
    trouble(scratch, monkeypatch, tmp_path)
    scratch.history = GitHistory(scratch.files)
    outcome = refused(scratch)
    assert outcome.reason == reason
    assert mend in outcome.mend
    for question in (
        scratch.history.identity,
        scratch.history.head,
        lambda: scratch.history.log([]),
        lambda: scratch.history.expand("abcd"),
        lambda: scratch.history.read_at("abcd", "logbook.yaml"),
        lambda: scratch.history.names_at("abcd", ""),
    ):
        try:
            question()
        except GitError as error:
            told = error
        else:
            continue
        assert told.message == reason or trouble in (without_identity, without_email)
    expected = [] if trouble in (without_identity, without_email) else [reason]
    assert scratch.history.state() == expected


def test_the_list_of_trusted_folders_is_never_touched(
    scratch: Scratch, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    settings = Path(os.environ["GIT_CONFIG_GLOBAL"])
    before = settings.read_bytes()
    of_somebody_else(scratch, monkeypatch, tmp_path)
    refused(scratch)
    assert settings.read_bytes() == before
    assert "safe" not in (scratch.root / ".git" / "config").read_text()


def test_a_full_disk_under_git_is_told(
    scratch: Scratch, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    # A git whose every writing of an object fails as on a full disk.
    real = shutil.which("git")
    (tmp_path / "bin").mkdir()
    (tmp_path / "bin" / "git").write_text(
        '#!/bin/sh\nfor a; do [ "$a" = hash-object ] && '
        '{ echo "error: unable to write file: No space left on device" >&2; exit 128; }; done\n'
        f'exec {real} "$@"\n'
    )
    (tmp_path / "bin" / "git").chmod(0o755)
    monkeypatch.setenv("PATH", f"{tmp_path / 'bin'}:{os.environ['PATH']}")
    assert refused(scratch).reason == "git found the disk full"


def test_a_git_that_hangs_is_ended(scratch: Scratch, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    (tmp_path / "bin").mkdir()
    (tmp_path / "bin" / "git").write_text("#!/bin/sh\nexec sleep 60\n")
    (tmp_path / "bin" / "git").chmod(0o755)
    monkeypatch.setenv("PATH", f"{tmp_path / 'bin'}:{os.environ['PATH']}")
    with pytest.raises(GitError, match="did not answer within 0 seconds"):
        scratch.history._git.run("status", time_limit_s=0.2)


def test_shallow_grafted_and_hidden_are_told(scratch: Scratch, tmp_path: Path) -> None:
    by_hand(tmp_path, "clone", "-q", "--depth=1", f"file://{scratch.root}", "clone")
    clone = Scratch(tmp_path / "clone", init=())
    assert clone.history.state() == ["the clone is shallow: older commits are missing here"]
    (scratch.root / ".git" / "info").mkdir(exist_ok=True)
    (scratch.root / ".git" / "info" / "grafts").write_text(scratch.git("rev-parse", "HEAD"))
    scratch.git("update-index", "--assume-unchanged", "logbook.yaml")
    scratch.git("update-index", "--skip-worktree", "vehicles/v.yaml")
    assert scratch.history.state() == [
        "grafts are in force: commits may show other parents than they have",
        "git is told to overlook changes of: logbook.yaml, vehicles/v.yaml",
    ]


def test_an_ordinary_repository_is_nothing_unusual(scratch: Scratch) -> None:
    assert scratch.history.state() == []


@pytest.mark.system("setpriv")
def test_a_logbook_that_cannot_be_written_is_still_read(scratch: Scratch) -> None:
    if os.getuid() != 0:
        pytest.skip("needs the administrator, to become another user")
    # Another user, who may read all of it and write none of it, and whom git is told to trust the owner.
    code = (
        "import sys; from rovlog.wiring import open_book; b = open_book(sys.argv[1]);"
        "h = b.history.head(); print(b.history.read_at(h, 'logbook.yaml'), len(b.history.log([])));"
        "b.cache.put_many({'a': b'1'});\n"
        "with b.files.lock('x'): print(b.cache.get_many(['a']), b.history.state())\n"
        "o = b.history.commit(['vehicles/w.yaml'], 'x'); print(o.reason)\n"
        "try: b.files.append('logbook.yaml', b'x')\n"
        "except Exception as e: print(type(e).__name__, e.message)\n"
    )
    scratch.write("vehicles/w.yaml", "new\n")
    for folder in scratch.root.parents:
        if folder.is_relative_to("/tmp") and folder != Path("/tmp"):
            folder.chmod(0o755)
    home = scratch.root.parent / "home"
    home.mkdir()
    (home / ".gitconfig").write_text("[safe]\n\tdirectory = *\n[user]\n\tname = A\n\temail = a@b.example\n")
    environment = {k: v for k, v in os.environ.items() if not k.startswith("GIT_")} | {
        "HOME": str(home),
        "XDG_STATE_HOME": str(home / "none"),
        "PYTHONPATH": str(Path(__file__).parents[2]),
    }
    done = subprocess.run(
        [
            "setpriv",
            "--reuid=65534",
            "--regid=65534",
            "--clear-groups",
            sys.executable,
            "-c",
            code,
            scratch.root,
        ],
        env=environment,
        capture_output=True,
        text=True,
        cwd="/",
    )
    assert done.stdout.splitlines() == [
        "b'a: 1\\n' 2",
        "{} []",
        "git may not write in its own folder",
        "NotRecordedError not recorded: logbook.yaml cannot be written: you may not write there",
    ], done.stderr


def test_files_and_history_need_no_git_to_be_made(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PATH", str(tmp_path))
    files = DiskFiles(str(tmp_path))
    files.create("logbook.yaml", b"a: 1\n")
    assert GitHistory(files).state() == ["git is not installed, or not found on the PATH"]
    with pytest.raises(GitError, match="not installed"):
        initialise(str(tmp_path))
