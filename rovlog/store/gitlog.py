"""Who changed which record when, as git tells it."""

from __future__ import annotations

import os

from rovlog.store.gitprogram import GitProgram
from rovlog.store.gitwords import explained
from rovlog.usecases.ports import Commit


def commits_touching(git: GitProgram, folders: list[str]) -> list[Commit]:
    """Commits reachable from HEAD that changed something at these paths, newest first.

    A merge is listed only for what differs from both its sides, that is, what was changed in it.

    Raises:
        GitError: git cannot walk the history.
    """
    # A fresh mark, so that no message can pass for the start of a commit.
    mark = os.urandom(12).hex()
    answer = git.run(
        "log", "-z", "--date-order", "--full-history", "--diff-merges=combined",
        "--name-only", "--no-renames", "--no-ext-diff", "--no-textconv", "--relative",
        "--encoding=UTF-8", "--no-show-signature",
        f"--format={mark}%x00%H%x00%an%x00%ae%x00%aI%x00%B%x00", "--end-of-options", "HEAD",
        "--", *(folders or ["."]),
    )  # fmt: skip
    if answer.code != 0:
        raise explained(answer.err, git.folder)
    return _parsed(answer.out.decode("utf-8", "replace").split("\0"), mark)


def _parsed(pieces: list[str], mark: str) -> list[Commit]:
    starts = [place for place, piece in enumerate(pieces) if piece == mark]
    found = []
    for start, end in zip(starts, [*starts, len(pieces)][1:], strict=True):
        commit, author, email, at, message = pieces[start + 1 : start + 6]
        names = tuple(name.removeprefix("\n") for name in pieces[start + 6 : end] if name.strip("\n"))
        if names:
            at = at[:-1] + "+00:00" if at.endswith("Z") else at
            found.append(Commit(commit, author, email, at, message.rstrip("\n"), names))
    return found
