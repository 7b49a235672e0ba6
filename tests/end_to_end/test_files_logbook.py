"""Opening and making a logbook: found around the current directory, refused with the mend elsewhere."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
from fakes import FakeClock, FakeIds
from scratch_git import by_hand

from rovlog.problems import GitError, UsageError
from rovlog.wiring import new_book, open_book, repeatable_ids


def test_the_logbook_around_the_current_directory_is_opened(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "book" / "dives" / "2026").mkdir(parents=True)
    (tmp_path / "book" / "logbook.yaml").write_text("x\n")
    monkeypatch.chdir(tmp_path / "book" / "dives" / "2026")
    book = open_book()
    assert book.files.root == str(tmp_path / "book")
    assert book.files.read("logbook.yaml") == b"x\n"
    assert (tmp_path / "book" / ".rovlog" / "schemas" / "vehicle-1.json").is_file()
    assert book.writer == "test-laptop"


def test_where_there_is_none_the_mend_says_how_to_make_one(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    for folder in (None, str(tmp_path), str(tmp_path / "missing")):
        with pytest.raises(UsageError, match=r"logbook|no folder") as refusal:
            open_book(folder)
        assert "rovlog init" in refusal.value.mend


def test_a_current_directory_that_is_gone_is_said(tmp_path: Path) -> None:
    code = (
        "import os, sys; from rovlog.wiring import open_book\n"
        "os.mkdir(sys.argv[1]); os.chdir(sys.argv[1]); os.rmdir(sys.argv[1])\n"
        "try: open_book()\nexcept Exception as e: print(type(e).__name__, e.message)\n"
    )
    environment = {**os.environ, "PYTHONPATH": str(Path(__file__).parents[2])}
    done = subprocess.run(
        [sys.executable, "-c", code, tmp_path / "gone"], env=environment, capture_output=True, text=True
    )
    assert done.stdout == "UsageError the current directory is gone\n", done.stderr


@pytest.mark.system("git")
def test_a_new_logbook_is_a_folder_under_git_with_empty_folders_to_write_into(tmp_path: Path) -> None:
    book = new_book(str(tmp_path / "a" / "book"))
    found = sorted(os.listdir(book.files.root))
    assert found == [".git", ".rovlog", "boxes", "parts", "thrusters", "vehicles"]
    assert not [n for f in found[2:] for n in os.listdir(os.path.join(book.files.root, f))]
    assert by_hand(tmp_path / "a" / "book", "status", "--porcelain") == ""
    assert book.history.head() is None
    book.files.create("logbook.yaml", b"x\n")
    with pytest.raises(UsageError, match="is a logbook already"):
        new_book(str(tmp_path / "a" / "book"))


@pytest.mark.system("git")
def test_a_demonstration_has_its_own_repository_clock_ids_and_writer(tmp_path: Path) -> None:
    by_hand(tmp_path, "init", "-q", "-b", "trunk")
    clock, ids = FakeClock(), FakeIds()
    book = new_book(str(tmp_path / "demo"), clock, ids, "north-laptop", own_repository=True)
    assert (book.clock, book.ids, book.writer) == (clock, ids, "north-laptop")
    book.files.create("logbook.yaml", b"x\n")
    assert book.history.commit(["logbook.yaml"], "Start").commit
    assert by_hand(tmp_path, "rev-list", "--all", "--count") == "0\n"
    assert repeatable_ids(lambda n: b"\0" * n).letters(4) == "aaaa"


def test_without_git_nothing_is_made_up(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PATH", str(tmp_path))
    with pytest.raises(GitError, match="git is not installed"):
        new_book(str(tmp_path / "book"))
    (tmp_path / "logbook.yaml").write_text("x\n")
    book = open_book(str(tmp_path))
    book.files.create("dives/2026/a.yaml", b"x\n")
    assert book.files.names("dives") == ["dives/2026/a.yaml"]


def test_a_folder_that_cannot_be_made_is_said(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("x")
    with pytest.raises(UsageError, match="cannot be made"):
        new_book(str(tmp_path / "file" / "book"))


@pytest.mark.parametrize(
    "heavy", ["subprocess", "sqlite3", "yaml", "jsonschema", "numpy", "textual", "rich", "json"]
)
def test_opening_a_logbook_loads_nothing_heavy(heavy: str, tmp_path: Path) -> None:
    (tmp_path / "logbook.yaml").write_text("x\n")
    code = (
        "import sys; from rovlog.wiring import open_book; b = open_book(sys.argv[1])\n"
        "b.files.read('logbook.yaml')\n"
        f"sys.exit({heavy!r} in sys.modules)"
    )
    environment = {**os.environ, "PYTHONPATH": str(Path(__file__).parents[2])}
    assert subprocess.run([sys.executable, "-c", code, tmp_path], env=environment).returncode == 0
