"""A sheet typed off paper: lines of a code, a time, a name and the answer, each word with its place.

    # a remark
    day 2026-09-12
    B2 14:05 jory rating=15
    B2 14:07 elke rating=15 second
    A6 14:10 oona 3 4 0,1 2 text="gusts from the west"

Blank lines and lines that begin with # say nothing. `day` holds for the lines below it. A word with
blanks stands in double quotes. A time of the clock counts on that day; one with a date and an offset
counts by itself.
"""

from __future__ import annotations

import re
from datetime import date

from rovlog.problems import Place, Problem
from rovlog.values import dataclass

_WORD = re.compile(r'(?:[^\s"]|"[^"]*")+')
_CLOCK = re.compile(r"([01]?[0-9]|2[0-3]):([0-5][0-9])(?::([0-5][0-9]))?", re.ASCII)
MOST_LINES = 2000
"""A sheet longer than this is none that anybody wrote by hand."""


@dataclass(frozen=True, slots=True)
class Word:
    """One word as typed, without its quotes; `name` is what stands before its equals sign, "" for none.

    `line` and `column` count from 1, `width` is how many characters it takes there.
    """

    text: str
    name: str
    line: int
    column: int
    width: int


@dataclass(frozen=True, slots=True)
class SheetLine:
    """One line: what it is of, when, by whom, and the words of the answer. `day` is that in force."""

    code: Word
    time: Word
    by: Word
    words: tuple[Word, ...]
    day: str
    text: str


@dataclass(frozen=True, slots=True)
class Sheet:
    """The lines that could be read, and what is wrong with the others. `file` is the name shown."""

    file: str
    lines: tuple[SheetLine, ...]
    problems: tuple[Problem, ...]

    def problem(
        self, line: SheetLine, word: Word, rule: str, message: str, expected: str, mend: str
    ) -> Problem:
        """A problem at a word of a line."""
        return _problem(self.file, line.text, word, rule, message, expected, mend)


def read_sheet(data: bytes, file: str, day: str = "") -> Sheet:
    """Read a sheet; `day` (2026-09-12) is that of the lines above the first line `day`, "" for none."""
    text, problem = _decoded(data, file)
    if problem is not None:
        return Sheet(file, (), (problem,))
    rows = text.replace("\r\n", "\n").removesuffix("\n").split("\n")
    lines: list[SheetLine] = []
    problems: list[Problem] = []
    if len(rows) > MOST_LINES:
        word = Word("", "", MOST_LINES + 1, 1, 1)
        found = f"the sheet has {len(rows)} lines"
        problems.append(
            _problem(file, "", word, "too-long", found, f"at most {MOST_LINES}", "give it in parts")
        )
        return Sheet(file, (), tuple(problems))
    for number, row in enumerate(rows, start=1):
        words = _words(row, number)
        if not words or words[0].text.startswith("#"):
            continue
        wrong = _unreadable(file, row, words)
        if wrong is None and words[0].text.casefold() == "day":
            day, wrong = _day(file, row, words, day)
        elif wrong is None and len(words) < 3:
            wrong = _too_short(file, row, words)
        elif wrong is None:
            lines.append(SheetLine(words[0], words[1], words[2], tuple(words[3:]), day, row))
        if wrong is not None:
            problems.append(wrong)
    return Sheet(file, tuple(lines), tuple(problems))


def clock_time(text: str) -> str | None:
    """A time of the clock as HH:MM:SS; None where it is none."""
    match = _CLOCK.fullmatch(text)
    if match is None:
        return None
    hours, minutes, seconds = match.groups()
    return f"{int(hours):02d}:{minutes}:{seconds or '00'}"


def _decoded(data: bytes, file: str) -> tuple[str, Problem | None]:
    try:
        return data.decode("utf-8-sig"), None
    except UnicodeDecodeError as error:
        before = data[: error.start]
        line = before.count(b"\n") + 1
        column = error.start - (before.rfind(b"\n") + 1) + 1
        word = Word("", "", line, column, 1)
        message = f"the byte 0x{data[error.start]:02X} is no UTF-8 text"
        return "", _problem(
            file,
            "",
            word,
            "not-text",
            message,
            "UTF-8 text",
            "save the sheet as UTF-8 text, not as a document",
        )


def _words(row: str, number: int) -> list[Word]:
    found = []
    for match in _WORD.finditer(row):
        text = match.group().replace('"', "")
        name, sign, value = text.partition("=")
        is_named = bool(sign and name) and not match.group().startswith('"')
        found.append(
            Word(
                value if is_named else text,
                name if is_named else "",
                number,
                match.start() + 1,
                len(match.group()),
            )
        )
    return found


def _unreadable(file: str, row: str, words: list[Word]) -> Problem | None:
    """A quotation mark that is not closed, or a character that steers a terminal."""
    number = words[0].line
    if row.count('"') % 2:
        word = Word("", "", number, row.rindex('"') + 1, 1)
        return _problem(
            file, row, word, "open-quote", "a quotation mark is not closed", 'text="in quotes"', "close it"
        )
    for column, character in enumerate(row, start=1):
        if not character.isprintable() and character != "\t":
            word = Word("", "", number, column, 1)
            message = f"the line holds the character U+{ord(character):04X}"
            return _problem(file, row, word, "control-character", message, "plain text", "take it out")
    return None


def _day(file: str, row: str, words: list[Word], before: str) -> tuple[str, Problem | None]:
    """The day that a line `day 2026-09-12` names."""
    word = words[1] if len(words) == 2 else words[0]
    try:
        if len(words) == 2 and len(word.text) == 10:
            return date.fromisoformat(word.text).isoformat(), None
    except ValueError:
        # Told below, as a word that is no day.
        pass
    said = " ".join(w.text for w in words[1:]) or "nothing"
    return before, _problem(
        file, row, word, "no-day", f"{said} is no day", "a day as 2026-09-12", "write: day 2026-09-12"
    )


def _too_short(file: str, row: str, words: list[Word]) -> Problem:
    missing = ("the time", "who answered")[len(words) - 1 :]
    end = Word("", "", words[0].line, len(row.rstrip()) + 1, 1)
    return _problem(
        file,
        row,
        end,
        "line-too-short",
        f"the line does not say {' nor '.join(missing)}",
        "a code, the time and the name that stand on the paper, and the answer",
        f"write it as: {words[0].text} 14:05 NAME …",
    )


def _problem(file: str, text: str, word: Word, rule: str, message: str, expected: str, mend: str) -> Problem:
    place = Place(file, word.line, word.column)
    return Problem(place, "", rule, message, repr(word.text), expected, mend, text, max(1, word.width))
