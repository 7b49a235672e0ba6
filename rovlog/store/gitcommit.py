"""Committing records by git's plumbing: no hook, no filter, nobody else's staged change touched."""

from __future__ import annotations

import os
import time
from collections.abc import Mapping, Sequence

from rovlog.problems import GitError
from rovlog.store import derived
from rovlog.store.files import DiskFiles
from rovlog.store.folder import folders
from rovlog.store.gitplace import Layout, damaged_head, head_of
from rovlog.store.gitprogram import GitProgram
from rovlog.store.gitwords import explained, is_damage, is_locked, lock_file
from rovlog.store.left_behind import along_words, left_behind
from rovlog.store.refusals import not_written
from rovlog.usecases.ports import CommitOutcome
from rovlog.values import dataclass, replace

_TRIES = 7
_LOCK_PATIENCE_S = 2.0
_PLAIN_FILE = "100644"
_MODES_KEPT = ("100644", "100755")


_WHOLE_INDEX = {
    "GIT_CONFIG_COUNT": "1",
    "GIT_CONFIG_KEY_0": "core.splitIndex",
    "GIT_CONFIG_VALUE_0": "false",  # or a part of it would be left in the repository
}


@dataclass(frozen=True, slots=True)
class Signature:
    """What stands in a commit besides its files: message, environment for names and dates, signed or not."""

    message: str
    surroundings: Mapping[str, str]
    is_signed: bool


def commit_records(
    git: GitProgram, layout: Layout, files: DiskFiles, names: Sequence[str], signature: Signature
) -> CommitOutcome:
    """Commit these files as they are on disk onto HEAD, whatever moves HEAD meanwhile.

    A name without a file is taken out of the tree. Nothing changed: the current commit. What rovlog
    alone writes and git does not hold yet goes along, and the message says so.

    Raises:
        GitError: with the reason why nothing was committed.
    """
    wanted = sorted(set(names))
    _refuse_conflicts(git, wanted)
    along = left_behind(git, layout, files, head_of(git, layout), wanted)
    if along:
        wanted = sorted({*wanted, *along})
        signature = replace(signature, message=signature.message.rstrip() + along_words(along))
    blobs = _write_blobs(git, files, wanted)
    in_the_way: str | None = ""
    for attempt in range(_TRIES):
        head = head_of(git, layout)
        changes = _changes(git, layout, head, blobs, wanted)
        if not changes:
            return CommitOutcome(head)
        tree = _tree(git, layout, head, changes)
        new = _commit_object(git, head, tree, signature)
        # The person's staging area first: if this is cut short between the two steps, the files
        # stand there as staged. The other way round they would stand as staged to be taken back.
        _into_index(git, changes)
        in_the_way = _move_head(git, layout, new, head, signature)
        if in_the_way is None:
            return CommitOutcome(new, *_about_branch(git, layout))
        time.sleep(0.02 * 2**attempt)
    raise GitError(
        "another git keeps the branch busy, so nothing was committed",
        "wait for it, then commit again"
        + (f"; if no git is running, delete {in_the_way}" if in_the_way else ""),
    )


def _about_branch(git: GitProgram, layout: Layout) -> tuple[str, str]:
    """What to say of a commit that no branch holds, with its mend; nothing where a branch is checked out."""
    try:
        with open(os.path.join(layout.git_dir, "HEAD"), encoding="utf-8", errors="replace") as file:
            is_on_branch = file.read(100).startswith("ref:")
    except OSError:
        return "", ""
    if is_on_branch:
        return "", ""
    return (
        "no branch is checked out: what is committed now goes to none, and the next checkout hides it",
        f"git -C {git.folder} switch -c NAME keeps it on a branch of that name, to be merged into yours",
    )


def _refuse_conflicts(git: GitProgram, names: list[str]) -> None:
    """A file that git calls unmerged may hold the marks of a conflict, and is no record then."""
    if not names:
        return
    answer = git.run("ls-files", "--unmerged", "-z", "--", *names[:500])
    if answer.code != 0:
        raise explained(answer.err, git.folder)
    for line in answer.out.decode("utf-8", "replace").split("\0"):
        if line:
            name = line.partition("\t")[2]
            raise GitError(
                f"git holds two versions of {name} that it could not merge, so nothing was committed",
                f"settle it in the file, then: git -C {git.folder} add {name}",
            )


def _write_blobs(git: GitProgram, files: DiskFiles, names: list[str]) -> dict[str, str]:
    """Put the files' bytes into git's store; their hashes by name."""
    present = [name for name in names if files.exists(name)]
    if not present:
        return {}
    # Whole paths: what git takes a relative one against differs with where the logbook lies.
    paths = "".join(f"{os.path.join(git.folder, name)}\n" for name in present)
    answer = git.run("hash-object", "-w", "--no-filters", "--stdin-paths", given=os.fsencode(paths))
    if answer.code != 0:
        raise explained(answer.err, git.folder)
    return dict(zip(present, answer.out.decode().split(), strict=True))


def _changes(
    git: GitProgram, layout: Layout, head: str | None, blobs: Mapping[str, str], names: list[str]
) -> bytes:
    """What differs from HEAD, in the format of `git update-index --index-info -z`."""
    before = _entries_at(git, layout, head, names) if head else {}
    lines = []
    for name in names:
        mode, blob = before.get(name, ("", ""))
        if name in blobs:
            if blobs[name] != blob or mode not in _MODES_KEPT:
                mode = mode if mode in _MODES_KEPT else _PLAIN_FILE
                lines.append(f"{mode} {blobs[name]}\t{layout.prefix}{name}\0")
        elif blob:
            lines.append(f"0 {layout.zero}\t{layout.prefix}{name}\0")
    return "".join(lines).encode("utf-8", "surrogateescape")


def _entries_at(git: GitProgram, layout: Layout, head: str, names: list[str]) -> dict[str, tuple[str, str]]:
    found: dict[str, tuple[str, str]] = {}
    for start in range(0, len(names), 500):  # a command line has a greatest length
        answer = git.run("ls-tree", "-z", "--end-of-options", head, *names[start : start + 500])
        if answer.code != 0:
            raise (
                damaged_head(git, layout, head)
                if is_damage(answer.err)
                else explained(answer.err, git.folder)
            )
        for line in answer.out.decode("utf-8", "surrogateescape").split("\0"):
            if line:
                facts, _, name = line.partition("\t")
                mode, _, blob = facts.split(" ")
                found[name] = (mode, blob)
    return found


def _tree(git: GitProgram, layout: Layout, head: str | None, changes: bytes) -> str:
    """HEAD's tree with the changes in it, made in a staging area of our own."""
    index = _spare_index(git.folder)
    own = {"GIT_INDEX_FILE": index, **_WHOLE_INDEX}
    try:
        if head:
            answer = git.run("read-tree", "--end-of-options", head, surroundings=own)
            if answer.code != 0:
                if is_damage(answer.err):
                    raise damaged_head(git, layout, head)
                raise explained(answer.err, git.folder)
        answer = git.run("update-index", "-z", "--index-info", given=changes, surroundings=own)
        if answer.code == 0:
            answer = git.run("write-tree", surroundings=own)
        if answer.code != 0:
            raise explained(answer.err, git.folder)
        return answer.out.decode().strip()
    finally:
        for path in (index, index + ".lock"):
            if os.path.exists(path):
                os.unlink(path)


def _spare_index(root: str) -> str:
    try:
        with folders(root, ()) as chain:
            derived.close(derived.enter_derived(chain[0], "tmp"))
    except OSError as error:
        raise GitError(str(not_written(derived.NAME, error).message), "free or repair the disk") from error
    return os.path.join(root, derived.NAME, "tmp", f"index-{os.getpid()}-{os.urandom(6).hex()}")


def _commit_object(git: GitProgram, head: str | None, tree: str, signature: Signature) -> str:
    arguments = ["commit-tree", *(["-S"] if signature.is_signed else []), "-F", "-"]
    if head:
        arguments += ["-p", head]
    answer = git.run(
        *arguments,
        tree,
        given=signature.message.encode("utf-8", "replace"),
        surroundings=signature.surroundings,
    )
    if answer.code != 0:
        error = explained(answer.err, git.folder)
        if signature.is_signed and error.message.startswith("git refused"):
            error = explained("failed to sign", git.folder)
        raise error
    return answer.out.decode().strip()


def _into_index(git: GitProgram, changes: bytes) -> None:
    """Put exactly these files into the person's staging area, under git's own lock."""
    deadline = time.monotonic() + _LOCK_PATIENCE_S
    while True:
        answer = git.run("update-index", "-z", "--index-info", given=changes)
        if answer.code == 0:
            return
        if not is_locked(answer.err):
            raise explained(answer.err, git.folder)
        if time.monotonic() >= deadline:
            raise GitError(
                "another git is at work in this repository, so nothing was committed",
                f"wait for it; if no git is running, delete {lock_file(answer.err)}",
            )
        time.sleep(0.05)


def _move_head(
    git: GitProgram, layout: Layout, new: str, head: str | None, signature: Signature
) -> str | None:
    """Point the branch at the new commit; None if that went well.

    If the branch has moved meanwhile, or is locked, the lock's path ("" if there is none).
    """
    subject = (signature.message.splitlines() or [""])[0]
    answer = git.run(
        "update-ref", "-m", f"rovlog: {subject}", "HEAD", new, head or layout.zero,
        surroundings=signature.surroundings,
    )  # fmt: skip
    if answer.code == 0:
        return None
    if is_locked(answer.err) or "but expected" in answer.err or "reference already exists" in answer.err:
        return lock_file(answer.err)
    raise explained(answer.err, git.folder)
