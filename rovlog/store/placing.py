"""New bytes get a name: written apart first, so that a name never stands for half a file."""

from __future__ import annotations

import errno
import os
from collections.abc import Iterator
from contextlib import contextmanager

from rovlog.store import derived
from rovlog.store.durable import sync, write_all
from rovlog.store.folder import Folder

_NO_SECOND_NAMES = (errno.EPERM, errno.ENOTSUP, errno.EOPNOTSUPP, errno.ENOSYS, errno.EMLINK)
"""How a disk refuses to give a file a second name (a memory stick, say)."""


class Spare:
    """A file in `.rovlog/tmp` that waits for its name."""

    __slots__ = ("folder", "name")

    def __init__(self, folder: Folder, name: str) -> None:
        """Take the folder it lies in and its name there."""
        self.folder, self.name = folder, name


@contextmanager
def written_spare(logbook: Folder, data: bytes, mode: int | None = None) -> Iterator[Spare]:
    """A spare file in `.rovlog/tmp` with these bytes safe on the disk; gone afterwards."""
    inner = derived.enter_derived(logbook, "tmp")
    spare = Spare(inner[-1], f"{os.getpid()}-{os.urandom(6).hex()}")
    try:
        fd = spare.folder.open(spare.name, os.O_WRONLY | os.O_CREAT | os.O_EXCL)
        try:
            if mode is not None and hasattr(os, "fchmod"):
                os.fchmod(fd, mode)  # a file shared with a group stays so
            write_all(fd, data)
            sync(fd)
        finally:
            os.close(fd)
        yield spare
    finally:
        _forget(spare.folder, spare.name)
        derived.close(inner)


def place_new(spare: Spare, chain: list[Folder], name: str) -> None:
    """Give the spare file its name; its second one stays until the folders are safe, a sign for `append`."""
    try:
        spare.folder.link(spare.name, chain[-1], name)
    except OSError as error:
        if error.errno not in _NO_SECOND_NAMES:
            raise
        # Reserve the name, then move into its place.
        os.close(chain[-1].open(name, os.O_WRONLY | os.O_CREAT | os.O_EXCL))
        spare.folder.rename(spare.name, chain[-1], name)
    try:
        for folder in reversed(chain):
            folder.sync()
    except OSError:
        _forget(chain[-1], name)
        raise


def place_over(spare: Spare, folder: Folder, name: str) -> None:
    """Put the spare file in place of another, which comes back if the folder cannot be synced."""
    old = f"{spare.name}-old"
    try:
        folder.link(name, spare.folder, old)
    except OSError as error:
        if error.errno not in _NO_SECOND_NAMES:
            raise
        old = ""
    try:
        spare.folder.rename(spare.name, folder, name)
        folder.sync()
    except OSError:
        if old:
            spare.folder.rename(old, folder, name)
        raise
    finally:
        _forget(spare.folder, old)


def finish_names(chain: list[Folder], inode: int) -> None:
    """Do what the maker of this file did not come to: sync the folders, take its second name away."""
    for folder in reversed(chain):
        folder.sync()
    inner = derived.enter_derived(chain[0], "tmp")
    try:
        for spare in inner[-1].names():
            if inner[-1].lstat(spare).st_ino == inode:
                _forget(inner[-1], spare)
    finally:
        derived.close(inner)


def _forget(folder: Folder, name: str) -> None:
    try:
        folder.unlink(name)
    except OSError:
        return  # a spare file left over is disposable
