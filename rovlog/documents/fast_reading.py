"""The quick way from YAML text to plain values: no places, and at the first doubt it gives up.

`reading` decides every doubtful case, says why and where; the two agree on what both accept.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

from yaml._yaml import CParser
from yaml.events import (
    DocumentEndEvent,
    DocumentStartEvent,
    MappingEndEvent,
    MappingStartEvent,
    ScalarEvent,
    SequenceEndEvent,
    SequenceStartEvent,
    StreamEndEvent,
    StreamStartEvent,
)

from rovlog.documents.scalars import WORDS, key_fault, resolve

_MAY_BE_PROPERTY = re.compile(r"(?<![^\s\[{,:?-])(?:!|&\S)")
"""What could be a tag or an anchor: a doubt, cheaper to find in the text than at every event.

A lone `!` leaves no trace in the events at all.
"""


class NotPlainError(Exception):
    """Something here needs the careful reader."""


def values(text: str, max_depth: int, max_nodes: int) -> Any:
    """Plain values of one document. Raises NotPlainError or what the parser raises at any doubt."""
    if ("!" in text or "&" in text) and _MAY_BE_PROPERTY.search(text):
        raise NotPlainError
    event_of: Callable[[], Any] = CParser(text).get_event
    _enter(event_of)
    root: list[Any] = []
    container: Any = root
    key: str | None = None
    in_mapping = False
    above: list[tuple[Any, bool]] = []
    names: set[str] = set()
    nodes = 0
    while True:
        event: Any = event_of()
        kind = type(event)
        if kind is ScalarEvent:
            nodes += 1
            value: Any = event.value
            if in_mapping:
                if key is None:
                    if value not in names:
                        if key_fault(value, not event.style):
                            raise NotPlainError
                        if value not in WORDS and value[0].isalpha():
                            names.add(value)
                    if value in container:
                        raise NotPlainError
                    key = value
                    continue
                container[key] = value if event.style else resolve(value)
                key = None
            else:
                container.append(value if event.style else resolve(value))
        elif kind is MappingStartEvent or kind is SequenceStartEvent:
            nodes += 1
            if len(above) >= max_depth:
                raise NotPlainError
            fresh: Any = {} if kind is MappingStartEvent else []
            if not in_mapping:
                container.append(fresh)
            elif key is None:
                raise NotPlainError
            else:
                container[key] = fresh
            above.append((container, in_mapping))
            container, key, in_mapping = fresh, None, kind is MappingStartEvent
        elif kind is MappingEndEvent or kind is SequenceEndEvent:
            container, in_mapping = above.pop()
            key = None
        elif kind is DocumentEndEvent:
            break
        else:
            raise NotPlainError
    if type(event_of()) is not StreamEndEvent or nodes > max_nodes or root[0] is None:
        raise NotPlainError
    return root[0]


def _enter(event_of: Callable[[], Any]) -> None:
    """Take the events before the first node; NotPlainError where the document begins with a mark."""
    if type(event_of()) is not StreamStartEvent:
        raise NotPlainError
    start = event_of()
    if type(start) is not DocumentStartEvent or start.explicit:
        raise NotPlainError
