"""Whether a pointer can lead anywhere in documents of a schema."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any


def missing_step(
    schema: Mapping[str, Any], node: Mapping[str, Any], path: Sequence[str]
) -> tuple[int, list[str]] | None:
    """The first step that no valid document has, with the names there are instead; None if all exist.

    A `*` stands for any key of a mapping whose keys are free.
    """
    current: Any = node
    for index, token in enumerate(path):
        current = _resolved(schema, current)
        properties = current.get("properties", {})
        if token in properties:
            current = properties[token]
        elif isinstance(current.get("additionalProperties"), Mapping):
            names = _key_names(schema, current)
            if token != "*" and names and token not in names:
                return index, names
            current = current["additionalProperties"]
        elif "items" in current and token.isdecimal():
            current = current["items"]
        else:
            return index, sorted(properties)
    return None


def takes_any_name(schema: Mapping[str, Any], node: Mapping[str, Any], path: Sequence[str]) -> bool:
    """True where the mapping at the path, which leads somewhere, has names that people give."""
    current: Any = _resolved(schema, node)
    for token in path:
        inner = current.get("properties", {}).get(token) or current.get("additionalProperties")
        current = _resolved(schema, inner if isinstance(inner, Mapping) else current["items"])
    is_free = isinstance(current.get("additionalProperties"), Mapping)
    return is_free and not current.get("properties") and not _key_names(schema, current)


def _resolved(schema: Mapping[str, Any], node: Mapping[str, Any]) -> Mapping[str, Any]:
    while "$ref" in node:
        node = schema["$defs"][node["$ref"].rpartition("/")[2]]
    return node


def _key_names(schema: Mapping[str, Any], node: Mapping[str, Any]) -> list[str]:
    names = _resolved(schema, node.get("propertyNames", {}))
    return list(names.get("enum", ()))
