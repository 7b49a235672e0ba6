"""The bytes of a record as its header and its entry lines, whole, torn or damaged."""

from __future__ import annotations

import re
from typing import Any

from rovlog.documents.source import MERGE_MARKS, MERGE_MEND, shown
from rovlog.documents.tree import read, read_value
from rovlog.problems import DocumentError, Place, Problem
from rovlog.values import dataclass, replace

MOST_LINES = 10_000
"""Of a damaged record at most so many lines are read one by one; a dive has hundreds."""

TORN_LENGTH = 2000
"""So many characters of a torn line are kept."""

_ENTRIES = re.compile(rb"(?m)^entries:[ \t]*(?:#[^\r\n]*)?\r?\n")
DAMAGED_MEND = "the other entries were read; take this line back from git, or correct it by hand"


@dataclass(frozen=True, slots=True)
class Line:
    """One entry line as found: its number from 1, its bytes, and its value once it was read."""

    number: int
    data: bytes
    value: Any


@dataclass(frozen=True, slots=True)
class Lines:
    """What a file of a record holds: header as read, lines of entries, damaged lines, a torn tail."""

    header: Any
    lines: list[Line]
    problems: tuple[Problem, ...]
    tail: bytes | None


def split(data: bytes, file: str) -> Lines:
    """Header and entry lines. Raises DocumentError where the header cannot be read."""
    if not data.strip(b"\0"):
        read_value(data, file)  # raises: no bytes, or NULs, are damage
    data, merge = _without_merge_marks(data, file)
    whole, tail = _without_tail(data)
    header_length, first = _header(whole, data, file)
    header = _whole(whole, file, first)
    if header is not None:
        return Lines(header, header.pop("entries"), merge, tail)
    header = read(whole[:header_length], file).value
    lines, problems, tail = _line_by_line(whole[header_length:], file, first, tail)
    return Lines(header, lines, (*merge, *problems), tail)


def has_merge_marks(data: bytes) -> bool:
    """True where git left the marks of a merge among the lines of a record."""
    if not any(mark in data for mark in (b"<<<<<<<", b"=======", b">>>>>>>")):
        return False
    return any(MERGE_MARKS.fullmatch(line) for line in data.split(b"\n"))


def _without_merge_marks(data: bytes, file: str) -> tuple[bytes, tuple[Problem, ...]]:
    """The record with a remark in place of each mark of a merge, and the problem that they are.

    The entries of both versions are read: a record is the union of what was written into it.
    """
    if not has_merge_marks(data):
        return data, ()
    lines = data.split(b"\n")
    marks = [n for n, line in enumerate(lines) if MERGE_MARKS.fullmatch(line)]
    found = lines[marks[0]].decode("utf-8", "replace").rstrip("\r")
    for n in marks:
        lines[n] = b"#" + b" " * (len(lines[n]) - 1)
    if marks[-1] == len(lines) - 1:
        lines.append(b"")  # a last mark without line end is no torn entry
    problem = Problem(
        Place(file, marks[0] + 1, 1),
        "",
        "unfinished-merge",
        "git could not merge two versions of this record, and its marks stand in it",
        shown(found),
        "the entries of both versions, one after the other",
        MERGE_MEND,
        found,
        len(found),
    )
    return b"\n".join(lines), (problem,)


def entry_lines(data: bytes) -> list[bytes]:
    """The lines behind `entries:` that are neither blank nor remarks."""
    match = _ENTRIES.search(data)
    body = data[match.end() :] if match is not None else b""
    return [line for line in body.split(b"\n") if not _is_blank(line)]


def torn_text(line: bytes) -> str:
    """A torn line as text, whatever bytes it holds."""
    return line.rstrip(b"\r\n").decode("utf-8", "backslashreplace")[:TORN_LENGTH]


def _without_tail(data: bytes) -> tuple[bytes, bytes | None]:
    """The whole lines, and what stands after the last of them (a torn line).

    A last entry that is whole but for its line end, as an editor may leave it, counts as a line.
    """
    end = data.rfind(b"\n") + 1
    tail = data[end:]
    if _is_whole_entry(tail):
        return data + b"\n", None
    return data[:end], (tail or None)


def _is_whole_entry(line: bytes) -> bool:
    if not (line.lstrip().startswith(b"- {") and line.rstrip().endswith(b"}")):
        return False
    try:
        value = read_value(line, "entry")
    except DocumentError:
        return False
    return isinstance(value, list) and len(value) == 1 and isinstance(value[0], dict) and "kind" in value[0]


def _header(whole: bytes, data: bytes, file: str) -> tuple[int, int]:
    """Length of the header in bytes, and the number of the first line after it."""
    match = _ENTRIES.search(whole)
    if match is not None:
        return match.end(), whole.count(b"\n", 0, match.end()) + 1
    read_value(data, file)  # raises with a better reason, if there is one
    raise DocumentError((problem_at(file, 1, 1, "", "missing-key", "there is no line 'entries:'"),))


def _whole(whole: bytes, file: str, first: int) -> dict[str, Any] | None:
    """The header, and the lines of entries under "entries"; None where not every line is one entry."""
    try:
        value = read_value(whole, file)
    except DocumentError:
        return None
    if not isinstance(value, dict):
        return None
    entries = value.get("entries")
    lines = [
        (number, line)
        for number, line in enumerate(whole.split(b"\n")[first - 1 :], start=first)
        if not _is_blank(line)
    ]
    if entries is None:
        entries = []
    if not isinstance(entries, list) or not all(isinstance(entry, dict) for entry in entries):
        return None
    if sum(line.split(maxsplit=1)[0] == b"-" for _, line in lines) != len(entries):
        return None  # a damaged line may have swallowed the entries after it
    if re.search(rb"\r(?!\n)", whole):
        return None  # YAML ends a line there, and we count lines by line feeds
    if len(entries) != len(lines):
        lines = _spread_lines(whole, file, len(entries))
    value["entries"] = [
        Line(number, line.rstrip(b"\r"), entry) for (number, line), entry in zip(lines, entries, strict=True)
    ]
    return value


def _spread_lines(whole: bytes, file: str, count: int) -> list[tuple[int, bytes]]:
    """Entries that a person spread over several lines: each with all its lines up to the next."""
    tree = read(whole, file)
    starts = [tree.place(f"/entries/{i}").line for i in range(count)]
    lines = whole.split(b"\n")
    ends = [*(start - 1 for start in starts[1:]), len(lines)][:count]
    return [(s, b"\n".join(lines[s - 1 : e]).rstrip()) for s, e in zip(starts, ends, strict=True)]


def _is_blank(line: bytes) -> bool:
    bare = line.strip(b" \t\r")
    return not bare or bare.startswith(b"#")


def _line_by_line(
    body: bytes, file: str, first: int, tail: bytes | None
) -> tuple[list[Line], tuple[Problem, ...], bytes | None]:
    """Each line on its own; the last is torn, not damaged, if it does not parse."""
    if body.count(b"\n") > MOST_LINES:
        message = f"the record has more than {MOST_LINES} lines, and not all of them are entries"
        raise DocumentError((problem_at(file, first, 1, "/entries", "too-many-values", message),))
    lines: list[Line] = []
    damaged: list[tuple[int, bytes, DocumentError]] = []
    last = 0
    for number, raw in enumerate(body.split(b"\n"), start=first):
        line = raw.rstrip(b"\r")
        if _is_blank(line):
            continue
        last = number
        try:
            value = read_value(line, file)
        except DocumentError as error:
            damaged.append((number, line, error))
        else:
            value = value[0] if isinstance(value, list) and len(value) == 1 else None
            lines.append(Line(number, line, value))
    if tail is None and damaged and damaged[-1][0] == last:
        tail = damaged.pop()[1]
    kept = {line.value.get("text") for line in lines if _is_torn(line.value)}
    problems = [
        replace(problem, place=replace(problem.place, line=number), rule="damaged-line", mend=DAMAGED_MEND)
        for number, line, error in damaged
        if torn_text(line) not in kept
        for problem in error.problems[:1]
    ]
    return lines, tuple(problems), tail


def _is_torn(value: Any) -> bool:
    return isinstance(value, dict) and value.get("kind") == "torn"


def problem_at(
    file: str, line: int, column: int, pointer: str, rule: str, message: str, expected: str = ""
) -> Problem:
    """A problem of the record's frame, with the mend that fits them all."""
    mend = "take the file back from git, or complete its first lines by hand"
    return Problem(Place(file, line, column), pointer, rule, message, "", expected, mend)
