"""Reading files out of commits: one running git answers many questions."""

from __future__ import annotations

import os
import sys
import threading
import weakref
from typing import TYPE_CHECKING

from rovlog.problems import GitError
from rovlog.store.gitprogram import NOT_INSTALLED, TIME_LIMIT_S, GitProgram
from rovlog.store.gitwords import explained

if TYPE_CHECKING:
    import subprocess


class Blobs:
    """`git cat-file --batch`, started at the first question and ended with this object."""

    def __init__(self, git: GitProgram) -> None:
        """Take the program; nothing is started yet."""
        self._git = git
        self._guard = threading.Lock()
        self._process: subprocess.Popen[bytes] | None = None
        self._end: weakref.finalize[[subprocess.Popen[bytes]], Blobs] | None = None
        self._held = b""

    def read(self, question: str) -> tuple[str, bytes] | None:
        """Type ("blob", "tree", "commit") and bytes of an object named as git names it; None if missing.

        Raises:
            GitError: git is missing, did not answer in time, or the object is damaged.
        """
        with self._guard:
            for _ in range(2):  # it may have been killed between two questions
                try:
                    return self._ask(question)
                except (OSError, EOFError):
                    self._stop()
        # It dies over this object: ask once more in a process of its own, for the reason.
        answer = self._git.run(
            "cat-file", "--batch", given=question.encode("utf-8", "surrogateescape") + b"\n"
        )
        raise explained(answer.err, self._git.folder)

    def _ask(self, question: str) -> tuple[str, bytes] | None:
        process = self._process or self._start()
        assert process.stdin is not None
        process.stdin.write(question.encode("utf-8", "surrogateescape") + b"\n")
        head = self._line().decode("utf-8", "replace")
        words = head.rsplit(" ", 2)
        if len(words) != 3 or not words[2].isdigit():
            return None  # "… missing", "… ambiguous"
        data = self._bytes(int(words[2]) + 1)
        return words[1], data[:-1]

    def _start(self) -> subprocess.Popen[bytes]:
        import subprocess

        command, environment = self._git.command(("cat-file", "--batch"))
        try:
            process = subprocess.Popen(
                command,
                cwd=self._git.folder,
                env=environment,
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
                stderr=subprocess.DEVNULL,
                bufsize=0,
            )
        except FileNotFoundError as error:
            raise NOT_INSTALLED from error
        self._held = b""
        self._process = process
        self._end = weakref.finalize(self, _end, process)
        return process

    def _stop(self) -> None:
        if self._end is not None:
            self._end()
        self._process = None

    def _line(self) -> bytes:
        while b"\n" not in self._held:
            self._fill()
        line, _, self._held = self._held.partition(b"\n")
        return line

    def _bytes(self, count: int) -> bytes:
        while len(self._held) < count:
            self._fill()
        data, self._held = self._held[:count], self._held[count:]
        return data

    def _fill(self) -> None:
        assert self._process is not None
        assert self._process.stdout is not None
        fd = self._process.stdout.fileno()
        if not _is_ready(fd):
            self._stop()
            raise GitError(
                f"git did not answer within {TIME_LIMIT_S:.0f} seconds (git cat-file)",
                f"try it by hand: git -C {self._git.folder} status",
            )
        piece = os.read(fd, 1 << 16)
        if not piece:
            raise EOFError
        self._held += piece


def _end(process: subprocess.Popen[bytes]) -> None:
    with process:
        process.terminate()  # it only reads: nothing is left half done


if sys.platform == "win32":

    def _is_ready(fd: int) -> bool:
        return True  # there a pipe cannot be waited for

else:
    import select

    def _is_ready(fd: int) -> bool:
        return bool(select.select([fd], [], [], TIME_LIMIT_S)[0])
