"""The careful way from YAML text to values: every node's place, and every refusal with its reason."""

from __future__ import annotations

from typing import Any

from yaml import YAMLError
from yaml._yaml import CParser
from yaml.events import (
    AliasEvent,
    DocumentEndEvent,
    DocumentStartEvent,
    Event,
    MappingStartEvent,
    NodeEvent,
    ScalarEvent,
    SequenceStartEvent,
    StreamEndEvent,
    StreamStartEvent,
)

from rovlog.documents import refusals
from rovlog.documents.scalars import NumberRefusedError, key_fault, resolve
from rovlog.documents.source import MOST, Source
from rovlog.documents.tree import MAX_DEPTH, MAX_NODES, Node, Style
from rovlog.problems import DocumentError, Problem
from rovlog.values import dataclass, field

_STYLES: dict[str, Style] = {"'": "single", '"': "double", "|": "literal", ">": "folded"}
_FOREIGN = (
    YAMLError,
    ArithmeticError,
    AssertionError,
    AttributeError,
    LookupError,
    RecursionError,
    TypeError,
    ValueError,
)
"""What a YAML parser has been seen to raise, or may; all of it becomes a DocumentError in `build`."""


def build(source: Source) -> tuple[Any, dict[str, Node]]:
    """The document's value, and its nodes by pointer. Raises DocumentError with all problems."""
    reading = _Reading(source)
    try:
        reading.run()
    except _Stop:
        pass
    except _FOREIGN as error:
        reading.problems.append(refusals.syntax(source, error))
    if not reading.problems and reading.root.value == [None]:
        reading.problems.append(refusals.empty(source))
    if reading.problems:
        raise DocumentError(tuple(reading.problems[:MOST]))
    return reading.root.value[0], reading.nodes


def _span(event: Event) -> tuple[int, int]:
    """First and past-the-last index of an event; events from the parser always have marks."""
    start, end = event.start_mark, event.end_mark
    return (start.index if start else 0), (end.index if end else 0)


class _Stop(Exception):  # noqa: N818 - it ends the reading; the error is among the problems already
    """Reading on would tell nothing more."""


@dataclass(slots=True)
class _Frame:
    """One open mapping or sequence. `key` is the key that waits for its value."""

    pointer: str
    value: Any
    node: Node
    is_mapping: bool
    key: str | None = None
    key_span: tuple[int, int] = (-1, -1)
    seen: dict[str, int] = field(default_factory=dict)


class _Reading:
    def __init__(self, source: Source) -> None:
        self.source = source
        self.problems: list[Problem] = []
        self.nodes: dict[str, Node] = {}
        self.root = _Frame("", [], Node("sequence", 0, 0, "block"), False)
        self.frames = [self.root]
        self.count = 0
        self.end = 0

    def run(self) -> None:
        documents = 0
        event_of = CParser(self.source.text).get_event
        while not isinstance(event := event_of(), StreamEndEvent):
            if event is None or len(self.problems) >= MOST:
                break
            if isinstance(event, DocumentStartEvent):
                documents += 1
                self._document(event, documents)
            elif isinstance(event, NodeEvent):
                self._node(event)
            elif not isinstance(event, StreamStartEvent | DocumentEndEvent):
                self._close(event)
        if documents == 0:
            self.problems.append(refusals.empty(self.source))

    def _document(self, event: DocumentStartEvent, documents: int) -> None:
        start, end = _span(event)
        if documents > 1:
            self.problems.append(refusals.second_document(self.source, start))
            raise _Stop
        if event.explicit:
            self.problems += refusals.directives(self.source, end)

    def _node(self, event: NodeEvent) -> None:
        self.count += 1
        start, end = _span(event)
        if self.count > MAX_NODES:
            self.problems.append(refusals.too_many(self.source, start))
            raise _Stop
        frame = self.frames[-1]
        is_key = frame.is_mapping and frame.key is None
        pointer = self._pointer(frame)
        if isinstance(event, AliasEvent):
            self.problems.append(refusals.alias(self.source, start, str(event.anchor), pointer))
            self._add(None, Node("scalar", start, end, "plain"))
            return
        self._refuse_properties(event, start, pointer)
        if isinstance(event, ScalarEvent):
            node = Node("scalar", start, end, _STYLES.get(event.style or "", "plain"))
            self.end = max(self.end, node.end)
            if is_key:
                self._key(event.value, node)
            else:
                self._add(self._scalar(event.value, node, pointer), node)
        elif isinstance(event, MappingStartEvent | SequenceStartEvent):
            self._open(event, start, is_key)

    def _open(self, event: MappingStartEvent | SequenceStartEvent, start: int, is_key: bool) -> None:
        if len(self.frames) > MAX_DEPTH:
            self.problems.append(refusals.too_deep(self.source, start, self._pointer(self.frames[-1])))
            raise _Stop
        is_mapping = isinstance(event, MappingStartEvent)
        kind, style = ("mapping" if is_mapping else "sequence"), ("flow" if event.flow_style else "block")
        node = Node(kind, start, start, style)  # type: ignore[arg-type]
        value: Any = {} if is_mapping else []
        frame = self.frames[-1]
        if is_key:  # read on for the problems inside; nothing of this document will be used
            self.problems.append(refusals.key_is_collection(self.source, start, frame.pointer))
            frame.key, frame.key_span = "?", (start, start + 1)
        pointer = self._pointer(frame)
        if not is_key:
            self._add(value, node)
        self.frames.append(_Frame(pointer, value, node, is_mapping))

    def _close(self, event: Event) -> None:
        frame = self.frames.pop()
        if frame.node.style == "flow":
            frame.node.end = _span(event)[1]
            self.end = max(self.end, frame.node.end)
        else:
            frame.node.end = max(self.end, frame.node.start)

    def _refuse_properties(self, event: NodeEvent, start: int, pointer: str) -> None:
        text = self.source.text
        if event.anchor is not None:
            self.problems.append(refusals.anchor(self.source, start, event.anchor, pointer))
        # A lone `!` leaves no tag in the event; but no node begins with an exclamation mark.
        if getattr(event, "tag", None) is not None or text.startswith("!", start):
            self.problems.append(refusals.tag(self.source, max(start, text.find("!", start)), pointer))

    def _key(self, text: str, node: Node) -> None:
        frame = self.frames[-1]
        pointer = f"{frame.pointer}/{text}"
        fault = key_fault(text, node.style == "plain")
        if fault is not None:
            self.problems.append(refusals.bad_key(self.source, node, frame.pointer, text, fault))
        elif text in frame.seen:
            self.problems.append(refusals.duplicate(self.source, node, pointer, text, frame.seen[text]))
        else:
            frame.seen[text] = node.start
        frame.key, frame.key_span = text, (node.start, node.end)

    def _scalar(self, text: str, node: Node, pointer: str) -> Any:
        if node.style != "plain":
            return text
        try:
            return resolve(text)
        except NumberRefusedError as error:
            self.problems.append(refusals.number(self.source, node, pointer, text, error.rule))
            return None

    def _pointer(self, frame: _Frame) -> str:
        if frame is self.root:
            return ""
        if frame.is_mapping:
            return frame.pointer if frame.key is None else f"{frame.pointer}/{frame.key}"
        return f"{frame.pointer}/{len(frame.value)}"

    def _add(self, value: Any, node: Node) -> None:
        frame = self.frames[-1]
        self.nodes[self._pointer(frame)] = node
        if frame.is_mapping:
            frame.value[frame.key if frame.key is not None else "?"] = value
            node.key_start, node.key_end = frame.key_span
            frame.key = None
        else:
            frame.value.append(value)
