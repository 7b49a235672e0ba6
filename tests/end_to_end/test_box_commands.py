"""`rovlog box …` as a person runs it, against a stand-in box that runs as a process of its own."""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

if sys.platform == "win32":
    pytest.skip("no pseudo-terminals on this system", allow_module_level=True)

from boxes import GOOD, said

ROVLOG = [sys.executable, "-m", "rovlog"]


@pytest.fixture
def logbook(tmp_path: Path) -> Path:
    """A logbook with the vehicle approved and a dive begun."""
    root = tmp_path / "book"
    shutil.copytree(GOOD, root, ignore=shutil.ignore_patterns("dives", "work", "approvals"))
    subprocess.run(["git", "init", "-q", "-b", "main"], cwd=root, check=True)
    ok(root, "vehicle", "approve", "shearwater", "--by", "orla", "--reason", "test",
       "--accept", "above-continuous=known")  # fmt: skip
    ok(root, "dive", "start", "shearwater", "--by", "tomas", "--site", "mill", "--water", "fresh:12",
       "--crew", "pilot=tomas")  # fmt: skip
    return root


def call(root: Path, *words: str, typed: bytes = b"") -> subprocess.CompletedProcess[bytes]:
    return subprocess.run([*ROVLOG, *words], cwd=root, input=typed, capture_output=True, check=False)


def ok(root: Path, *words: str, typed: bytes = b"") -> str:
    done = call(root, *words, typed=typed)
    assert done.returncode == 0, done.stderr.decode()
    return done.stdout.decode()


def refused(root: Path, *words: str, typed: bytes = b"") -> str:
    done = call(root, *words, typed=typed)
    assert done.returncode == 2, (done.returncode, done.stdout, done.stderr)
    assert b"Traceback" not in done.stderr
    return done.stderr.decode()


class Pretend:
    """A stand-in box as a process; its knobs are typed."""

    def __init__(self, root: Path, *words: str) -> None:
        self.process = subprocess.Popen(
            [*ROVLOG, "box", "pretend", "shearwater", "--period-s", "0.1", *words],
            cwd=root, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL,
        )  # fmt: skip
        assert self.process.stdout is not None
        self.device = self.process.stdout.readline().decode().strip()

    def knob(self, line: str) -> None:
        assert self.process.stdin is not None
        self.process.stdin.write(line.encode() + b"\n")
        self.process.stdin.flush()
        time.sleep(0.2)


@contextmanager
def pretending(root: Path, *words: str) -> Iterator[Pretend]:
    box = Pretend(root, *words)
    try:
        yield box
    finally:
        box.process.terminate()
        box.process.communicate()


def test_the_box_is_read_recorded_and_compared(logbook: Path):
    with pretending(logbook) as box:
        data = json.loads(
            ok(logbook, "box", "read", "--port", box.device, "shearwater", "--by", "tomas", "--yes", "--json")
        )
        assert data["deviations"] == []
        assert data["in_use"] == {"steering_scheme": 4, "thruster_map": 2, "trim": {"heave": 0.08}}
        assert (logbook / data["evidence"]).read_bytes().startswith(b"$PRVLBOX,")
        box.knob("turn steering_scheme 7")
        done = call(logbook, "box", "read", "--port", box.device, "shearwater", "--by", "tomas", "--yes")
        assert done.returncode == 1
        assert b"LOOK  steering scheme 7 is not in the code tables of firmware 2.10" in done.stdout
        assert done.stderr.count(b"CAUTION") == 2
    ok(logbook, "validate")
    # evidence is an old frame by now: it can be looked at, and not be recorded again
    assert "not recorded" in ok(logbook, "box", "read", "--file", data["evidence"])
    assert "old" in refused(logbook, "box", "read", "--file", data["evidence"], "shearwater", "--by", "tomas")


def test_the_port_is_not_opened_without_a_yes(logbook: Path):
    with pretending(logbook) as box:
        words = ("box", "read", "--port", box.device, "shearwater", "--by", "tomas")
        for typed in (b"", b"no\n", b"\n", b"\xff\xfe\n", b"y" * 5000):
            assert "the port was not opened" in refused(logbook, *words, typed=typed)
        ok(logbook, *words, typed=b"yes\n")


def test_the_port_is_not_opened_while_she_is_in_the_water(logbook: Path):
    ok(logbook, "dive", "mark", "shearwater", "in-water", "--by", "tomas")
    with pretending(logbook) as box:
        for record in (("shearwater", "--by", "tomas"), ()):
            said_so = refused(logbook, "box", "read", "--port", box.device, "--yes", *record)
            assert "is marked in the water, and opening the port may restart the box" in said_so
        assert "nothing is set in the water" in refused(
            logbook, "box", "restore", "--port", box.device, "shearwater", "--by", "tomas", "--yes"
        )


def test_standard_input_is_read_to_the_first_whole_frame(logbook: Path):
    text = ok(logbook, "box", "read", "-", "shearwater", "--by", "tomas", typed=said()[40:] + said())
    assert "slip-box, firmware 2.10: start 12" in text
    assert "ended before a whole frame" in refused(logbook, "box", "read", "-", typed=said()[:-5])


def test_a_setup_is_put_back_by_hand_and_proven(logbook: Path):
    with pretending(logbook) as box:
        box.knob("turn trim_yaw 0.2")
        process = subprocess.Popen(
            [*ROVLOG, "box", "restore", "--port", box.device, "shearwater", "--by", "tomas", "--yes"],
            cwd=logbook, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE,
        )  # fmt: skip
        assert process.stdin is not None
        assert process.stderr is not None
        answer_after(process, b"Is it set?", lambda: box.knob("turn trim_yaw 0"))
        answer_after(process, b"Is it on again?", lambda: box.knob("off-on"))
        out, _ = process.communicate(timeout=60)
        assert process.returncode == 0
        assert b"proven by a readback after a fresh start" in b" ".join(out.split())
    data = json.loads(ok(logbook, "drift", "shearwater", "--json"))
    assert data["deviations"] == []


def test_a_restore_that_is_broken_off_leaves_the_box_unknown_until_it_is_read(logbook: Path):
    with pretending(logbook) as box:
        box.knob("turn trim_yaw 0.2")
        done = call(logbook, "box", "restore", "--port", box.device, "shearwater", "--by", "tomas", "--yes",
                    typed=b"no\n")  # fmt: skip
        assert done.returncode == 1
        drift = call(logbook, "drift", "shearwater")
        assert drift.returncode == 1
        assert b"STOPS THE DIVE  what the box holds is not known any more" in drift.stdout
        assert b"stale" in drift.stdout
        box.knob("turn trim_yaw 0")
        ok(logbook, "box", "read", "--port", box.device, "shearwater", "--by", "tomas", "--yes")


def answer_after(process: subprocess.Popen[bytes], question: bytes, act) -> None:  # type: ignore[no-untyped-def]
    """Wait for a question on standard error, do something at the box, and answer yes."""
    assert process.stderr is not None
    assert process.stdin is not None
    heard = b""
    while question not in heard:
        piece = process.stderr.read(1)
        assert piece, heard
        heard += piece
    act()
    process.stdin.write(b"yes\n")
    process.stdin.flush()


def test_wrong_use_is_said_with_a_mend(logbook: Path):
    assert "one of --port DEV, --file F and -" in refused(
        logbook, "box", "read", "shearwater", "--by", "tomas"
    )
    assert "--by" in refused(logbook, "box", "read", "-", "shearwater", typed=said())
    assert "there is no port" in refused(logbook, "box", "read", "--port", "/dev/none", "--yes")
    assert "--baud is 5" in refused(logbook, "box", "read", "--port", "/dev/none", "--baud", "5", "--yes")
    assert "cannot misbehave by 'sing'" in refused(
        logbook, "box", "pretend", "shearwater", "--misbehave", "sing"
    )
    assert "did you mean slip-box" in refused(logbook, "box", "codes", "slop-box")


def test_firmware_writers_are_told_what_to_say_and_where_the_c_files_are(logbook: Path):
    data = json.loads(ok(logbook, "box", "emitter", "--json"))
    assert (Path(data["folder"]) / "rovlog_readback.c").is_file()
    assert "E3D021CA" in data["text"]


def test_codes_and_ports_are_listed(logbook: Path):
    assert "thruster map 7" in ok(logbook, "box", "codes", "slip-box", "--firmware", "1.9")
    assert json.loads(ok(logbook, "box", "codes", "slip-box", "--json"))["firmwares"] == ["2.10", "1.9"]
    assert "ports" in json.loads(ok(logbook, "box", "ports", "--json"))
