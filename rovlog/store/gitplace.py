"""Where a logbook lies in its repository, and what stands in the way of a commit there."""

from __future__ import annotations

import os

from rovlog.problems import GitError
from rovlog.store.gitprogram import GitProgram
from rovlog.store.gitwords import explained
from rovlog.values import dataclass

_UNDER_WAY = (
    ("MERGE_HEAD", "a merge", "git merge --continue, or git merge --abort"),
    ("CHERRY_PICK_HEAD", "a cherry-pick", "git cherry-pick --continue, or git cherry-pick --abort"),
    ("REVERT_HEAD", "a revert", "git revert --continue, or git revert --abort"),
    ("rebase-merge", "a rebase", "git rebase --continue, or git rebase --abort"),
    ("rebase-apply", "a rebase", "git rebase --continue, or git rebase --abort"),
    ("sequencer", "a series of picks", "git status shows how to go on or to abort"),
    ("BISECT_LOG", "a bisection", "git bisect reset"),
)


@dataclass(frozen=True, slots=True)
class Layout:
    """Absolute folders of git's own files (a worktree's and the shared ones), and where the logbook lies.

    `prefix` is the logbook's path from the top of the repository, "" or ending in a slash; `zero`
    the hash that stands for "no commit", as long as this repository's hashes are.
    """

    git_dir: str
    common_dir: str
    prefix: str
    zero: str


def layout_of(git: GitProgram) -> Layout:
    """Ask git where the logbook lies.

    Raises:
        GitError: it is in no repository, or in one that git cannot or will not use.
    """
    answer = git.run(
        "rev-parse", "--is-inside-work-tree", "--absolute-git-dir", "--git-common-dir",
        "--show-object-format", "--show-prefix",
    )  # fmt: skip
    lines = answer.out.decode("utf-8", "surrogateescape").split("\n")
    if answer.code != 0:
        raise explained(answer.err, git.folder)
    if lines[0] != "true":
        raise explained("this operation must be run in a work tree", git.folder)
    zero = "0" * (64 if lines[3] == "sha256" else 40)
    return Layout(lines[1], os.path.normpath(os.path.join(git.folder, lines[2])), lines[4], zero)


def under_way(layout: Layout) -> tuple[str, str] | None:
    """What the person has begun with git and not finished, and how to finish it; None if nothing."""
    for name, what, mend in _UNDER_WAY:
        if os.path.lexists(os.path.join(layout.git_dir, name)):
            return what, mend
    return None


def head_of(git: GitProgram, layout: Layout) -> str | None:
    """The hash that HEAD names, None before the first commit; its object is not looked at.

    Raises:
        GitError: HEAD names a branch whose file is damaged.
    """
    answer = git.run("rev-parse", "--verify", "--quiet", "HEAD")
    if answer.code == 0:
        return answer.out.decode().strip()
    if git.run("symbolic-ref", "--quiet", "HEAD").code == 0:
        return None  # a branch that is yet to be born; git calls a damaged one no such reference
    branch = _branch_by_file(layout)
    place = os.path.join(layout.common_dir, branch or "HEAD")
    good = last_good(git, layout)
    raise GitError(
        f"git's record of the branch is damaged: {place} names no commit",
        f"echo {good} > {place}" if good and branch else f"git -C {git.folder} fsck --full",
    )


def _branch_by_file(layout: Layout) -> str:
    """The branch that the file HEAD names, "" if it names none."""
    try:
        with open(os.path.join(layout.git_dir, "HEAD"), encoding="utf-8", errors="replace") as file:
            named = file.read(1000).strip()
    except OSError:
        return ""
    return named.removeprefix("ref: ") if named.startswith("ref: refs/") else ""


def damaged_head(git: GitProgram, layout: Layout, head: str) -> GitError:
    """The error to raise when the newest commit cannot be read, with the way back that loses no file."""
    loose = os.path.join(layout.common_dir, "objects", head[:2], head[2:])
    is_empty = os.path.isfile(loose) and os.path.getsize(loose) == 0
    good = last_good(git, layout)
    steps = [f"rm -f {loose}"] if is_empty else []
    if good and good != head:
        steps.append(f"git -C {git.folder} update-ref HEAD {good}")
    what = "its file is empty" if is_empty else "it or something in it cannot be read"
    return GitError(
        f"git's newest commit {head[:12]} is damaged: {what}",
        (" && ".join(steps) + " (goes back to the last good commit; your files stay as they are)")
        if steps
        else f"git -C {git.folder} fsck --full lists what is damaged; fetch it again from another copy",
    )


def last_good(git: GitProgram, layout: Layout) -> str | None:
    """The newest commit that HEAD's own log names and that can be read with all its folders."""
    try:
        with open(os.path.join(layout.git_dir, "logs", "HEAD"), encoding="utf-8", errors="replace") as file:
            lines = file.read().splitlines()
    except OSError:
        return None
    seen: set[str] = set()
    for line in reversed(lines[-50:]):
        words = line.split(" ", 2)
        for candidate in (words[1:2] + words[0:1])[:2]:
            if len(candidate) != len(layout.zero) or candidate == layout.zero or candidate in seen:
                continue
            seen.add(candidate)
            if git.run("ls-tree", "-r", "-t", "--name-only", candidate).code == 0:
                return candidate
    return None
