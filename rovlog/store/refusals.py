"""What the operating system's refusals mean, in one sentence with the mend."""

from __future__ import annotations

import errno
import os

from rovlog.problems import NotRecordedError, UsageError

_READING = {
    errno.ENOENT: ("there is no such file", "check the name; `rovlog validate` lists what does not fit"),
    errno.EISDIR: ("it is a folder, not a file", "move the folder away and put the file in its place"),
    errno.ENOTDIR: (
        "a folder on the way to it is a file or a link",
        "put real folders in its place; rovlog follows no links inside a logbook",
    ),
    errno.ELOOP: ("it is a link, and links are not followed", "put the file itself in place of the link"),
    errno.ENXIO: (
        "it is a pipe, a socket or a device, not a file",
        "take it away and put a file in its place",
    ),
    errno.EACCES: ("it may not be read by you", "give yourself the right to read it, e.g. chmod u+r"),
    errno.EIO: ("the disk cannot read it", "copy the logbook to another disk, or take the file from git"),
}

_WRITING = {
    errno.ENOSPC: ("the disk is full", "free some space on the disk, then record it again"),
    errno.EDQUOT: ("your share of the disk is used up", "delete something of yours, then record it again"),
    errno.EROFS: (
        "the disk is mounted read-only",
        "make the disk writable, or copy the logbook's folder to a disk that is and go on there",
    ),
    errno.EACCES: (
        "you may not write there",
        "give yourself the right to write in the logbook's folder, e.g. chmod -R u+w, then record it again",
    ),
    errno.EIO: (
        "the disk reports an error",
        "copy the logbook's folder to another disk and record it again there",
    ),
    errno.EFBIG: (
        "the file would be larger than is allowed here",
        "raise the limit of file sizes (ulimit -f)",
    ),
    errno.EEXIST: ("there is such a file already", "take another name"),
    errno.ENOENT: ("there is no such file to add to", "check the name, or start the record anew"),
    errno.ENOTDIR: _READING[errno.ENOTDIR],
    errno.ELOOP: _READING[errno.ELOOP],
    errno.EISDIR: _READING[errno.EISDIR],
    errno.ENXIO: _READING[errno.ENXIO],
}
_WRITING[errno.EPERM] = _WRITING[errno.EACCES]
_READING[errno.EPERM] = _READING[errno.EACCES]


def not_read(name: str, error: OSError) -> UsageError:
    """The error to raise when a file could not be read."""
    reason, mend = _READING.get(
        error.errno or 0,
        (_system_words(error), "look at the disk, or take the file from another copy of the logbook"),
    )
    return UsageError(f"{name} cannot be read: {reason}", mend)


def not_written(name: str, error: OSError) -> NotRecordedError:
    """The error to raise when a file could not be written; what stood before is unchanged."""
    reason, mend = _WRITING.get(
        error.errno or 0, (_system_words(error), "look at the disk, then record it again")
    )
    return NotRecordedError(f"not recorded: {name} cannot be written: {reason}", mend)


def _system_words(error: OSError) -> str:
    words = os.strerror(error.errno) if error.errno else str(error)
    return f"the system says {words.lower()!r}"
