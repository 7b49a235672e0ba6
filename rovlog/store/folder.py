"""A folder held open: everything in it is reached without following a link on the way.

`HeldFolder` works with open handles, so that nobody can swap a folder for a link in between.
`NamedFolder` is for systems without such handles: it looks at each part before using it.
"""

from __future__ import annotations

import errno
import os
import stat
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from typing import Protocol

_SAFE = (
    getattr(os, "O_NOFOLLOW", 0)
    | getattr(os, "O_NONBLOCK", 0)  # a pipe in place of a file must not block
    | getattr(os, "O_CLOEXEC", 0)
    | getattr(os, "O_NOCTTY", 0)
    | getattr(os, "O_BINARY", 0)
)
_FOLLOWS = os.link not in os.supports_follow_symlinks  # where the system leaves no choice
_DIRECTORY = getattr(os, "O_DIRECTORY", 0)


class Folder(Protocol):
    """What can be done in one folder. Every method raises OSError."""

    def enter(self, name: str, make: bool) -> Folder:
        """The folder of this name inside, made first if wanted and missing."""

    def open(self, name: str, flags: int, mode: int = 0o666) -> int:
        """A descriptor of a regular file; anything else is refused."""

    def lstat(self, name: str) -> os.stat_result:
        """What is there under this name, a link itself and not its target."""

    def names(self) -> list[str]:
        """All names in it, unsorted."""

    def link(self, name: str, to: Folder, new: str) -> None:
        """Give a file a second name; refuses to overwrite."""

    def rename(self, name: str, to: Folder, new: str) -> None:
        """Give a file another name, in place of what is there."""

    def unlink(self, name: str) -> None:
        """Take a name away."""

    def sync(self) -> None:
        """Bring the folder's list of names to the disk."""

    def close(self) -> None:
        """Let go of it."""


class HeldFolder:
    """A folder by its open handle."""

    def __init__(self, fd: int) -> None:
        """Take over the descriptor."""
        self.fd = fd

    def enter(self, name: str, make: bool) -> HeldFolder:
        flags = os.O_RDONLY | _DIRECTORY | _SAFE
        if make:
            with suppress(FileExistsError):
                os.mkdir(name, dir_fd=self.fd)
        return HeldFolder(os.open(name, flags, dir_fd=self.fd))

    def open(self, name: str, flags: int, mode: int = 0o666) -> int:
        return _regular(os.open(name, flags | _SAFE, mode, dir_fd=self.fd))

    def lstat(self, name: str) -> os.stat_result:
        return os.stat(name, dir_fd=self.fd, follow_symlinks=False)

    def names(self) -> list[str]:
        return os.listdir(self.fd)

    def link(self, name: str, to: Folder, new: str) -> None:
        os.link(name, new, src_dir_fd=self.fd, dst_dir_fd=_fd(to), follow_symlinks=_FOLLOWS)

    def rename(self, name: str, to: Folder, new: str) -> None:
        os.rename(name, new, src_dir_fd=self.fd, dst_dir_fd=_fd(to))

    def unlink(self, name: str) -> None:
        os.unlink(name, dir_fd=self.fd)

    def sync(self) -> None:
        os.fsync(self.fd)

    def close(self) -> None:
        os.close(self.fd)


class NamedFolder:
    """A folder by its path, each part looked at before it is used."""

    def __init__(self, path: str) -> None:
        """Take the path, which must be a real folder."""
        if not stat.S_ISDIR(os.lstat(path).st_mode):
            raise NotADirectoryError(errno.ENOTDIR, os.strerror(errno.ENOTDIR), path)
        self.path = path

    def enter(self, name: str, make: bool) -> NamedFolder:
        path = os.path.join(self.path, name)
        if make:
            with suppress(FileExistsError):
                os.mkdir(path)
        return NamedFolder(path)

    def open(self, name: str, flags: int, mode: int = 0o666) -> int:
        path = os.path.join(self.path, name)
        if os.path.islink(path):
            raise OSError(errno.ELOOP, os.strerror(errno.ELOOP), path)
        if os.path.isdir(path):
            raise IsADirectoryError(errno.EISDIR, os.strerror(errno.EISDIR), path)
        return _regular(os.open(path, flags | _SAFE, mode))

    def lstat(self, name: str) -> os.stat_result:
        return os.lstat(os.path.join(self.path, name))

    def names(self) -> list[str]:
        return os.listdir(self.path)

    def link(self, name: str, to: Folder, new: str) -> None:
        os.link(os.path.join(self.path, name), os.path.join(_path(to), new))

    def rename(self, name: str, to: Folder, new: str) -> None:
        os.replace(os.path.join(self.path, name), os.path.join(_path(to), new))

    def unlink(self, name: str) -> None:
        os.unlink(os.path.join(self.path, name))

    def sync(self) -> None:
        if sys.platform == "win32":
            return  # there a folder cannot be opened, and the file's own sync covers its name
        fd = os.open(self.path, os.O_RDONLY)
        try:
            os.fsync(fd)
        finally:
            os.close(fd)

    def close(self) -> None:
        """Nothing is held."""


HAS_HANDLES = os.open in os.supports_dir_fd and os.listdir in os.supports_fd


@contextmanager
def folders(
    root: str, parts: Sequence[str], make: bool = False, held: bool = HAS_HANDLES
) -> Iterator[list[Folder]]:
    """The logbook's folder and those below it named by `parts`, outermost first."""
    chain: list[Folder] = []
    try:
        if held:
            chain.append(HeldFolder(os.open(root, os.O_RDONLY | _DIRECTORY | getattr(os, "O_CLOEXEC", 0))))
        else:
            chain.append(NamedFolder(os.path.realpath(root)))
        for part in parts:
            chain.append(chain[-1].enter(part, make))
        yield chain
    finally:
        for folder in reversed(chain):
            folder.close()


def _regular(fd: int) -> int:
    mode = os.fstat(fd).st_mode
    if stat.S_ISREG(mode):
        return fd
    os.close(fd)
    number = errno.EISDIR if stat.S_ISDIR(mode) else errno.ENXIO
    raise OSError(number, os.strerror(number))


def _fd(folder: Folder) -> int:
    assert isinstance(folder, HeldFolder)
    return folder.fd


def _path(folder: Folder) -> str:
    assert isinstance(folder, NamedFolder)
    return folder.path
