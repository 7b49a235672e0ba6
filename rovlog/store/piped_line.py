"""Standard input as a line that a box speaks on: read as it comes, never more than is looked at."""

from __future__ import annotations

import os
import select
import sys
import time

from rovlog.usecases.box_port import BoxLineError

MOST_BYTES = 4096


class PipedLine:
    """The port `BoxLine` on a descriptor, standard input by default. It ends where the pipe ends."""

    def __init__(self, fd: int = 0) -> None:
        """Take the descriptor to read."""
        self._fd, self._opened_s = fd, time.monotonic()

    def read(self, patience_s: float) -> bytes:
        """What has arrived, at most 4096 bytes; BoxLineError at the end of the pipe."""
        try:
            # On Windows a pipe cannot be waited for, so the read itself waits there.
            if sys.platform != "win32" and not select.select([self._fd], [], [], patience_s)[0]:
                return b""
            data = os.read(self._fd, MOST_BYTES)
        except (OSError, ValueError) as error:
            raise BoxLineError("standard input cannot be read", "pipe the bytes into it") from error
        if not data:
            raise BoxLineError("standard input ended before a whole frame", "pipe a whole frame into it")
        return data

    def write(self, data: bytes) -> None:
        """Nothing can be sent into a pipe that is read."""
        raise BoxLineError("nothing can be set through standard input", "name a port with --port")

    def open_s(self) -> float:
        """Seconds since this line was taken."""
        return time.monotonic() - self._opened_s
