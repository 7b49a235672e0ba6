"""Locks between processes: one holder at a time, and none at all where nothing can be written."""

from __future__ import annotations

import errno
import os
import threading
import time
from pathlib import Path

import pytest

from rovlog.problems import NotRecordedError
from rovlog.store import locks
from rovlog.store.files import DiskFiles
from rovlog.store.locks import held_lock


def test_a_second_taker_waits_and_then_is_told_who_holds_it(tmp_path: Path) -> None:
    with held_lock(str(tmp_path), "kelpie"):
        before = time.monotonic()
        with (
            pytest.raises(
                NotRecordedError, match="kelpie is being written by another part of this same"
            ) as refusal,
            held_lock(str(tmp_path), "kelpie", patience_s=0.1),
        ):
            pass
        assert time.monotonic() - before >= 0.1
        assert refusal.value.mend


def test_a_waiting_taker_gets_it_once_it_is_free(tmp_path: Path) -> None:
    order: list[str] = []

    def second() -> None:
        with held_lock(str(tmp_path), "kelpie"):
            order.append("second")

    with held_lock(str(tmp_path), "kelpie"):
        waiting = threading.Thread(target=second)
        waiting.start()
        time.sleep(0.1)
        order.append("first")
    waiting.join()
    assert order == ["first", "second"]


def test_locks_of_different_names_do_not_meet(tmp_path: Path) -> None:
    files = DiskFiles(str(tmp_path))
    with files.lock("dives/2026/a"), files.lock("dives/2026/b"):
        assert len(os.listdir(tmp_path / ".rovlog" / "locks")) == 2


def test_an_error_inside_frees_the_lock(tmp_path: Path) -> None:
    with pytest.raises(KeyError), held_lock(str(tmp_path), "kelpie"):
        raise KeyError
    with held_lock(str(tmp_path), "kelpie", patience_s=0):
        pass


def test_a_disk_mounted_read_only_needs_no_lock(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*arguments: object) -> int:
        raise OSError(errno.EROFS, os.strerror(errno.EROFS))

    monkeypatch.setattr(locks, "_open", refuse)
    with held_lock(str(tmp_path), "kelpie"):
        pass


def test_a_full_disk_is_said_before_anything_is_done_without_the_lock(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(*arguments: object) -> int:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(locks, "_open", refuse)
    with pytest.raises(NotRecordedError, match="the disk is full"), held_lock(str(tmp_path), "kelpie"):
        pytest.fail("the block must not run")


def test_a_file_system_without_locks_still_records(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    import fcntl

    def refuse(fd: int, operation: int) -> None:
        raise OSError(errno.ENOLCK, os.strerror(errno.ENOLCK))

    monkeypatch.setattr(fcntl, "flock", refuse)
    with held_lock(str(tmp_path), "kelpie"):
        pass
