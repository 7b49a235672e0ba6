"""The stamp of git's history changes with the commits that HEAD reaches, and says so where it cannot tell."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from scratch_git import Scratch, by_hand, fresh

from rovlog.store.files import DiskFiles
from rovlog.store.gitstamp import history_stamp
from rovlog.store.history import GitHistory


@pytest.fixture
def book(tmp_path: Path) -> Scratch:
    scratch = fresh(tmp_path / "book")
    scratch.git("config", "user.name", "Ada Test")
    scratch.git("config", "user.email", "ada@example.invalid")
    scratch.commit(logbook__yaml="title: One\n")
    scratch.commit(logbook__yaml="title: Two\n")
    return scratch


def stamp(book: Scratch) -> str:
    found = history_stamp(str(book.root))
    assert found
    return found


def test_a_stamp_stays_while_no_commit_comes(book: Scratch) -> None:
    before = stamp(book)
    book.write("logbook.yaml", "title: Three\n")
    book.git("add", "logbook.yaml")
    book.git("branch", "aside")
    assert stamp(book) == before == book.history.stamp()


@pytest.mark.parametrize(
    "change",
    [
        lambda book: book.commit(logbook__yaml="title: Three\n"),
        lambda book: book.git("commit", "-q", "--amend", "-m", "Other words"),
        lambda book: book.git("reset", "-q", "--hard", "HEAD~1"),
        lambda book: book.git("checkout", "-q", "HEAD~1"),
        lambda book: book.git("checkout", "-q", "--orphan", "new"),
    ],
)
def test_a_stamp_changes_with_what_head_reaches(book: Scratch, change: Callable[[Scratch], object]) -> None:
    before = stamp(book)
    change(book)
    assert stamp(book) != before


def test_a_commit_behind_a_packed_branch_is_seen(book: Scratch) -> None:
    book.git("pack-refs", "--all")
    before = stamp(book)
    book.commit(logbook__yaml="title: Three\n")
    unpacked = stamp(book)
    book.git("pack-refs", "--all")
    assert len({before, unpacked, stamp(book)}) == 3


def test_a_commit_in_a_worktree_of_its_own_is_seen(book: Scratch, tmp_path: Path) -> None:
    book.git("worktree", "add", "-q", str(tmp_path / "beside"), "-b", "beside")
    beside = str(tmp_path / "beside")
    before, here = history_stamp(beside), stamp(book)
    by_hand(tmp_path / "beside", "commit", "-q", "--allow-empty", "-m", "Look")
    assert before
    assert history_stamp(beside) not in (None, before)
    assert stamp(book) == here


def test_a_logbook_below_the_top_has_the_stamp_of_its_repository(book: Scratch) -> None:
    (book.root / "inner").mkdir()
    assert GitHistory(DiskFiles(str(book.root / "inner"))).stamp() == stamp(book)


def test_a_folder_without_git_stays_as_it_is(tmp_path: Path) -> None:
    assert history_stamp(str(tmp_path)) == history_stamp(str(tmp_path)) == "no repository"


@pytest.mark.parametrize("text", ["", "nonsense\n"])
def test_a_git_file_that_points_nowhere_cannot_be_told(tmp_path: Path, text: str) -> None:
    (tmp_path / ".git").write_text(text)
    assert history_stamp(str(tmp_path)) is None


def test_a_branch_that_is_another_name_of_a_branch_cannot_be_told(book: Scratch) -> None:
    book.git("symbolic-ref", "refs/heads/alias", "refs/heads/main")
    book.git("symbolic-ref", "HEAD", "refs/heads/alias")
    assert history_stamp(str(book.root)) is None
