"""The text of one file with its lines: bytes to text, and a position in the text to a place."""

from __future__ import annotations

import re
from bisect import bisect_right
from itertools import islice

from rovlog.problems import DocumentError, Place, Problem

MAX_BYTES = 1 << 20
"""The largest file that is read: 1 MiB."""

BYTE_ORDER_MARK = "\ufeff"
SHOWN_LENGTH = 60

MOST = 100
"""At most so many problems of one document are told at once."""

_LINE_END = re.compile(r"\r\n|\r|\n")
_UNUSUAL = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u2028\u2029\ufeff\ufffe\uffff]")
"""Refused raw: what YAML does not call printable, and line ends on which YAML 1.1 and 1.2 disagree."""

MERGE_MARK = re.compile(r"(?m)^(?:<{7}|>{7}|\|{7})(?: [^\r\n]*)?\r?$")
"""A line that git leaves in a file whose two versions it could not merge."""

MERGE_MARKS = re.compile(rb"(?:<{7}|>{7}|\|{7}|={7})(?: .*)?\r?")
"""The same for one line of a record, with the line between the two versions."""


class Source:
    """One file's text without byte order mark. Indices count characters of `text` from 0."""

    __slots__ = ("_lines", "_starts", "file", "has_mark", "text")

    def __init__(self, file: str, text: str, has_mark: bool = False) -> None:
        """Take the name as messages show it, the text, and whether a byte order mark stood before it."""
        self.file = file
        self.text = text
        self.has_mark = has_mark
        self._starts: list[int] | None = None
        self._lines: dict[int, str] = {}  # many problems may share one long line

    @property
    def line_starts(self) -> list[int]:
        """Index at which each line begins."""
        if self._starts is None:
            self._starts = [0, *(m.end() for m in _LINE_END.finditer(self.text))]
        return self._starts

    def place(self, index: int) -> Place:
        """Line and column, from 1, of a character (or of the end of the text)."""
        index = max(0, min(index, len(self.text)))
        line = bisect_right(self.line_starts, index)
        return Place(self.file, line, index - self.line_starts[line - 1] + 1)

    def line_text(self, line: int) -> str:
        """The line, counted from 1, without its line end; "" beyond the last."""
        starts = self.line_starts
        if not 1 <= line <= len(starts):
            return ""
        if line not in self._lines:
            end = starts[line] if line < len(starts) else len(self.text)
            self._lines[line] = self.text[starts[line - 1] : end].rstrip("\r\n")
        return self._lines[line]

    def problem(
        self,
        index: int,
        width: int,
        pointer: str,
        rule: str,
        message: str,
        *,
        found: str = "",
        expected: str = "",
        mend: str = "",
    ) -> Problem:
        """A problem at a character, its caret kept inside its line."""
        place = self.place(index)
        line = self.line_text(place.line)
        width = max(1, min(width, len(line) - place.column + 1))
        return Problem(place, pointer, rule, message, found, expected, mend, line, width)


def shown(text: str) -> str:
    """Text in single quotes for a message, shortened; unprintable characters stay for the face to filter."""
    return f"'{text}'" if len(text) <= SHOWN_LENGTH else f"'{text[: SHOWN_LENGTH - 1]}…'"


def decode(data: bytes, file: str) -> Source:
    """The file's text. Refuses too large, empty and damaged files and what is not strict UTF-8."""
    if len(data) > MAX_BYTES:
        raise _refused(
            Problem(
                Place(file, 1, 1),
                "",
                "too-large",
                f"the file has {len(data)} bytes",
                str(len(data)),
                f"at most {MAX_BYTES} bytes (1 MiB)",
                "split it, or keep attachments as files of their own",
            )
        )
    if not data:
        raise _refused(_damaged(data, file, 0, "the file has no bytes at all"))
    nul = data.find(b"\0")
    if nul >= 0:
        raise _refused(_damaged(data, file, nul, f"byte {nul} is a NUL; the file is damaged"))
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as error:
        raise _refused(_not_utf8(data, file, error.start)) from None
    has_mark = text.startswith(BYTE_ORDER_MARK)
    source = Source(file, text[1:] if has_mark else text, has_mark)
    merge = MERGE_MARK.search(source.text)
    if merge is not None:
        raise _refused(unfinished_merge(source, merge))
    problems = tuple(_unusual(source, match) for match in islice(_UNUSUAL.finditer(source.text), MOST))
    if problems:
        raise DocumentError(problems)
    return source


def unfinished_merge(source: Source, mark: re.Match[str]) -> Problem:
    """The problem that a file is in which git left the marks of a merge."""
    line = mark.group().rstrip("\r")
    return source.problem(
        mark.start(),
        len(line),
        "",
        "unfinished-merge",
        "git could not merge two versions of this file, and its marks stand in it",
        found=shown(line),
        expected="one version",
        mend=MERGE_MEND,
    )


MERGE_MEND = (
    "keep what is right of both versions (in a dive or work record every line of both), take out the lines "
    "that begin with <<<<<<<, |||||||, ======= and >>>>>>>, then: git add this file"
)


def is_usual(text: str) -> bool:
    """True where no character of the text has to be refused."""
    return _UNUSUAL.search(text) is None


def _refused(problem: Problem) -> DocumentError:
    return DocumentError((problem,))


def _at_byte(data: bytes, file: str, offset: int) -> tuple[Place, str]:
    start = max(data.rfind(b"\n", 0, offset), data.rfind(b"\r", 0, offset)) + 1
    before = data[:offset]
    line = 1 + before.count(b"\n") + before.count(b"\r") - before.count(b"\r\n")
    mark = 1 if start == 0 and data.startswith(BYTE_ORDER_MARK.encode()) and offset >= 3 else 0
    column = len(data[start:offset].decode("utf-8", "replace")) + 1 - mark
    text = _LINE_END.split(data[start : start + 4096].decode("utf-8", "replace"), maxsplit=1)[0]
    return Place(file, line, column), text[mark:]


def _damaged(data: bytes, file: str, offset: int, message: str) -> Problem:
    place, text = _at_byte(data, file, offset)
    return Problem(
        place,
        "",
        "damaged",
        message,
        "",
        "a record",
        "a power cut can leave this; take the file back from git or from another laptop",
        text,
    )


def _not_utf8(data: bytes, file: str, offset: int) -> Problem:
    place, text = _at_byte(data, file, offset)
    return Problem(
        place,
        "",
        "not-utf-8",
        f"byte {offset} is 0x{data[offset]:02X}, which is not UTF-8 here",
        f"0x{data[offset]:02X}",
        "text in UTF-8",
        "save the file as UTF-8 in the editor",
        text,
    )


def _unusual(source: Source, match: re.Match[str]) -> Problem:
    character = match.group()
    code = f"U+{ord(character):04X}"
    return source.problem(
        match.start(),
        1,
        "",
        "unusual-character",
        f"the character {code} stands here",
        found=code,
        expected="printable text",
        mend=f'take it out, or write it as "\\u{ord(character):04x}" in double quotes if it is meant',
    )
