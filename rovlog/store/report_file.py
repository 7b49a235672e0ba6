"""A report written where a person asked for it, anywhere on the disk."""

from __future__ import annotations

import os
import secrets

from rovlog.problems import UsageError


def write_report(path: str, data: bytes) -> None:
    """Write the whole file or nothing: a file that was there is replaced only by a complete one.

    Raises:
        UsageError: it cannot be written there, with why.
    """
    if os.path.isdir(path):
        raise UsageError(f"{path} cannot be written: it is a folder", "name a file in it")
    if os.path.exists(path) and not os.path.isfile(path):
        # A pipe or a device: it takes the bytes as they come.
        try:
            with open(path, "wb") as pipe:
                pipe.write(data)
        except OSError as error:
            raise _refused(path, error) from error
        return
    beside = f"{os.path.realpath(path)}.{secrets.token_hex(4)}.part"
    try:
        with open(beside, "xb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        os.replace(beside, os.path.realpath(path))
    except OSError as error:
        if os.path.exists(beside):
            os.unlink(beside)
        raise _refused(path, error) from error
    except ValueError as error:  # a NUL in the name
        raise UsageError(
            f"{path!r} cannot be written: that is no name of a file", "check the name"
        ) from error


def _refused(path: str, error: OSError) -> UsageError:
    return UsageError(
        f"{path} cannot be written: {os.strerror(error.errno or 0)}", "choose another place with -o"
    )
