"""JSON Pointers (RFC 6901) into the resolved configuration: read, put, compare leaf by leaf."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from typing import Any, Final

from rovlog.domain.nearest import nearest
from rovlog.problems import UsageError


class Missing:
    """The type of MISSING."""

    __slots__ = ()

    def __repr__(self) -> str:
        return "MISSING"


MISSING: Final = Missing()
"""Stands where one side has no value; never part of a document."""

_POINTER = re.compile(r"(/([^~/]|~[01])*)*")
_INDEX = re.compile(r"0|[1-9][0-9]*")


def is_pointer(text: str) -> bool:
    """True if the text has the syntax of RFC 6901, section 3 ("" is the whole document)."""
    return _POINTER.fullmatch(text) is not None


def escape(token: str) -> str:
    """A member's name as it stands in a pointer (RFC 6901, section 3)."""
    return token.replace("~", "~0").replace("/", "~1")


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
        inner = find(parent, "/" + escape(token))
        if inner is MISSING:
            break
        parent, reached = inner, f"{reached}/{escape(token)}"
    raise UsageError(f"there is nothing at {pointer}", _nearest_mend(parent, reached, child))


def _nearest_mend(parent: Any, reached: str, child: str) -> str:
    if not isinstance(parent, Mapping) or not parent:
        return f"{reached or 'the whole'} has nothing inside; stop there"
    near = nearest(child, parent)
    if near:
        return f"did you mean {reached}/{escape(near)}?"
    return f"{reached or 'the whole'} has: {', '.join(sorted(parent))}"


def put(document: Any, pointer: str, value: Any) -> Any:
    """A copy of the document with the value at the pointer; MISSING or None takes the member out.

    Mappings along the way are made where they are missing; an index must exist, or be the next one.
    """
    return _put(document, tokens(pointer), value)


def _put(document: Any, path: list[str], value: Any) -> Any:
    if not path:
        return value
    token, rest = path[0], path[1:]
    removes = not rest and (value is MISSING or value is None)
    if isinstance(document, Sequence) and not isinstance(document, str):
        rows = list(document)
        if not _INDEX.fullmatch(token) or int(token) > len(rows) - removes:
            raise UsageError(f"a list of {len(rows)} has no place {token!r}")
        if removes:
            del rows[int(token)]
        elif int(token) == len(rows):
            rows.append(_put({}, rest, value))
        else:
            rows[int(token)] = _put(rows[int(token)], rest, value)
        return rows
    members = dict(document) if isinstance(document, Mapping) else {}
    if removes:
        members.pop(token, None)
    else:
        members[token] = _put(members.get(token, {}), rest, value)
    return members


def is_same(a: Any, b: Any) -> bool:
    """Equality of JSON values: 3 equals 3.0, true is not 1."""
    if isinstance(a, Mapping) and isinstance(b, Mapping):
        return a.keys() == b.keys() and all(is_same(a[key], b[key]) for key in a)
    if _is_list(a) and _is_list(b):
        return len(a) == len(b) and all(map(is_same, a, b))
    return isinstance(a, bool) == isinstance(b, bool) and bool(a == b)


def differences(a: Any, b: Any) -> list[tuple[str, Any, Any]]:
    """Where two documents differ, leaf by leaf, in order of pointer: (pointer, a's value, b's value).

    Members of mappings are followed; lists of mappings of equal length (control entries, points)
    are compared by position; any other list is one value, as is what only one side has. The side
    without a value has MISSING.
    """
    return list(_differences(a, b, ""))


def _differences(a: Any, b: Any, pointer: str) -> Iterator[tuple[str, Any, Any]]:
    if isinstance(a, Mapping) and isinstance(b, Mapping):
        for key in sorted({*a, *b}):
            yield from _differences(a.get(key, MISSING), b.get(key, MISSING), f"{pointer}/{escape(key)}")
    elif _are_rows(a) and _are_rows(b) and len(a) == len(b):
        for index, (one, other) in enumerate(zip(a, b, strict=True)):
            yield from _differences(one, other, f"{pointer}/{index}")
    elif a is MISSING or b is MISSING or not is_same(a, b):
        yield pointer, a, b


def _is_list(value: Any) -> bool:
    return isinstance(value, Sequence) and not isinstance(value, str | bytes)


def _are_rows(value: Any) -> bool:
    return _is_list(value) and all(isinstance(row, Mapping) for row in value)
