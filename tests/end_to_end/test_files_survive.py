"""Records survive what happens at the water: a killed program, two programs, a disk full or read-only."""

from __future__ import annotations

import contextlib
import os
import resource
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from rovlog.problems import NotRecordedError
from rovlog.store.files import DiskFiles
from rovlog.store.locks import held_lock

ENVIRONMENT = {**os.environ, "PYTHONPATH": str(Path(__file__).parents[2])}

APPENDER = """
import sys, time
from rovlog.store.files import DiskFiles
files = DiskFiles(sys.argv[1])
print("ready", flush=True)
sys.stdin.readline()
for n in range(int(sys.argv[3])):
    with files.lock("record"):
        before = files.read("dives/a.yaml")
        turn = before.count(b"\\n") + 1
        time.sleep(0.0005)  # time enough for another program to come between
        files.append("dives/a.yaml", f"{turn} {sys.argv[2]} {n} {'x' * (n % 50)}\\n".encode())
    print(n, flush=True)
"""


def child(code: str, *arguments: object) -> subprocess.Popen[str]:
    return subprocess.Popen(
        [sys.executable, "-c", code, *map(str, arguments)],
        env=ENVIRONMENT,
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    )


def line_of(program: subprocess.Popen[str]) -> str:
    assert program.stdout is not None
    return program.stdout.readline()


def let_go(program: subprocess.Popen[str]) -> None:
    assert program.stdin is not None
    program.stdin.write("go\n")
    program.stdin.flush()


def test_two_programs_adding_to_one_record_lose_nothing_and_agree_on_the_order(tmp_path: Path) -> None:
    files = DiskFiles(str(tmp_path))
    files.create("dives/a.yaml", b"")
    programs = [child(APPENDER, tmp_path, who, 200) for who in ("one", "two")]
    assert [line_of(program) for program in programs] == ["ready\n"] * 2
    for program in programs:
        let_go(program)
    for program in programs:
        program.communicate(timeout=60)
        assert program.returncode == 0
    lines = [line.split() for line in files.read("dives/a.yaml").decode().splitlines()]
    assert [int(line[0]) for line in lines] == list(range(1, 401))
    for who in ("one", "two"):
        assert [int(line[2]) for line in lines if line[1] == who] == list(range(200))


@pytest.mark.parametrize("after_ms", [0, 7, 23])
def test_a_program_killed_at_any_moment_loses_no_entry_it_has_acknowledged(
    tmp_path: Path, after_ms: int
) -> None:
    files = DiskFiles(str(tmp_path))
    files.create("dives/a.yaml", b"")
    program = child(APPENDER, tmp_path, "one", 100_000)
    assert line_of(program) == "ready\n"
    let_go(program)
    acknowledged = [line_of(program) for _ in range(20)]
    time.sleep(after_ms / 1000)
    program.kill()
    acknowledged += program.communicate()[0].splitlines(keepends=True)
    assert program.returncode == -signal.SIGKILL
    complete = [line for line in acknowledged if line.endswith("\n")]
    before = files.read("dives/a.yaml")
    kept = [int(line.split()[2]) for line in before.decode().splitlines(keepends=True) if line.endswith("\n")]
    assert kept[: len(complete)] == [int(line) for line in complete]
    with files.lock("record"):  # the dead holder's lock is free
        files.append("dives/a.yaml", b"after\n")
    assert files.read("dives/a.yaml").startswith(before)
    assert files.read("dives/a.yaml").endswith(b"\nafter\n")


CREATOR = """
import sys
from rovlog.store.files import DiskFiles
files = DiskFiles(sys.argv[1])
for n in range(100_000):
    files.create(f"dives/{n}.yaml", b"whole record\\n" * 50)
    print(n, flush=True)
"""


def test_a_program_killed_while_making_records_leaves_only_whole_ones(tmp_path: Path) -> None:
    program = child(CREATOR, tmp_path)
    for _ in range(30):
        line_of(program)
    program.kill()
    last = [line for line in program.communicate()[0].splitlines(keepends=True) if line.endswith("\n")]
    files = DiskFiles(str(tmp_path))
    names = files.names("dives")
    assert len(names) >= 30 + len(last)
    assert {files.read(name) for name in names} == {b"whole record\n" * 50}


def test_who_holds_a_lock_is_said(tmp_path: Path) -> None:
    code = (
        "import sys, time; from rovlog.store.files import DiskFiles\n"
        "with DiskFiles(sys.argv[1]).lock('kelpie'): print('held', flush=True); time.sleep(60)"
    )
    program = child(code, tmp_path)
    try:
        assert line_of(program) == "held\n"
        with (
            pytest.raises(NotRecordedError, match=rf"written by another program \(process {program.pid}\)"),
            held_lock(str(tmp_path), "kelpie", patience_s=0.1),
        ):
            pass
    finally:
        program.kill()
        program.communicate()
    with held_lock(str(tmp_path), "kelpie", patience_s=2):
        pass


@contextlib.contextmanager
def mounted(folder: Path, options: str) -> Iterator[Path]:
    folder.mkdir()
    done = subprocess.run(
        ["mount", "-t", "tmpfs", "-o", options, "tmpfs", folder], capture_output=True, check=False
    )
    if done.returncode != 0:
        pytest.skip("needs the right to mount a disk in memory")
    try:
        yield folder
    finally:
        subprocess.run(["umount", "--lazy", folder], check=True)


@pytest.mark.system("mount")
def test_a_full_disk_records_nothing_and_keeps_everything(tmp_path: Path) -> None:
    with mounted(tmp_path / "stick", "size=128k") as stick:
        files = DiskFiles(str(stick))
        files.create("dives/a.yaml", b"one\n")
        (stick / "holiday-film").write_bytes(b"x" * 4096)
        with contextlib.suppress(OSError), open(stick / "more", "wb") as more:
            while True:
                more.write(b"x" * 4096)
                more.flush()
        kept = b"one\n"
        with contextlib.suppress(NotRecordedError):
            while True:  # up to the end of the file's last page
                files.append("dives/a.yaml", b"an entry that just fits\n")
                kept += b"an entry that just fits\n"
        with pytest.raises(NotRecordedError, match="the disk is full") as refusal:
            files.append("dives/a.yaml", b"an entry that fits no more\n")
        assert "free some space" in refusal.value.mend
        assert files.read("dives/a.yaml") == kept
        with pytest.raises(NotRecordedError, match="the disk is full"):
            files.create("dives/b.yaml", b"two\n" * 10)
        assert files.names("dives") == ["dives/a.yaml"]
        with pytest.raises(NotRecordedError, match="the disk is full"):
            files.replace("dives/a.yaml", b"three\n", kept)
        assert files.read("dives/a.yaml") == kept
        (stick / "holiday-film").unlink()
        (stick / "more").unlink()
        files.append("dives/a.yaml", b"an entry\n")
        files.create("dives/b.yaml", b"two\n")
        assert files.read("dives/a.yaml") == kept + b"an entry\n"


@pytest.mark.system("mount")
def test_a_disk_gone_read_only_is_read_and_says_so_when_written(tmp_path: Path) -> None:
    with mounted(tmp_path / "stick", "size=1m") as stick:
        files = DiskFiles(str(stick))
        files.create("dives/a.yaml", b"one\n")
        subprocess.run(["mount", "-o", "remount,ro", stick], check=True)
        with files.lock("record"):
            assert files.read("dives/a.yaml") == b"one\n"
        for write in (
            lambda: files.append("dives/a.yaml", b"two\n"),
            lambda: files.create("dives/b.yaml", b"two\n"),
            lambda: files.create("work/b.yaml", b"two\n"),
            lambda: files.replace("dives/a.yaml", b"two\n", b"one\n"),
        ):
            with pytest.raises(NotRecordedError, match="the disk is mounted read-only"):
                write()
        assert files.read("dives/a.yaml") == b"one\n"


def test_a_limit_on_the_size_of_files_is_an_error_like_any_other(tmp_path: Path) -> None:
    files = DiskFiles(str(tmp_path))
    files.create("dives/a.yaml", b"x" * 3000 + b"\n")
    code = (
        "import sys; from rovlog.store.files import DiskFiles\n"
        "try: DiskFiles(sys.argv[1]).append('dives/a.yaml', b'y' * 3000)\n"
        "except Exception as e: print(type(e).__name__, e.message)\n"
    )

    def limited() -> None:
        signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
        resource.setrlimit(resource.RLIMIT_FSIZE, (4096, 4096))

    done = subprocess.run(
        [sys.executable, "-c", code, tmp_path],
        env=ENVIRONMENT,
        capture_output=True,
        text=True,
        preexec_fn=limited,
    )
    assert done.stdout.startswith("NotRecordedError not recorded: dives/a.yaml cannot be written"), (
        done.stderr
    )
    assert done.stdout.endswith(": the file would be larger than is allowed here\n")
    assert files.read("dives/a.yaml") == b"x" * 3000 + b"\n"
