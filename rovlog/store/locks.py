"""Exclusive locks between processes; the system frees the lock of a process that dies."""

from __future__ import annotations

import errno
import os
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager

from rovlog.problems import NotRecordedError
from rovlog.store import derived
from rovlog.store.durable import read_all
from rovlog.store.folder import HAS_HANDLES, folders
from rovlog.store.names import checked_parts
from rovlog.store.refusals import not_written

PATIENCE_S = 5.0
"""How long to wait for another process, seconds (project default)."""

_PAUSE_S = 0.02
_NO_LOCKS_HERE = (errno.ENOLCK, errno.ENOSYS, errno.ENOTSUP, errno.EOPNOTSUPP)


@contextmanager
def held_lock(
    root: str, name: str, patience_s: float = PATIENCE_S, held: bool = HAS_HANDLES
) -> Iterator[None]:
    """Hold the lock of this name for the length of the `with` block.

    On a logbook that cannot be written there is nothing to guard, so the block runs without.

    Raises:
        NotRecordedError: another process did not let go in time, or the lock cannot be made
            although the logbook can be written.
    """
    file_name = "+".join(checked_parts(name))
    try:
        fd = _open(root, file_name, held)
    except OSError as error:
        if error.errno == errno.EROFS or not os.access(root, os.W_OK):
            yield
            return
        raise not_written(f".rovlog/locks/{file_name}", error) from error
    try:
        _wait_for(fd, name, patience_s)
        yield
    finally:
        os.close(fd)  # frees the lock as well


def _open(root: str, file_name: str, held: bool) -> int:
    try:
        with folders(root, (derived.NAME, "locks"), held=held) as chain:
            return chain[-1].open(file_name, os.O_RDWR | os.O_CREAT)
    except (FileNotFoundError, NotADirectoryError):
        pass  # not there yet, or something is in the way: the careful way says which
    with folders(root, (), held=held) as chain:
        inner = derived.enter_derived(chain[0], "locks")
        try:
            return inner[-1].open(file_name, os.O_RDWR | os.O_CREAT)
        finally:
            derived.close(inner)


def _wait_for(fd: int, name: str, patience_s: float) -> None:
    deadline = time.monotonic() + patience_s
    while not _take(fd):
        if time.monotonic() >= deadline:
            raise NotRecordedError(
                f"not recorded: {name} is being written by {_holder(fd)}",
                "wait for it, or end that program, then try again",
            )
        time.sleep(_PAUSE_S)
    _sign(fd)


def _sign(fd: int) -> None:
    """Write who holds the lock, for the words of whoever waits; on a full disk nobody is named."""
    signed = f"process {os.getpid():<20}\n".encode()  # always as long, so that nothing need be cut
    try:
        os.lseek(fd, 0, os.SEEK_SET)
        if os.read(fd, len(signed)) != signed:
            os.lseek(fd, 0, os.SEEK_SET)
            os.write(fd, signed)
    except OSError:
        return


def _holder(fd: int) -> str:
    os.lseek(fd, 0, os.SEEK_SET)
    signed = (read_all(fd, 200) or b"").decode("ascii", "replace").strip()
    if signed == f"process {os.getpid()}":
        return "another part of this same program"
    return f"another program ({signed})" if signed else "another program"


if sys.platform == "win32":
    import msvcrt

    def _take(fd: int) -> bool:
        os.lseek(fd, 1 << 30, os.SEEK_SET)  # a byte far outside, so that the holder's name stays readable
        try:
            msvcrt.locking(fd, msvcrt.LK_NBLCK, 1)
        except OSError:
            return False
        return True

else:
    import fcntl

    def _take(fd: int) -> bool:
        try:
            fcntl.flock(fd, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError as error:
            if error.errno in (errno.EWOULDBLOCK, errno.EACCES):
                return False
            if error.errno in _NO_LOCKS_HERE:
                return True  # a file system without locks: recording matters more than waiting
            raise NotRecordedError(
                f"not recorded: the logbook cannot be locked ({os.strerror(error.errno or 0)})",
                "copy the logbook's folder to a local disk and go on there",
            ) from error
        return True
