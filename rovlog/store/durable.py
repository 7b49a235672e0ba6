"""Bytes that are on the disk when the call returns, or an error."""

from __future__ import annotations

import errno
import os
import sys

if sys.platform == "darwin":
    import fcntl

MAX_BYTES = 1 << 20
"""The greatest size of a record, bytes (project default): larger ones are neither read nor written."""


def write_all(fd: int, data: bytes) -> None:
    """Write every byte: the system may take a part only and say so by a count."""
    rest = memoryview(data)
    while rest:
        taken = os.write(fd, rest)
        if taken <= 0:
            raise OSError(errno.EIO, os.strerror(errno.EIO))
        rest = rest[taken:]


def sync(fd: int) -> None:
    """Bring a file to the disk. Never call it again on a descriptor it failed on.

    After a failure the system may hold the lost pages for written, so that a second call would
    succeed without having written them.
    """
    if sys.platform == "darwin":
        try:
            fcntl.fcntl(fd, fcntl.F_FULLFSYNC)  # fsync alone stops at the drive's own memory there
            return
        except OSError as error:
            if error.errno not in (errno.ENOTSUP, errno.EINVAL, errno.ENOTTY):
                raise
    os.fsync(fd)


def read_all(fd: int, limit: int = MAX_BYTES) -> bytes | None:
    """All bytes from where the descriptor stands, or None if there are more than `limit`."""
    pieces: list[bytes] = []
    left = limit + 1
    while left > 0 and (piece := os.read(fd, left)):
        pieces.append(piece)
        left -= len(piece)
    return None if left <= 0 else b"".join(pieces)


def append_line(fd: int, data: bytes) -> None:
    """Add a whole line behind what is there, or cut the file back to what it was.

    Raises:
        OSError: the disk did not take it.
    """
    length = os.lseek(fd, 0, os.SEEK_END)
    if length:
        os.lseek(fd, length - 1, os.SEEK_SET)
        if os.read(fd, 1) != b"\n":
            data = b"\n" + data  # what a crash left of a line is set apart, not continued
    try:
        write_all(fd, data)
        sync(fd)
    except OSError:
        _cut_back(fd, length, len(data))
        raise


def _cut_back(fd: int, length: int, added: int) -> None:
    """Undo a failed append, unless someone else has added more behind it."""
    try:
        if os.fstat(fd).st_size <= length + added:
            os.ftruncate(fd, length)
    except OSError:
        return  # a torn tail is left; the next append sets it apart
