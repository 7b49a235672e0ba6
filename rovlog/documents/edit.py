"""Changing one value in a person's YAML and leaving the rest as it was written.

Work is on decoded text, since marks count characters. Single-line plain and quoted scalars are
replaced in place; anything else rewrites the entry, or the smallest enclosing mapping. Every
result is parsed and must equal the old document with exactly that value changed and no comment
lost; else the next way is tried, and at the end the write is refused and the line shown.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from rovlog.documents.edit_check import all_comments, in_order_of, is_accepted, is_same, plain
from rovlog.documents.edit_spans import Spans
from rovlog.documents.source import BYTE_ORDER_MARK, shown
from rovlog.documents.tree import Tree, read
from rovlog.documents.write import quoted, readable_text
from rovlog.problems import DocumentError, Problem


def replace_value(data: bytes, file: str, pointer: str, new: Any) -> bytes:
    """The document with another value at a pointer that exists. Raises DocumentError, UsageError.

    Where old and new are mappings, or lists of one length, only what differs in them is changed.
    """
    tree = read(data, file)
    if tree.node(pointer) is None:
        raise _refused(tree, pointer, "missing-key", "there is no such value here", "add the key first")
    new = in_order_of(_at(tree.value, pointer), plain(new))
    if is_same(_at(tree.value, pointer), new):
        return data
    expected = _with_value(tree.value, pointer, new)
    if _is_alike(_at(tree.value, pointer), new):
        try:
            return _replace_parts(data, file, pointer, _at(tree.value, pointer), new)
        except DocumentError:
            pass  # part by part did not work: the ways below rewrite the whole value, or refuse
    return _first_accepted(tree, pointer, expected, _ways_to_replace(tree, pointer, new, expected))


def add_key(data: bytes, file: str, pointer: str, key: str, value: Any) -> bytes:
    """The document with a further key at the end of the mapping at a pointer."""
    tree = read(data, file)
    mapping = _at(tree.value, pointer) if tree.node(pointer) else None
    if not isinstance(mapping, dict):
        raise _refused(tree, pointer, "not-a-mapping", "no mapping stands here", "write one by hand first")
    if key in mapping:
        raise _refused(
            tree, f"{pointer}/{key}", "duplicate-key", f"the key {shown(key)} is here", "replace it"
        )
    value = plain(value)
    changed = {**mapping, key: value}
    expected = _with_value(tree.value, pointer, changed)
    spans = Spans(tree)
    ways = [spans.with_key(pointer, key, value), spans.rewritten(pointer, changed)]
    return _first_accepted(tree, pointer, expected, (way for group in ways for way in group))


def remove_key(data: bytes, file: str, pointer: str) -> bytes:
    """The document without a key of a mapping; a comment on its line stays as a line of its own."""
    tree = read(data, file)
    above, _, key = pointer.rpartition("/")
    mapping = _at(tree.value, above) if tree.node(pointer) else None
    if not isinstance(mapping, dict) or key not in mapping:
        raise _refused(
            tree, pointer, "missing-key", "there is no such key here", "look at the name of the key"
        )
    changed = {k: v for k, v in mapping.items() if k != key}
    expected = _with_value(tree.value, above, changed)
    spans = Spans(tree)
    ways = [spans.without_key(pointer, list(mapping)), spans.rewritten(above, changed)]
    return _first_accepted(tree, pointer, expected, (way for group in ways for way in group))


def _ways_to_replace(tree: Tree, pointer: str, new: Any, expected: Any) -> Iterator[str]:
    """Candidate texts, the least change first."""
    scalar = tree.scalar(pointer)
    is_line = scalar is not None and scalar.style not in ("literal", "folded") and scalar.raw != ""
    if (
        scalar is not None
        and is_line
        and not set(scalar.raw) & set("\r\n")
        and not isinstance(new, dict | list)
    ):
        keeps_quotes = isinstance(new, str) and scalar.style != "plain"
        piece = quoted(new) if keeps_quotes else readable_text(new)
        yield tree.text[: scalar.start] + piece + tree.text[scalar.end :]
    spans = Spans(tree)
    yield from spans.rewritten(pointer, new)
    above = pointer.rpartition("/")[0]
    while above and not isinstance(_at(tree.value, above), dict):
        above = above.rpartition("/")[0]
    yield from spans.rewritten(above, _at(expected, above))


def _replace_parts(data: bytes, file: str, pointer: str, old: Any, new: Any) -> bytes:
    """One change after the other, each checked by itself; so comments inside the value stay."""
    if isinstance(old, list):
        for index, (one, other) in enumerate(zip(old, new, strict=True)):
            if not is_same(one, other):
                data = replace_value(data, file, f"{pointer}/{index}", other)
        return data
    for key in old:
        if key in new and not is_same(old[key], new[key]):
            data = replace_value(data, file, f"{pointer}/{key}", new[key])
    for key in new:
        if key not in old:
            data = add_key(data, file, pointer, key, new[key])
    for key in old:
        if key not in new:
            data = remove_key(data, file, f"{pointer}/{key}")
    return data


def _is_alike(old: Any, new: Any) -> bool:
    if isinstance(old, dict) and isinstance(new, dict):
        return bool(old) and bool(new)
    return isinstance(old, list) and isinstance(new, list) and len(old) == len(new) and bool(old)


def _first_accepted(tree: Tree, pointer: str, expected: Any, ways: Iterable[str]) -> bytes:
    comments = all_comments(tree)
    for candidate in ways:
        if is_accepted(candidate, tree.file, expected, comments):
            return ((BYTE_ORDER_MARK if tree.source.has_mark else "") + candidate).encode()
    raise _refused(
        tree,
        pointer,
        "not-rewritable",
        "this cannot be changed without changing more than this",
        "change the line by hand",
    )


def _refused(tree: Tree, pointer: str, rule: str, message: str, mend: str) -> DocumentError:
    problem: Problem = tree.problem(pointer, rule, message, "", "", mend)
    return DocumentError((problem,))


def _at(value: Any, pointer: str) -> Any:
    for part in pointer.split("/")[1:]:
        value = value[int(part)] if isinstance(value, list) else value[part]
    return value


def _with_value(value: Any, pointer: str, new: Any) -> Any:
    """A copy of the value with another one at a pointer."""
    if not pointer:
        return new
    first, _, rest = pointer[1:].partition("/")
    rest = f"/{rest}" if rest else ""
    if isinstance(value, list):
        index = int(first)
        return [*value[:index], _with_value(value[index], rest, new), *value[index + 1 :]]
    return {k: _with_value(v, rest, new) if k == first else v for k, v in value.items()}
