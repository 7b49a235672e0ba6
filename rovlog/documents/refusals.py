"""What a document must not hold, each refusal in its words: message, what is expected, the mend."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from rovlog.documents.scalars import NUMBER_LENGTH, KeyFault, NumberFault
from rovlog.documents.source import SHOWN_LENGTH, Source, shown
from rovlog.problems import Problem

if TYPE_CHECKING:
    from rovlog.documents.tree import Node

_WORD = re.compile(r"[^\s,\[\]{}]+")

_SYNTAX_MENDS = (
    ("could not find expected ':'", "write a colon and a space after the key, or close the quotes"),
    ("mapping values are not allowed", "put text that holds a colon in quotes, or correct the indentation"),
    ("cannot start any token", "indent with spaces, not tabs; put text that begins with @, ` or % in quotes"),
    ("unexpected end of stream", "close the quotes"),
    ("',' or '}'", "put a comma between the entries, or close the brace"),
    ("',' or ']'", "put a comma between the items, or close the bracket"),
    ("did not find expected key", "indent the keys of one mapping alike, and close the quotes before"),
    ("did not find expected '-' indicator", "indent the items of one list alike"),
    ("directive", "take the line out"),
    ("escape", "write a backslash as \\\\ in double quotes, or use single quotes around the text"),
)
_SYNTAX_MEND = "check the quotes, brackets and indentation here and on the line before"


def syntax(source: Source, error: Exception) -> Problem:
    """The parser could not go on; libyaml's own words say where and what."""
    words = str(getattr(error, "problem", None) or getattr(error, "reason", None) or type(error).__name__)
    unclosed = "quoted scalar" in str(getattr(error, "context", "")) and "end of stream" in words
    marks = ("context_mark", "problem_mark") if unclosed else ("problem_mark", "context_mark")
    mark = getattr(error, marks[0], None) or getattr(error, marks[1], None)
    index = min(mark.index, len(source.text)) if mark is not None else 0
    if mark is not None and index == len(source.text) and source.text.endswith("\n"):
        index = len(source.text.rstrip())
    mend = next((mend for part, mend in _SYNTAX_MENDS if part in words), _SYNTAX_MEND)
    if "nesting depth" in words:  # libyaml looks ahead on one line and may stop before we count
        return too_deep(source, index, "")
    return source.problem(index, 1, "", "yaml-syntax", f"this is not YAML: {words}", mend=mend)


def empty(source: Source) -> Problem:
    """Nothing but comments and blanks."""
    return source.problem(
        0,
        1,
        "",
        "empty-document",
        "there is nothing in it",
        expected="a record",
        mend="take the file back from git",
    )


def second_document(source: Source, index: int) -> Problem:
    """A second document in one file."""
    return source.problem(
        index,
        3,
        "",
        "second-document",
        "a second document begins here",
        expected="one document a file",
        mend="put it into a file of its own",
    )


def directives(source: Source, before: int) -> list[Problem]:
    """All `%` lines before the document's start."""
    return [
        source.problem(
            match.start(),
            len(match.group()),
            "",
            "directive",
            f"the directive {shown(match.group().rstrip())} stands here",
            found=match.group().rstrip(),
            expected="no directives",
            mend="take the line out",
        )
        for match in re.finditer(r"(?m)^%[^\r\n]*", source.text[:before])
    ]


def too_many(source: Source, index: int) -> Problem:
    """More nodes than any record needs."""
    from rovlog.documents.tree import MAX_NODES

    return source.problem(
        index,
        1,
        "",
        "too-many-values",
        f"more than {MAX_NODES} keys and values stand before this one",
        expected=f"at most {MAX_NODES} keys and values",
        mend="split the file",
    )


def too_deep(source: Source, index: int, pointer: str) -> Problem:
    """Deeper nesting than any record needs."""
    from rovlog.documents.tree import MAX_DEPTH

    return source.problem(
        index,
        1,
        pointer,
        "too-deep",
        f"lists and mappings are nested more than {MAX_DEPTH} deep here",
        expected=f"at most {MAX_DEPTH} levels",
        mend="close the brackets before this place",
    )


def anchor(source: Source, index: int, name: str, pointer: str) -> Problem:
    """`&name`."""
    return source.problem(
        index,
        len(name) + 1,
        pointer,
        "anchor",
        f"the anchor {shown('&' + name)} stands here",
        found="&" + name,
        expected="no anchors",
        mend="take it out and write the value wherever it is meant",
    )


def alias(source: Source, index: int, name: str, pointer: str) -> Problem:
    """`*name`."""
    return source.problem(
        index,
        len(name) + 1,
        pointer,
        "alias",
        f"the alias {shown('*' + name)} stands here",
        found="*" + name,
        expected="no aliases",
        mend="write the value itself",
    )


def tag(source: Source, index: int, pointer: str) -> Problem:
    """`!name`, `!!name` or `!`."""
    match = _WORD.match(source.text, index)
    word = match.group() if match else "!"
    return source.problem(
        index,
        len(word),
        pointer,
        "tag",
        f"the tag {shown(word)} stands here",
        found=word,
        expected="no tags",
        mend="take it out; put the value in quotes if it is text",
    )


def duplicate(source: Source, node: Node, pointer: str, text: str, first: int) -> Problem:
    """A key that its mapping holds already (YAML 1.2.2, section 3.2.1.1: keys are unique)."""
    line = source.place(first).line
    return source.problem(
        node.start,
        node.end - node.start,
        pointer,
        "duplicate-key",
        f"the key {shown(text)} stands here again, first on line {line}",
        found=text[:SHOWN_LENGTH],
        expected="each key once",
        mend=f"take out this one or the one on line {line}",
    )


def key_is_collection(source: Source, index: int, pointer: str) -> Problem:
    """A list or mapping where a key is due."""
    return source.problem(
        index,
        1,
        pointer,
        "key-not-a-name",
        "a list or mapping stands where a key is due",
        expected="a name",
        mend="write a key of letters, digits, _ and -, with a colon and a space after it",
    )


_KEYS: dict[KeyFault, tuple[str, str, str]] = {
    "merge-key": ("is a merge key", "no merge keys", "write the merged keys themselves"),
    "key-not-a-name": (
        "is no name",
        "a name of ASCII letters, digits, _, - and .",
        "use letters a to z, digits, _ and - only",
    ),
    "key-not-text": ("does not read as text", "a name or a whole number", "put it in quotes"),
    "key-spelling": (
        "is a number in a spelling of its own",
        "a whole number in its shortest spelling",
        "write it in decimal digits without leading zeros, or put it in quotes if it is a name",
    ),
    "number-too-long": (
        "is a number of too many digits",
        f"at most {NUMBER_LENGTH} characters",
        "put it in quotes if it is a name",
    ),
}


def bad_key(source: Source, node: Node, pointer: str, text: str, fault: KeyFault) -> Problem:
    """A key that is no name."""
    what, expected, mend = _KEYS[fault]
    return source.problem(
        node.start,
        node.end - node.start,
        pointer,
        fault,
        f"the key {shown(text)} {what}",
        found=text[:SHOWN_LENGTH],
        expected=expected,
        mend=mend,
    )


def number(source: Source, node: Node, pointer: str, text: str, fault: NumberFault) -> Problem:
    """A number that no record may hold."""
    what, expected = {
        "number-not-finite": ("is not a finite number", "a finite number"),
        "number-too-long": (f"is a number of {len(text)} characters", f"at most {NUMBER_LENGTH} characters"),
    }[fault]
    mend = "put it in quotes if it is text; leave the key out if there is no value"
    return source.problem(
        node.start,
        node.end - node.start,
        pointer,
        fault,
        f"{shown(text)} {what}",
        found=text[:SHOWN_LENGTH],
        expected=expected,
        mend=mend,
    )
