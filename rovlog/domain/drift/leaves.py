"""Pointers into a resolved object: reading, replacing and comparing its values leaf by leaf."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from enum import Enum
from typing import Any, Final


class Absence(Enum):
    """The source was looked at and holds no such value; None means that it does not speak of it."""

    ABSENT = "absent"

    def __repr__(self) -> str:
        return "ABSENT"


ABSENT: Final = Absence.ABSENT

Difference = tuple[str, Any, Any]
"""Pointer, value before, value after; ABSENT where one side has no such value."""


def escaped(token: str) -> str:
    """One reference token in its escaped form (RFC 6901 section 3)."""
    return token.replace("~", "~0").replace("/", "~1")


def tokens(pointer: str) -> tuple[str, ...]:
    """The pointer's reference tokens, unescaped; "" gives none."""
    if not pointer:
        return ()
    return tuple(t.replace("~1", "/").replace("~0", "~") for t in pointer.removeprefix("/").split("/"))


def value_at(resolved: Any, pointer: str) -> Any:
    """The value at a pointer, or ABSENT."""
    value = resolved
    for token in tokens(pointer):
        if isinstance(value, Mapping) and token in value:
            value = value[token]
        elif _is_list(value) and token.isdigit() and int(token) < len(value):
            value = value[int(token)]
        else:
            return ABSENT
    return value


def with_value(resolved: Mapping[str, Any], pointer: str, value: Any) -> dict[str, Any]:
    """A copy with one value replaced, added, or (ABSENT) taken away; nothing else is changed.

    Mappings missing on the way are added. A list index beyond the list's end is added at the end. The
    last share of a demand and the last limit take their mapping with them, as a configuration has it.
    """
    path = list(tokens(pointer))
    changed = dict(_with(resolved, path, value))
    is_member = path[:1] == ["limits"] or (path[:2] == ["thruster_map", "shares"] and len(path) == 4)
    if value is ABSENT and len(path) > 1 and is_member and value_at(changed, _above(pointer)) == {}:
        changed = dict(_with(changed, path[:-1], ABSENT))
    return changed


def _above(pointer: str) -> str:
    return pointer.rpartition("/")[0]


def _with(node: Any, path: list[str], value: Any) -> Any:
    head, rest = path[0], path[1:]
    if _is_list(node) and head.isdigit():
        items: list[Any] = list(node)
        index = int(head)
        if value is ABSENT and not rest:
            return items[:index] + items[index + 1 :]
        if index >= len(items):
            return [*items, _with({}, rest, value) if rest else value]
        items[index] = _with(items[index], rest, value) if rest else value
        return items
    mapping = dict(node) if isinstance(node, Mapping) else {}
    if not rest and value is ABSENT:
        mapping.pop(head, None)
    elif rest:
        mapping[head] = _with(mapping.get(head, {}), rest, value)
    else:
        mapping[head] = value
    return mapping


def is_same(a: Any, b: Any) -> bool:
    """Equal as JSON values: 1 and 1.0 are the same number, true is no number."""
    if isinstance(a, bool) or isinstance(b, bool):
        return a is b
    if isinstance(a, Mapping) and isinstance(b, Mapping):
        return a.keys() == b.keys() and all(is_same(a[k], b[k]) for k in a)
    if _is_list(a) and _is_list(b):
        return len(a) == len(b) and all(is_same(x, y) for x, y in zip(a, b, strict=True))
    return bool(a == b)


def differences(before: Any, after: Any, pointer: str = "") -> list[Difference]:
    """Every difference at the smallest pointer that still makes sense alone, in order of pointer.

    A list of numbers (a position) is one value; a list of mappings of equal length is compared entry
    by entry. What only one side has is one difference, except in the mappings of numbers that may
    be missing as a whole (trims, shares, limits), which are compared value by value.
    """
    if before is after:
        return []
    if isinstance(before, Mapping) and isinstance(after, Mapping):
        found: list[Difference] = []
        for key in sorted({*before, *after}):
            found += differences(
                before.get(key, ABSENT), after.get(key, ABSENT), f"{pointer}/{escaped(str(key))}"
            )
        return found
    there = after if before is ABSENT else before
    if _is_open(pointer) and (before is ABSENT or after is ABSENT) and isinstance(there, Mapping):
        return differences({} if before is ABSENT else before, {} if after is ABSENT else after, pointer)
    if _are_entries(before) and _are_entries(after) and len(before) == len(after):
        found = []
        for index, (one, other) in enumerate(zip(before, after, strict=True)):
            found += differences(one, other, f"{pointer}/{index}")
        return found
    return [] if is_same(before, after) else [(pointer, before, after)]


def leaves(resolved: Any, pointer: str = "") -> dict[str, Any]:
    """Pointer and value of every leaf, cut as `differences` cuts them."""
    if isinstance(resolved, Mapping):
        found: dict[str, Any] = {}
        for key in sorted(resolved):
            found |= leaves(resolved[key], f"{pointer}/{escaped(str(key))}")
        return found
    if _are_entries(resolved) and resolved:
        found = {}
        for index, entry in enumerate(resolved):
            found |= leaves(entry, f"{pointer}/{index}")
        return found
    return {pointer: resolved}


def _is_open(pointer: str) -> bool:
    path = tokens(pointer)
    is_shares = path[:2] == ("thruster_map", "shares") and len(path) <= 3
    return path in {("trim_defaults",), ("limits",)} or is_shares


def _is_list(value: Any) -> bool:
    return isinstance(value, Sequence) and not isinstance(value, str | bytes)


def _are_entries(value: Any) -> bool:
    return _is_list(value) and all(isinstance(entry, Mapping) for entry in value)
