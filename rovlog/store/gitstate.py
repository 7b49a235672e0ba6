"""What is unusual about a repository, in sentences: an audit may then be reading another history."""

from __future__ import annotations

import os

from rovlog.problems import GitError
from rovlog.store.gitplace import Layout, damaged_head, head_of, under_way
from rovlog.store.gitprogram import GitProgram


def unusual(git: GitProgram, layout: Layout) -> list[str]:
    """A sentence for each thing that is not as in an ordinary repository."""
    found = []
    begun = under_way(layout)
    if begun:
        found.append(f"{begun[0]} is under way: nothing is committed until it is finished ({begun[1]})")
    found += _about_head(git, layout)
    for name, sentence in (
        ("shallow", "the clone is shallow: older commits are missing here"),
        (
            os.path.join("info", "grafts"),
            "grafts are in force: commits may show other parents than they have",
        ),
    ):
        path = os.path.join(layout.common_dir, name)
        if os.path.isfile(path) and os.path.getsize(path):
            found.append(sentence)
    replaced = git.run("for-each-ref", "--format=x", "refs/replace/").out.split()
    if replaced:
        found.append(
            f"replaced objects: {len(replaced)}; git shows the replacements, rovlog reads the originals"
        )
    lock = os.path.join(layout.git_dir, "index.lock")
    if os.path.lexists(lock):
        found.append(f"another git is at work, or one died and left {lock}")
    hidden = _hidden_names(git)
    if hidden:
        more = f" and {len(hidden) - 5} more" if len(hidden) > 5 else ""
        found.append(f"git is told to overlook changes of: {', '.join(hidden[:5])}{more}")
    return found


def _about_head(git: GitProgram, layout: Layout) -> list[str]:
    try:
        head = head_of(git, layout)
    except GitError as error:
        return [error.message]
    if head is None:
        return []
    found = []
    if git.run("ls-tree", "-r", "-t", "--name-only", "--end-of-options", head).code != 0:
        found.append(damaged_head(git, layout, head).message)
    if git.run("symbolic-ref", "--quiet", "HEAD").code != 0:
        found.append("no branch is checked out: commits made now belong to none")
    return found


def _hidden_names(git: GitProgram) -> list[str]:
    """Files below the logbook marked assume-unchanged (a small letter) or skip-worktree (S)."""
    answer = git.run("ls-files", "-v", "-z", "--", ".")
    lines = answer.out.decode("utf-8", "replace").split("\0")
    return [line[2:] for line in lines if line and (line[0].islower() or line[0] == "S")]
