"""What must hold after a document was changed: the one value differs, and no comment was lost."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Mapping
from typing import Any

from rovlog.documents.tree import Tree, read
from rovlog.problems import DocumentError

_COMMENT = re.compile(r"(?:(?<=[ \t\r\n])|\A)#[^\r\n]*")


def is_same(one: Any, other: Any) -> bool:
    """Equal in value, type and order of keys (1, 1.0 and true differ, and so do 0.0 and -0.0)."""
    if type(one) is not type(other):
        return False
    if isinstance(one, dict):
        return list(one) == list(other) and all(is_same(v, other[k]) for k, v in one.items())
    if isinstance(one, list):
        return len(one) == len(other) and all(map(is_same, one, other))
    return repr(one) == repr(other)


def plain(value: Any) -> Any:
    """The value as the reader would give it: mappings as dict, sequences as list."""
    if isinstance(value, Mapping):
        return {str(k): plain(v) for k, v in value.items()}
    if isinstance(value, list | tuple):
        return [plain(v) for v in value]
    return value


def in_order_of(old: Any, new: Any) -> Any:
    """The new value with keys that the old one has in the old one's order, further keys after them."""
    if isinstance(old, dict) and isinstance(new, dict):
        kept = {k: in_order_of(old[k], new[k]) for k in old if k in new}
        return kept | {k: v for k, v in new.items() if k not in old}
    if isinstance(old, list) and isinstance(new, list) and len(old) == len(new):
        return [in_order_of(a, b) for a, b in zip(old, new, strict=True)]
    return new


def comments_between(tree: Tree, start: int, end: int) -> list[str]:
    """Comments that begin in this part of the text, each from its `#` to the end of its line."""
    return [text for index, text in _comments(tree) if start <= index < end]


def is_accepted(candidate: str, file: str, expected: Any, comments: Counter[str]) -> bool:
    """True where the text reads as exactly what is expected, with all comments."""
    try:
        tree = read(candidate.encode(), file)
    except DocumentError:
        return False
    return is_same(tree.value, expected) and all_comments(tree) == comments


def all_comments(tree: Tree) -> Counter[str]:
    """Every comment of the document with how often it stands there, without blanks at its end."""
    return Counter(text.rstrip() for _, text in _comments(tree))


def _comments(tree: Tree) -> Iterator[tuple[int, str]]:
    """Comments with their index: what begins with `#` outside of all scalars."""
    masked = list(tree.text)
    for pointer in tree.pointers():
        node = tree.node(pointer)
        if node is None:
            continue
        spans = [(node.key_start, node.key_end)] if node.key_start >= 0 else []
        if node.kind == "scalar":
            spans.append((_content_start(tree.text, node.start, node.style), node.end))
        for start, end in spans:
            masked[start:end] = [c if c in "\r\n" else "x" for c in masked[start:end]]
    for match in _COMMENT.finditer("".join(masked)):
        yield match.start(), match.group()


def _content_start(text: str, start: int, style: str) -> int:
    """A block scalar may have a comment after its `|` or `>`: its content begins on the next line."""
    if style not in ("literal", "folded"):
        return start
    match = re.compile(r"[^\r\n]*").match(text, start)
    return match.end() if match else start
