"""This laptop's name as a writer: kept outside any logbook, so that no file ever has two writers."""

from __future__ import annotations

import os
import re
import sys

from rovlog.problems import UsageError
from rovlog.store.ids import FreshIds

_SLUG = re.compile(r"[a-z][a-z0-9-]{0,39}\Z")


def this_writer() -> str:
    """The slug of this laptop for this user, made at first use; ROVLOG_WRITER overrides it.

    Where it cannot be kept, each run gets a new one: a dive then goes on in a part of its own,
    which is untidy but never mixes two writers in a file.

    Raises:
        UsageError: ROVLOG_WRITER is not a slug.
    """
    wanted = os.environ.get("ROVLOG_WRITER", "")
    if wanted:
        if not _SLUG.match(wanted):
            raise UsageError(
                f"ROVLOG_WRITER is {wanted!r}, which cannot name a laptop",
                "use lower-case letters, digits and hyphens, beginning with a letter, at most 40",
            )
        return wanted
    path = os.path.join(state_folder(), "writer")
    try:
        return _kept(path) or _keep(path, _fresh())
    except OSError:
        return _fresh()


def state_folder() -> str:
    """Where rovlog keeps what belongs to this user on this laptop (XDG base directories)."""
    base = os.environ.get("XDG_STATE_HOME", "")
    if not os.path.isabs(base):  # the specification says to ignore a relative one
        local = os.environ.get("LOCALAPPDATA") if sys.platform == "win32" else None
        base = local or os.path.join(os.path.expanduser("~"), ".local", "state")
    return os.path.join(base, "rovlog")


def _kept(path: str) -> str:
    try:
        with open(path, encoding="ascii", errors="replace") as file:
            kept = file.read(100).strip()
    except FileNotFoundError:
        return ""
    return kept if _SLUG.match(kept) else ""


def _keep(path: str, fresh: str) -> str:
    """Write it down whole or not at all; if another program was quicker, its answer counts."""
    os.makedirs(os.path.dirname(path), exist_ok=True)
    spare = f"{path}.{os.getpid()}"
    with open(spare, "w", encoding="ascii") as file:
        file.write(fresh + "\n")
        file.flush()
        os.fsync(file.fileno())
    try:
        if os.path.exists(path):  # it was there but held no slug
            os.replace(spare, path)
            return fresh
        os.link(spare, path)
    except FileExistsError:
        return _kept(path) or fresh
    except OSError:
        os.replace(spare, path)
        return fresh
    finally:
        if os.path.exists(spare):
            os.unlink(spare)
    return fresh


def _fresh() -> str:
    import platform

    host = re.sub(r"[^a-z0-9]+", "-", platform.node().split(".")[0].lower()).strip("-")[:24].rstrip("-")
    if not host or not host[0].isalpha():
        host = f"laptop-{host}".rstrip("-")
    return f"{host}-{FreshIds().letters(4)}"
