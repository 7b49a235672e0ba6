"""What a pointer into a document is called in a sentence: "polarity of thruster bow-port"."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

ROW_NAMES = ("thruster", "housing", "load", "item", "control", "value", "finding", "what", "title", "command")
"""Keys by which a row of a list is called, the first that is there."""


def subject(document: Any, pointer: str) -> str:
    """The thing at the pointer in words; "the document" for the whole."""
    path = pointer.split("/")[1:]
    if not path:
        return "the document"
    parent = "/".join(path[:-1])
    values = _values_along(document, path[:-1])
    if path[-1].isdecimal() and isinstance(values[-1], list):
        return _row(values[-1], path[-1], path[:-1])
    if len(path) == 1:
        return path[0]
    if path[-2].isdecimal() and len(values) > 1 and isinstance(values[-2], list):
        if path[-1] in ROW_NAMES and path[-1] == _called_by(values[-1]):
            return path[-1]
        if path[-1] == "kind" and path[-3] == "entries":
            return f"kind of entry {int(path[-2]) + 1}"
        return f"{path[-1]} of {_row(values[-2], path[-2], path[:-2])}"
    return f"{path[-1]} of {_container(parent.split('/'))}"


def singular(word: str) -> str:
    """The name of one row of a list: thrusters, a thruster; entries, an entry."""
    if word.endswith("ies"):
        return word[:-3] + "y"
    return word.removesuffix("s")


def _container(path: list[str]) -> str:
    if len(path) >= 2 and path[-2].endswith("s") and not path[-1].isdecimal():
        return f"{singular(path[-2]).replace('_', ' ')} {path[-1]}"
    if len(path) >= 2 and path[-1].isdecimal():
        return f"{singular(path[-2]).replace('_', ' ')} {path[-1]}"
    return path[-1]


def _row(rows: Any, index: str, path: list[str]) -> str:
    place = int(index)
    row = rows[place] if place < len(rows) else None
    holder = singular(path[-1]) if path else "row"
    if isinstance(row, Mapping):
        if "kind" in row and holder == "entry":
            return f"entry {place + 1} ({row['kind']})"
        key = _called_by(row)
        if key:
            return f"{key} {row[key]}"
    return f"{holder.replace('_', ' ')} {place + 1}"


def _called_by(row: Any) -> str:
    found = (
        key for key in ROW_NAMES if isinstance(row, Mapping) and isinstance(row.get(key), str | int | float)
    )
    return next(found, "")


def _values_along(document: Any, path: list[str]) -> list[Any]:
    values = [document]
    for token in path:
        inner = values[-1]
        if isinstance(inner, Mapping):
            values.append(inner.get(token))
        elif isinstance(inner, list) and token.isdecimal() and int(token) < len(inner):
            values.append(inner[int(token)])
        else:
            values.append(None)
    return values
