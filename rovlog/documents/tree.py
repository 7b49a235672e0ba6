"""YAML documents as plain values with their places: the one door through which YAML comes in.

libyaml delivers events; scalars are resolved here (see `scalars`). What a record must not hold
(anchors, aliases, merge keys, tags, directives, a second document, duplicate keys, keys that are
no names) is refused with its place, all of it at once. Only DocumentError comes out.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Literal, cast

from rovlog.documents.source import BYTE_ORDER_MARK, MAX_BYTES, Source, decode, is_usual
from rovlog.problems import Place, Problem
from rovlog.values import dataclass

MAX_DEPTH = 32
"""The deepest nesting of mappings and sequences."""

MAX_NODES = 50_000
"""The most nodes (keys count) a document may have."""

Style = Literal["plain", "single", "double", "literal", "folded"]
Kind = Literal["scalar", "mapping", "sequence"]


@dataclass(frozen=True, slots=True)
class Scalar:
    """A scalar as written: its raw text with quotes, and where it stands in the document's text."""

    raw: str
    style: Style
    start: int
    end: int


@dataclass(slots=True)
class Node:
    """Where one value and its key stand, as indices into the text; key_start is -1 without a key.

    `end` is exact for flow collections and for plain and quoted scalars; a block scalar ends where
    the next content or comment begins, a block collection at the end of its last scalar.
    """

    kind: Kind
    start: int
    end: int
    style: Style | Literal["flow", "block"]
    key_start: int = -1
    key_end: int = -1


class Tree:
    """One document: `value` in plain Python values, and the place of everything in it.

    Pointers are RFC 6901; keys never hold `/` or `~`, so no escapes occur.
    """

    __slots__ = ("_nodes", "source", "value")

    def __init__(self, source: Source, value: Any, nodes: dict[str, Node]) -> None:
        """Take what the reader built."""
        self.source = source
        self.value = value
        self._nodes = nodes

    @property
    def file(self) -> str:
        """The file's name as messages show it."""
        return self.source.file

    @property
    def text(self) -> str:
        """The document's text, without byte order mark."""
        return self.source.text

    def node(self, pointer: str) -> Node | None:
        """Where a value stands, None where it does not exist."""
        return self._nodes.get(pointer)

    def pointers(self) -> Iterator[str]:
        """Pointers of all values, in the order of the text, a mapping or list before what it holds."""
        return iter(self._nodes)

    def nearest(self, pointer: str) -> str:
        """The pointer itself, or the nearest ancestor that exists."""
        while pointer not in self._nodes and pointer:
            pointer = pointer.rpartition("/")[0]
        return pointer if pointer in self._nodes else ""

    def place(self, pointer: str) -> Place:
        """Place of a value; of its key where the value is left empty; else of the nearest ancestor."""
        return self.source.place(self._span(pointer, at_key=False)[0])

    def key_place(self, pointer: str) -> Place:
        """Place of the key that holds this value; of the value where it has no key."""
        return self.source.place(self._span(pointer, at_key=True)[0])

    def scalar(self, pointer: str) -> Scalar | None:
        """The scalar as written, None where there is none."""
        node = self._nodes.get(pointer)
        if node is None or node.kind != "scalar":
            return None
        return Scalar(self.text[node.start : node.end], cast(Style, node.style), node.start, node.end)

    def line_text(self, line: int) -> str:
        """A line, counted from 1, without its line end."""
        return self.source.line_text(line)

    def problem(
        self,
        pointer: str,
        rule: str,
        message: str,
        found: str,
        expected: str,
        mend: str,
        *,
        at_key: bool = False,
    ) -> Problem:
        """A problem with its place, line and caret width, pointing at the value or at its key."""
        start, end = self._span(pointer, at_key)
        return self.source.problem(
            start, end - start, pointer, rule, message, found=found, expected=expected, mend=mend
        )

    def _span(self, pointer: str, at_key: bool) -> tuple[int, int]:
        nearest = self.nearest(pointer)
        node = self._nodes[nearest]
        if node.key_start >= 0 and ((at_key and nearest == pointer) or node.start == node.end):
            return node.key_start, node.key_end
        return node.start, node.end if node.kind == "scalar" else node.start + 1


class KnownTree(Tree):
    """The tree of a document whose value is known already: parsed once a place in it is asked for."""

    def __init__(self, value: Any, data: bytes, file: str) -> None:
        """Take the value that `read` would find in these bytes."""
        self.value = value
        self._data = data
        self._file = file

    @property
    def file(self) -> str:
        """The file's name as messages show it."""
        return self._file

    def __getattr__(self, name: str) -> Any:
        """`source` and the nodes, at the first time."""
        if name not in ("source", "_nodes"):
            raise AttributeError(name)
        whole = read(self._data, self._file)
        self.source, self._nodes = whole.source, whole._nodes
        return getattr(self, name)


def read(data: bytes, file: str) -> Tree:
    """The document with all places. Raises DocumentError with every problem found."""
    from rovlog.documents.reading import build

    source = decode(data, file)
    value, nodes = build(source)
    return Tree(source, value, nodes)


def read_value(data: bytes, file: str) -> Any:
    """The document's plain values only, several times faster than `read`, with the same refusals."""
    from yaml import YAMLError

    from rovlog.documents.fast_reading import NotPlainError, values

    if 0 < len(data) <= MAX_BYTES and b"\0" not in data:
        try:
            text = data.decode("utf-8").removeprefix(BYTE_ORDER_MARK)
            if text.isascii() or is_usual(text):  # libyaml itself refuses control characters
                return values(text, MAX_DEPTH, MAX_NODES)
        except (YAMLError, NotPlainError, ValueError, RecursionError):
            return read(data, file).value
    return read(data, file).value
