"""An acknowledged writing is on the disk, a failed one leaves what stood before: with one fault at a time.

The faults are put under the adapter, at the system's own calls.
"""

from __future__ import annotations

import errno
import os
import stat
from collections.abc import Callable
from pathlib import Path

import pytest

from rovlog.problems import NotRecordedError
from rovlog.store.files import DiskFiles

REAL_WRITE, REAL_FSYNC, REAL_LINK, REAL_RENAME = os.write, os.fsync, os.link, os.rename


class Disk:
    """Counts the system's calls and lets one of them fail."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch) -> None:
        self.synced: list[str] = []
        self.calls = 0
        self.fail_at = -1
        self.error = errno.EIO
        self.most = 1 << 30
        monkeypatch.setattr(os, "write", self._write)
        monkeypatch.setattr(os, "fsync", self._fsync)
        monkeypatch.setattr(os, "link", self._counted(REAL_LINK))
        monkeypatch.setattr(os, "rename", self._counted(REAL_RENAME))

    def _step(self) -> None:
        self.calls += 1
        if self.calls == self.fail_at:
            raise OSError(self.error, os.strerror(self.error))

    def _write(self, fd: int, data: bytes) -> int:
        if not stat.S_ISREG(os.fstat(fd).st_mode):
            return REAL_WRITE(fd, data)
        self._step()
        return REAL_WRITE(fd, data[: self.most])

    def _fsync(self, fd: int) -> None:
        self._step()
        REAL_FSYNC(fd)
        self.synced.append(os.readlink(f"/proc/self/fd/{fd}"))

    def _counted(self, real: Callable[..., None]) -> Callable[..., None]:
        def call(*arguments: object, **named: object) -> None:
            self._step()
            real(*arguments, **named)

        return call


def tried(deed: Callable[[DiskFiles], None], files: DiskFiles) -> NotRecordedError | None:
    try:
        deed(files)
    except NotRecordedError as refusal:
        return refusal
    return None


@pytest.fixture
def disk(monkeypatch: pytest.MonkeyPatch) -> Disk:
    return Disk(monkeypatch)


def test_all_bytes_arrive_although_the_system_takes_a_few_at_a_time(disk: Disk, tmp_path: Path) -> None:
    disk.most = 3
    files = DiskFiles(str(tmp_path))
    files.create("a.yaml", b"0123456789\n")
    files.append("a.yaml", b"abcdefghij\n")
    files.replace("a.yaml", b"one more time\n", b"0123456789\nabcdefghij\n")
    assert files.read("a.yaml") == b"one more time\n"


def test_a_new_file_is_synced_first_and_then_every_folder_on_the_way(disk: Disk, tmp_path: Path) -> None:
    DiskFiles(str(tmp_path)).create("dives/2026/a.yaml", b"x\n")
    assert disk.synced[0].startswith(str(tmp_path / ".rovlog" / "tmp"))
    assert disk.synced[1:] == [str(tmp_path / "dives" / "2026"), str(tmp_path / "dives"), str(tmp_path)]


def test_an_append_syncs_the_file_and_nothing_else(disk: Disk, tmp_path: Path) -> None:
    files = DiskFiles(str(tmp_path))
    files.create("dives/a.yaml", b"x\n")
    disk.synced.clear()
    files.append("dives/a.yaml", b"y\n")
    assert disk.synced == [str(tmp_path / "dives" / "a.yaml")]


def test_a_replaced_file_is_synced_and_then_its_folder(disk: Disk, tmp_path: Path) -> None:
    files = DiskFiles(str(tmp_path))
    files.create("vehicles/a.yaml", b"x\n")
    disk.synced.clear()
    files.replace("vehicles/a.yaml", b"y\n", b"x\n")
    assert len(disk.synced) == 2
    assert disk.synced[1] == str(tmp_path / "vehicles")


def test_a_folder_made_by_a_first_try_that_failed_is_synced_by_the_next(disk: Disk, tmp_path: Path) -> None:
    files = DiskFiles(str(tmp_path))
    disk.error, disk.fail_at = errno.ENOSPC, 2  # the ignore file is written first, then the record
    with pytest.raises(NotRecordedError, match="the disk is full"):
        files.create("dives/2026/a.yaml", b"x\n")
    assert (tmp_path / "dives" / "2026").is_dir()
    assert not disk.synced
    files.create("dives/2026/a.yaml", b"x\n")
    assert {str(tmp_path / "dives"), str(tmp_path)} <= set(disk.synced)


@pytest.mark.parametrize(
    "error", [errno.ENOSPC, errno.EIO, errno.EROFS, errno.EACCES, errno.EDQUOT, errno.EFBIG]
)
def test_whichever_call_fails_what_stood_before_stands_and_a_second_try_succeeds(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, error: int
) -> None:
    before = {"dives/a.yaml": b"one\n", "vehicles/v.yaml": b"old\n"}
    deeds: list[tuple[str, Callable[[DiskFiles], None], dict[str, bytes]]] = [
        ("append", lambda f: f.append("dives/a.yaml", b"two\n"), {"dives/a.yaml": b"one\ntwo\n"}),
        ("create", lambda f: f.create("work/2026/w.yaml", b"new\n"), {"work/2026/w.yaml": b"new\n"}),
        (
            "replace",
            lambda f: f.replace("vehicles/v.yaml", b"new\n", b"old\n"),
            {"vehicles/v.yaml": b"new\n"},
        ),
    ]
    for name, deed, added in deeds:
        fault = 0
        while True:
            fault += 1
            root = tmp_path / f"{name}-{fault}"
            files = DiskFiles(str(root))
            for place, data in before.items():
                (root / place).parent.mkdir(parents=True, exist_ok=True)
                (root / place).write_bytes(data)
            with monkeypatch.context() as patch:
                disk = Disk(patch)
                disk.most, disk.fail_at, disk.error = 2, fault, error
                refusal = tried(deed, files)
                if refusal is None:
                    assert disk.calls < fault, "an error was swallowed"
                    break
                assert refusal.message.startswith("not recorded: ")
                assert refusal.mend
            stands = {n: files.read(n) for n in files.names("")}
            assert stands == before, f"call {fault} of {name}"
            deed(files)
            assert {n: files.read(n) for n in files.names("")} == before | added
        assert fault > 3


def test_a_failed_sync_is_never_tried_again_on_the_same_descriptor(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    files = DiskFiles(str(tmp_path))
    files.create("a.yaml", b"x\n")
    asked: list[int] = []

    def failing(fd: int) -> None:
        asked.append(os.fstat(fd).st_ino)
        raise OSError(errno.EIO, os.strerror(errno.EIO))

    monkeypatch.setattr(os, "fsync", failing)
    with pytest.raises(NotRecordedError, match="the disk reports an error"):
        files.append("a.yaml", b"y\n")
    assert asked == [(tmp_path / "a.yaml").stat().st_ino]
    assert files.read("a.yaml") == b"x\n"


def test_a_tail_that_cannot_be_cut_back_is_set_apart_by_the_next_append(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    files = DiskFiles(str(tmp_path))
    files.create("a.yaml", b"x\n")
    with monkeypatch.context() as patch:
        disk = Disk(patch)
        disk.most, disk.fail_at = 3, 2

        def no_truncate(fd: int, length: int) -> None:
            raise OSError(errno.EIO, "no")

        patch.setattr(os, "ftruncate", no_truncate)
        with pytest.raises(NotRecordedError):
            files.append("a.yaml", b"second\n")
    assert files.read("a.yaml") == b"x\nsec"
    files.append("a.yaml", b"third\n")
    assert files.read("a.yaml") == b"x\nsec\nthird\n"


def test_a_name_whose_maker_died_before_it_was_safe_is_made_safe_by_the_next_append(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    files = DiskFiles(str(tmp_path))
    files.create("dives/a.yaml", b"x\n")
    os.link(tmp_path / "dives" / "a.yaml", tmp_path / ".rovlog" / "tmp" / "left-over")
    disk = Disk(monkeypatch)
    files.append("dives/a.yaml", b"y\n")
    assert {str(tmp_path), str(tmp_path / "dives"), str(tmp_path / "dives" / "a.yaml")} == set(disk.synced)
    disk.synced.clear()
    files.append("dives/a.yaml", b"z\n")
    assert disk.synced == [str(tmp_path / "dives" / "a.yaml")]


@pytest.mark.parametrize("held", [True, False])
def test_a_disk_without_second_names_takes_new_files_all_the_same(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, held: bool
) -> None:
    def no_link(*arguments: object, **named: object) -> None:
        raise OSError(errno.EPERM, os.strerror(errno.EPERM))

    monkeypatch.setattr(os, "link", no_link)
    files = DiskFiles(str(tmp_path), held)
    files.create("dives/a.yaml", b"x\n")
    assert files.read("dives/a.yaml") == b"x\n"
    with pytest.raises(NotRecordedError, match="already"):
        files.create("dives/a.yaml", b"y\n")
    assert files.read("dives/a.yaml") == b"x\n"
