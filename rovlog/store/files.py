"""The logbook's tree on a disk: safe to read, and durable when written."""

from __future__ import annotations

import errno
import os
import stat
from contextlib import AbstractContextManager

from rovlog.problems import NotRecordedError, UsageError
from rovlog.store.durable import MAX_BYTES, append_line, read_all
from rovlog.store.folder import HAS_HANDLES, Folder, folders
from rovlog.store.locks import held_lock
from rovlog.store.names import checked_parts
from rovlog.store.placing import finish_names, place_new, place_over, written_spare
from rovlog.store.refusals import not_read, not_written


class DiskFiles:
    """The port `Files` on a real folder."""

    def __init__(self, root: str, held: bool = HAS_HANDLES) -> None:
        """Take the logbook's folder. `held`: by open handles; else by paths, looked at before use."""
        self._root = os.path.realpath(root)
        self._held = held

    @property
    def root(self) -> str:
        """The logbook's folder, as an absolute path, for messages."""
        return self._root

    def read(self, name: str) -> bytes:
        """The whole file; UsageError where it is missing, too large or not a plain file."""
        parts = checked_parts(name)
        try:
            with self._folders(parts[:-1]) as chain:
                data = _read(chain[-1], parts[-1])
        except OSError as error:
            raise not_read(name, error) from error
        if data is None:
            raise UsageError(
                f"{name} cannot be read: it is larger than 1 MiB",
                "a record is never that large: look at what has been put into it",
            )
        return data

    def exists(self, name: str) -> bool:
        """True for a regular file that is reached without following a link."""
        parts = checked_parts(name)
        try:
            with self._folders(parts[:-1]) as chain:
                return stat.S_ISREG(chain[-1].lstat(parts[-1]).st_mode)
        except OSError:
            return False

    def names(self, folder: str) -> list[str]:
        """Names of all *.yaml below the folder, sorted; links, pipes and folders so named among them.

        Reading such a one says what is wrong with it. Folders that are links are not entered.
        """
        parts = checked_parts(folder) if folder not in ("", ".") else ()
        path = self._root
        for part in parts:
            path = os.path.join(path, part)
            if os.path.islink(path) or not os.path.isdir(path):
                return []
        found: list[str] = []
        try:
            _collect(path, "".join(f"{p}/" for p in parts), found)
        except OSError as error:
            raise not_read(folder or self._root, error) from error
        return sorted(found)

    def create(self, name: str, data: bytes) -> None:
        """Write a new file; when this returns, it and every folder on the way are on the disk."""
        parts = checked_parts(name)
        _fits(name, len(data))
        try:
            # Every folder is synced, not only one just made: an earlier try may have made it and failed.
            with self._folders(parts[:-1], make=True) as chain:
                _refuse_twin(chain[-1], parts[-1])
                with written_spare(chain[0], data) as spare:
                    place_new(spare, chain, parts[-1])
        except OSError as error:
            raise not_written(name, error) from error

    def replace(self, name: str, data: bytes, expected: bytes | None) -> None:
        """Put new bytes in place of `expected` (None: of no file); the old stand until the new are safe."""
        if expected is None:
            self.create(name, data)
            return
        parts = checked_parts(name)
        _fits(name, len(data))
        try:
            with self._folders(parts[:-1]) as chain:
                mode = stat.S_IMODE(chain[-1].lstat(parts[-1]).st_mode)
                with written_spare(chain[0], data, mode) as spare:
                    if _read(chain[-1], parts[-1]) != expected:
                        raise NotRecordedError(
                            f"not recorded: {name} was changed by someone else in the meantime",
                            "look at the file as it is now, then make your change again",
                        )
                    place_over(spare, chain[-1], parts[-1])
        except OSError as error:
            raise not_written(name, error) from error

    def append(self, name: str, data: bytes) -> None:
        """Add to the end; on a failure the file is cut back to what it was."""
        parts = checked_parts(name)
        try:
            with self._folders(parts[:-1]) as chain:
                fd = chain[-1].open(parts[-1], os.O_RDWR | os.O_APPEND)
                try:
                    found = os.fstat(fd)
                    _fits(name, found.st_size + 1 + len(data))
                    if found.st_nlink > 1:
                        # Whoever made the file died before its name was safe (see place_new).
                        finish_names(chain, found.st_ino)
                    append_line(fd, data)
                finally:
                    os.close(fd)
        except OSError as error:
            raise not_written(name, error) from error

    def lock(self, name: str) -> AbstractContextManager[None]:
        """An exclusive lock between processes; waits some seconds, then says who holds it."""
        return held_lock(self._root, name, held=self._held)

    def _folders(self, parts: tuple[str, ...], make: bool = False) -> AbstractContextManager[list[Folder]]:
        return folders(self._root, parts, make, self._held)


def _read(folder: Folder, name: str) -> bytes | None:
    fd = folder.open(name, os.O_RDONLY)
    try:
        return read_all(fd)
    finally:
        os.close(fd)


def _refuse_twin(folder: Folder, name: str) -> None:
    """Refuse a name that differs from an existing one in its case only: some disks hold them for one."""
    twin = name.casefold()
    for other in folder.names():
        if other.casefold() == twin:
            raise OSError(errno.EEXIST, os.strerror(errno.EEXIST), other)


def _fits(name: str, size: int) -> None:
    if size > MAX_BYTES:
        raise NotRecordedError(
            f"not recorded: {name} would be larger than 1 MiB, and could not be read any more",
            "go on in a new record",
        )


def _collect(path: str, prefix: str, found: list[str]) -> None:
    with os.scandir(path) as entries:
        for entry in entries:
            if entry.name.startswith("."):
                continue
            if entry.name.endswith(".yaml"):
                found.append(prefix + entry.name)
            elif entry.is_dir(follow_symlinks=False):
                _collect(entry.path, f"{prefix}{entry.name}/", found)
