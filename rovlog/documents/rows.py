"""Reading documents that may be wrong: what has the expected type comes out, the rest is skipped.

The schema reports wrong types; the rules only look at what can be judged.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any


def mapping(value: Any, *keys: str) -> Mapping[str, Any]:
    """The mapping at those keys, empty where there is none."""
    for key in keys:
        value = value.get(key) if isinstance(value, Mapping) else None
    return value if isinstance(value, Mapping) else {}


def rows(value: Any, pointer: str, *keys: str) -> Iterator[tuple[str, Mapping[str, Any]]]:
    """Pointer and mapping of each row of the list at those keys."""
    for key in keys:
        value = value.get(key) if isinstance(value, Mapping) else None
        pointer += f"/{key}"
    for index, row in enumerate(value if isinstance(value, list) else ()):
        if isinstance(row, Mapping):
            yield f"{pointer}/{index}", row


def members(value: Any, pointer: str, *keys: str) -> Iterator[tuple[str, str, Mapping[str, Any]]]:
    """Pointer, key and mapping of each member of the mapping at those keys."""
    held = mapping(value, *keys)
    pointer += "".join(f"/{key}" for key in keys)
    for key, row in held.items():
        if isinstance(row, Mapping):
            yield f"{pointer}/{key}", key, row


def text(row: Mapping[str, Any], key: str) -> str:
    """The text under the key, "" where there is none."""
    value = row.get(key)
    return value if isinstance(value, str) else ""


def number(row: Mapping[str, Any], key: str) -> float | None:
    """The number under the key, None where there is none; true and false are no numbers."""
    value = row.get(key)
    return None if isinstance(value, bool) or not isinstance(value, int | float) else value


def whole(row: Mapping[str, Any], key: str) -> int | None:
    """The whole number under the key, also where it is written 3.0; None where there is none."""
    value = number(row, key)
    return int(value) if value is not None and value == int(value) else None


def said(value: float) -> str:
    """A number as it is written in messages."""
    return f"{value:g}"
