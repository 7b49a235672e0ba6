"""The folder `.rovlog`: derived, disposable, and ignored by git through its own `.gitignore`."""

from __future__ import annotations

import errno
import os

from rovlog.problems import NotRecordedError
from rovlog.store.folder import Folder

NAME = ".rovlog"
IGNORE_ALL = b"# derived by rovlog; may be deleted at any time\n*\n"


def enter_derived(logbook: Folder, *parts: str) -> list[Folder]:
    """`.rovlog` and the folders named below it, made where missing. The caller closes them.

    Raises:
        OSError: one of them cannot be made.
        NotRecordedError: something that is no folder stands in the way.
    """
    chain: list[Folder] = []
    try:
        chain.append(logbook.enter(NAME, make=True))
        _ignore(chain[0])
        for part in parts:
            chain.append(chain[-1].enter(part, make=True))
    except OSError as error:
        close(chain)
        if error.errno in (errno.ENOTDIR, errno.ELOOP):
            raise NotRecordedError(
                f"not recorded: a file or a link stands where rovlog needs the folder {NAME}",
                f"delete {NAME} in the logbook's folder: it holds nothing that cannot be made anew",
            ) from error
        raise
    return chain


def close(chain: list[Folder]) -> None:
    """Let go of folders, innermost first."""
    for folder in reversed(chain):
        folder.close()


def _ignore(derived: Folder) -> None:
    try:
        fd = derived.open(".gitignore", os.O_WRONLY | os.O_CREAT | os.O_EXCL)
    except FileExistsError:
        return
    try:
        os.write(fd, IGNORE_ALL)
    finally:
        os.close(fd)
