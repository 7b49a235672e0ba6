"""Times in records: RFC 3339 with offset."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from rovlog.documents.subjects import subject
from rovlog.documents.times import EXAMPLE, parse_time
from rovlog.problems import Problem, UsageError

if TYPE_CHECKING:
    from rovlog.documents.tree import Tree


def time_problems(tree: Tree, pointer: str, value: Any) -> Iterator[Problem]:
    """A value that should be a time and is text, but no time."""
    if not isinstance(value, str):
        return
    try:
        parse_time(value)
    except UsageError as error:
        why = error.message.partition(": ")[2]
        yield tree.problem(
            pointer,
            "not-a-time",
            f"{subject(tree.value, pointer)} is '{value}': {why}",
            f"'{value}'",
            "an RFC 3339 time with offset",
            f"write it as {EXAMPLE}",
        )
