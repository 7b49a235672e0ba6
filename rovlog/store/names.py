"""Which names a record may have: relative, inside the tree, and the same file on every system."""

from __future__ import annotations

import re

from rovlog.problems import UsageError

DEVICES = frozenset(
    ("con", "prn", "aux", "nul", *(f"com{n}" for n in range(10)), *(f"lpt{n}" for n in range(10)))
)
"""Names that some systems give to devices, whatever follows the first dot."""

_SIMPLE = re.compile(r"[A-Za-z0-9_][A-Za-z0-9_.+-]*(?<!\.)\Z")


def checked_parts(name: str) -> tuple[str, ...]:
    """The parts of a name relative to the logbook, e.g. ("vehicles", "kelpie.yaml").

    Raises:
        UsageError: the name is empty, absolute, climbs out of the tree, goes into git's own
            folder, names a device, or holds a character that not every system allows.
    """
    parts = tuple(name.split("/"))
    for part in parts:
        reason = _reason_against(part)
        if reason:
            raise UsageError(
                f"{name!r} cannot be the name of a record: {reason}",
                "use a name inside the logbook, with forward slashes, such as vehicles/kelpie.yaml",
            )
    return parts


def _reason_against(part: str) -> str:
    if _SIMPLE.match(part) and part.split(".", 1)[0].lower() not in DEVICES:
        return ""
    if part in ("", "."):
        return "it is empty, absolute or has an empty part"
    if part == "..":
        return "it climbs out of its folder"
    if part.lower() in (".git", "git~1"):
        return "it lies in git's own folder"
    if part.split(".", 1)[0].rstrip(" ").lower() in DEVICES:
        return f"{part!r} is the name of a device on some systems"
    if part[-1] in ". ":
        return "a part ends in a dot or a blank"
    if any(c in '\\:*?"<>|' or not c.isprintable() for c in part):
        return "it holds a character that not every system allows in a name"
    return ""
