"""A file that a person names on the command line, anywhere on the disk."""

from __future__ import annotations

import os
import stat
import sys

from rovlog.problems import UsageError
from rovlog.store.durable import MAX_BYTES
from rovlog.store.refusals import not_read


def read_piped() -> bytes:
    """All of standard input, at most 1 MiB; UsageError where there is none or it is larger."""
    if sys.stdin is None:
        raise UsageError("standard input cannot be read: the program was started without it", "name a file")
    try:
        data = sys.stdin.buffer.read(MAX_BYTES + 1)
    except OSError as error:
        raise not_read("standard input", error) from error
    if len(data) > MAX_BYTES:
        raise UsageError("standard input is larger than 1 MiB", "give it in parts")
    return data


def read_given(path: str) -> bytes:
    """The whole file, at most 1 MiB; UsageError in one sentence where it cannot be read.

    Links are followed, since the person named the path; a pipe is read, a folder is not.
    """
    try:
        if stat.S_ISDIR(os.stat(path).st_mode):
            raise UsageError(f"{path} cannot be read: it is a folder, not a file", "name the file in it")
        with open(path, "rb") as file:
            data = file.read(MAX_BYTES + 1)
    except OSError as error:
        raise not_read(path, error) from error
    except ValueError as error:  # a NUL in the name
        raise UsageError(f"{path!r} cannot be read: that is no name of a file", "check the name") from error
    if len(data) > MAX_BYTES:
        raise UsageError(f"{path} cannot be read: it is larger than 1 MiB", "name another file")
    return data
