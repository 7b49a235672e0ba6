"""JSON Pointers (RFC 6901) as people type them: their syntax, and finding what they point at."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Any, Final

from rovlog.domain.drift.leaves import ABSENT, escaped
from rovlog.domain.nearest import nearest
from rovlog.problems import UsageError

MISSING: Final = ABSENT
"""Stands where one side has no value; never part of a document."""

_POINTER = re.compile(r"(/([^~/]|~[01])*)*")
_INDEX = re.compile(r"0|[1-9][0-9]*")


def is_pointer(text: str) -> bool:
    """True if the text has the syntax of RFC 6901, section 3 ("" is the whole document)."""
    return _POINTER.fullmatch(text) is not None


def tokens(pointer: str) -> list[str]:
    """Names and indices along the pointer, unescaped. Raises UsageError where the syntax is wrong."""
    if not is_pointer(pointer):
        raise UsageError(
            f"{pointer!r} is no pointer into a configuration",
            "begin with / and write ~1 for / and ~0 for ~ inside a name, as /electrical/fuse/rating_a",
        )
    return [token.replace("~1", "/").replace("~0", "~") for token in pointer.split("/")[1:]]


def find(document: Any, pointer: str) -> Any:
    """The value at the pointer, or MISSING. Raises UsageError where the syntax is wrong."""
    value = document
    for token in tokens(pointer):
        if isinstance(value, Mapping):
            value = value.get(token, MISSING)
        elif isinstance(value, Sequence) and not isinstance(value, str) and _INDEX.fullmatch(token):
            value = value[int(token)] if int(token) < len(value) else MISSING
        else:
            return MISSING
        if value is MISSING:
            return MISSING
    return value


def lookup(document: Any, pointer: str) -> Any:
    """The value at the pointer. Raises UsageError where there is none, with the nearest that exists."""
    value = find(document, pointer)
    if value is not MISSING:
        return value
    parent, child = document, ""
    path = tokens(pointer)
    reached = ""
    for token in path:
        child = token
        inner = find(parent, "/" + escaped(token))
        if inner is MISSING:
            break
        parent, reached = inner, f"{reached}/{escaped(token)}"
    raise UsageError(f"there is nothing at {pointer}", _nearest_mend(parent, reached, child))


def _nearest_mend(parent: Any, reached: str, child: str) -> str:
    if not isinstance(parent, Mapping) or not parent:
        return f"{reached or 'the whole'} has nothing inside; stop there"
    near = nearest(child, parent)
    if near:
        return f"did you mean {reached}/{escaped(near)}?"
    return f"{reached or 'the whole'} has: {', '.join(sorted(parent))}"
