"""The state of git's history without running git: it changes whenever a commit that can be reached does."""

from __future__ import annotations

import os
from hashlib import sha256

from rovlog.store.gitprogram import git_folder_above

_LARGEST = 16 << 20
"""Bytes of one of git's lists of references that are read; nobody's is that long."""


def history_stamp(folder: str) -> str | None:
    """A digest over what names the commits of HEAD's history; None where it cannot be told.

    The files are only compared, byte by byte, never understood further than to find the next one.
    """
    above = git_folder_above(folder)
    if above is None:
        return "no repository"
    try:
        own = _git_folder(os.path.join(above, ".git"))
        shared = os.path.normpath(os.path.join(own, _text(own, "commondir") or "."))
        head = _text(own, "HEAD")
        branch = head.removeprefix("ref:").strip() if head.startswith("ref:") else ""
        pieces = [
            own,
            head,
            *(_text(place, branch) if branch else "" for place in (own, shared)),
            *(
                _text(shared, name)
                for name in ("packed-refs", "shallow", "info/grafts", "reftable/tables.list")
            ),
            _text(own, "reftable/tables.list"),
        ]
    except (OSError, ValueError):
        return None
    if any(piece.startswith("ref:") for piece in pieces[2:4]):
        return None  # a branch that is another name of a branch
    return sha256("\0".join(pieces).encode()).hexdigest()


def _git_folder(place: str) -> str:
    """git's own folder: the place itself, or where the file there points (a worktree, a submodule)."""
    if os.path.isdir(place):
        return place
    named = _text(os.path.dirname(place), os.path.basename(place))
    if not named.startswith("gitdir:"):
        raise ValueError(f"{place} is neither a folder nor points at one")
    return os.path.normpath(os.path.join(os.path.dirname(place), named.removeprefix("gitdir:").strip()))


def _text(folder: str, name: str) -> str:
    """A file's text without the white space around it, "" where there is none."""
    try:
        with open(os.path.join(folder, name), "rb") as file:
            data = file.read(_LARGEST + 1)
    except (FileNotFoundError, NotADirectoryError, IsADirectoryError):
        return ""
    if len(data) > _LARGEST:
        raise ValueError(f"{name} is too long")
    return data.decode("latin-1").strip()
