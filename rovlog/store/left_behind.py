"""What only rovlog writes and git does not hold yet: a later milestone takes it along.

An entry never waits for git, and a milestone may meet a merge under way or a damaged store. What stood
on the disk then, and entries that no milestone followed, go in with the next commit. Files that a
person writes are never taken, nor a record whose lines were rewritten: that is for `rovlog verify`.
"""

from __future__ import annotations

import os
import re
from collections.abc import Iterator, Mapping, Sequence
from contextlib import suppress
from hashlib import sha1, sha256

from rovlog.problems import NotRecordedError, UsageError
from rovlog.store import derived
from rovlog.store.files import DiskFiles
from rovlog.store.folder import folders
from rovlog.store.gitblobs import Blobs
from rovlog.store.gitplace import Layout
from rovlog.store.gitprogram import GitProgram

FORMATS = {
    "dives": (b"format: rovlog/dive/1",),
    "work": (b"format: rovlog/work/1",),
    "approvals": (b"format: rovlog/approval/1", b"format: rovlog/withdrawal/1"),
}
"""The folders that only rovlog writes, and the line that its files there have near their beginning."""

_READBACK = re.compile(r"attachments/[a-z0-9.-]+-readback-[0-9]+\.txt")
_MARKS = (b"<<<<<<< ", b"=======\n", b"=======\r", b">>>>>>> ")
_KNOWN = "in-git"
"""In `.rovlog`: size, time of change and git's hash of each file, so that none is read a second time."""


def left_behind(
    git: GitProgram, layout: Layout, files: DiskFiles, head: str | None, asked: Sequence[str]
) -> list[str]:
    """Names of rovlog's own files, other than those asked for, that the commit does not hold as they are."""
    held = _held(git, head)
    if held is None:
        return []
    hashes = _hashes(files, len(layout.zero))
    found = sorted(n for n, blob in hashes.items() if blob != held.get(n) and n not in asked)
    if not found:
        return []
    blobs = Blobs(git)
    unmerged = _unmerged(git, found)
    return [n for n in found if n not in unmerged and _is_ours(files, blobs, n, held.get(n))]


def along_words(names: Sequence[str]) -> str:
    """The paragraph of a commit's message that names what went along."""
    if not names:
        return ""
    shown = [f"- {n}" for n in names[:20]]
    if len(names) > 20:
        shown.append(f"- and {len(names) - 20} more")
    return "\n".join(["\n\nAlong with it, what was on the disk and not yet in git:", *shown])


def _held(git: GitProgram, head: str | None) -> dict[str, str] | None:
    """Hash by name of what the commit holds in our folders; None where that cannot be told."""
    if head is None:
        return {}
    answer = git.run("ls-tree", "-r", "-z", "--end-of-options", head, *FORMATS, "attachments")
    if answer.code != 0:
        return None
    held = {}
    for line in answer.out.decode("utf-8", "surrogateescape").split("\0"):
        if line:
            facts, _, name = line.partition("\t")
            held[name] = facts.rpartition(" ")[2]
    return held


def _hashes(files: DiskFiles, length: int) -> dict[str, str]:
    """git's hash of each of our files' bytes, by name; made here, since git would run filters on them."""
    known = _known(files.root)
    found: dict[str, str] = {}
    rows: dict[str, str] = {}
    for name, stamp in _stamps(files.root):
        blob = known.get(stamp, "")
        if len(blob) != length:
            try:
                data = files.read(name)
            except UsageError:
                continue  # gone meanwhile, or no file that could be read: nothing to take along
            made = (sha1 if length == 40 else sha256)(b"blob %d\0" % len(data))
            made.update(data)
            blob = made.hexdigest()
        found[name] = rows[stamp] = blob
    if rows != known:
        _keep(files.root, rows)
    return found


def _stamps(root: str) -> Iterator[tuple[str, str]]:
    """Each of our files' name, and it with the size and the time of change."""
    waiting = [*FORMATS, "attachments"]
    while waiting:
        folder = waiting.pop()
        try:
            with os.scandir(os.path.join(root, folder)) as entries:
                for entry in entries:
                    name = f"{folder}/{entry.name}"
                    if entry.name.startswith("."):
                        continue
                    if entry.is_dir(follow_symlinks=False):
                        waiting.append(name)
                    elif name.endswith(".yaml") or _READBACK.fullmatch(name):
                        status = entry.stat(follow_symlinks=False)
                        yield name, f"{status.st_size} {status.st_mtime_ns} {name}"
        except OSError:
            continue  # no such folder yet, or it went away meanwhile


def _known(root: str) -> dict[str, str]:
    try:
        with open(os.path.join(root, derived.NAME, _KNOWN), encoding="utf-8") as file:
            lines = file.read().splitlines()
    except (OSError, UnicodeDecodeError):
        return {}
    return {rest: blob for blob, _, rest in (line.partition(" ") for line in lines)}


def _keep(root: str, rows: Mapping[str, str]) -> None:
    """Write it down for the next time; where that does not go, the files are read again."""
    path = os.path.join(root, derived.NAME, _KNOWN)
    with suppress(OSError, NotRecordedError, UnicodeEncodeError):
        with folders(root, ()) as chain:
            derived.close(derived.enter_derived(chain[0]))
        spare = f"{path}.{os.getpid()}.tmp"
        with open(spare, "w", encoding="utf-8") as file:
            file.write("".join(f"{blob} {rest}\n" for rest, blob in rows.items()))
        os.replace(spare, path)


def _unmerged(git: GitProgram, names: Sequence[str]) -> set[str]:
    """What git holds in several versions that it could not merge."""
    found = set()
    for start in range(0, len(names), 500):
        answer = git.run("ls-files", "--unmerged", "-z", "--", *names[start : start + 500])
        lines = answer.out.decode("utf-8", "surrogateescape").split("\0")
        found |= {line.partition("\t")[2] for line in lines if line}
    return found


def _is_ours(files: DiskFiles, blobs: Blobs, name: str, blob: str | None) -> bool:
    """True for a new file of ours, and for a record that only adds to what git holds of it."""
    try:
        data = files.read(name)
    except UsageError:
        return False
    added = data
    if blob is not None:
        before = blobs.read(blob)
        if before is None or name.startswith("approvals/") or not data.startswith(before[1]):
            return False
        added = data[len(before[1]) :]
    elif name.startswith("attachments/"):
        return True
    else:
        lines = [line.rstrip(b"\r") for line in data.split(b"\n", 4)[:4]]
        if not any(form in lines for form in FORMATS[name.partition("/")[0]]):
            return False
    return not any(line.startswith(_MARKS) for line in added.splitlines(keepends=True))
