"""A program on a pseudo-terminal with a screen emulator, for tests that read what a person would see."""

from __future__ import annotations

import os
import signal
import sys
import time
from collections.abc import Callable, Sequence
from pathlib import Path

import pexpect
import pyte

F2 = "\x1bOQ"
F8 = "\x1b[19~"
ENTER, ESCAPE, DOWN, BACKSPACE = "\r", "\x1b", "\x1b[B", "\x7f"


class Terminal:
    """One run of a program in a terminal of a given size."""

    def __init__(
        self, arguments: Sequence[str], size: tuple[int, int] = (80, 24), env: dict[str, str] | None = None
    ) -> None:
        surroundings = {**os.environ, "TERM": "xterm-256color", "COLORTERM": "truecolor", **(env or {})}
        width, height = size
        self.child = pexpect.spawn(
            sys.executable, list(arguments), dimensions=(height, width), env=surroundings, timeout=60
        )
        self.child.delaybeforesend = None
        self.screen = pyte.Screen(width, height)
        self.stream = pyte.ByteStream(self.screen)
        self.raw = b""
        self.came_s = 0.0
        """When the last bytes came, by `time.perf_counter`."""

    @classmethod
    def rovlog(
        cls, folder: Path, size: tuple[int, int] = (80, 24), env: dict[str, str] | None = None
    ) -> Terminal:
        """The app on a logbook."""
        return cls(["-m", "rovlog", "--logbook", str(folder)], size, env)

    def read(self, wait_s: float = 0.02) -> bool:
        """Take what the program wrote; False where it wrote nothing."""
        try:
            data = self.child.read_nonblocking(65536, wait_s)
        except pexpect.TIMEOUT:
            return False
        except pexpect.EOF:
            return False
        self.raw += data
        self.stream.feed(data)
        return True

    def read_burst(self, wait_s: float) -> None:
        """Take what the program writes in one go, and only then read it, so that it never waits for us."""
        pieces: list[bytes] = []
        try:
            pieces.append(self.child.read_nonblocking(65536, wait_s))
            self.came_s = time.perf_counter()
            while True:
                pieces.append(self.child.read_nonblocking(65536, 0.002))
                self.came_s = time.perf_counter()
        except (pexpect.TIMEOUT, pexpect.EOF):
            data = b"".join(pieces)
        self.raw += data
        self.stream.feed(data)

    @property
    def rows(self) -> list[str]:
        """The screen, row by row."""
        return [row.rstrip() for row in self.screen.display]

    @property
    def text(self) -> str:
        """The screen as text."""
        return "\n".join(self.rows)

    def wait(self, until: Callable[[], object], what: str, timeout_s: float = 60.0) -> None:
        """Read until something is so; AssertionError with the screen where it never is."""
        ends = time.monotonic() + timeout_s
        while not until():
            self.read(0.05)
            if time.monotonic() > ends:
                raise AssertionError(f"waited in vain for {what}:\n{self.text}")
        self.settle()

    def wait_for(self, words: str, timeout_s: float = 60.0) -> None:
        """Read until these words stand on the screen."""
        self.wait(lambda: words in self.text, repr(words), timeout_s)

    def settle(self, quiet_s: float = 0.06) -> None:
        """Read until nothing more comes for a moment."""
        ends = time.monotonic() + 5.0
        while self.read(quiet_s) and time.monotonic() < ends:
            pass

    def send(self, *keys: str, gap_s: float = 0.0) -> None:
        """Send keys, a gap after each."""
        for name in keys:
            self.child.send(name)
            if gap_s:
                self.pause(gap_s)

    def pause(self, seconds: float) -> None:
        """Let time pass, reading meanwhile."""
        ends = time.monotonic() + seconds
        while time.monotonic() < ends:
            self.read(0.02)

    def kill(self) -> None:
        """End the program as a power cut would."""
        os.kill(self.child.pid, signal.SIGKILL)
        self.child.wait()

    def close(self) -> None:
        """Leave the program, whatever it does."""
        if self.child.isalive():
            self.child.close(force=True)
