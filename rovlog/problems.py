"""What went wrong, where, and how to mend it: the one vocabulary of errors that people see."""

from __future__ import annotations

from rovlog.values import dataclass


@dataclass(frozen=True, slots=True, order=True)
class Place:
    """A place in a text file. Line and column count from 1; the file is relative to the logbook."""

    file: str
    line: int
    column: int


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing wrong in a document.

    `pointer` is an RFC 6901 pointer into the document ("" is the whole). `rule` is a stable
    kebab-case word. `message` is a whole clause ("polarity of thruster bow-port is 'reverse'").
    `line_text` is the line as it stands in the file ("" where there is none) and `width` the
    number of characters the caret line marks.
    """

    place: Place
    pointer: str
    rule: str
    message: str
    found: str
    expected: str
    mend: str
    line_text: str = ""
    width: int = 1


class RovlogError(Exception):
    """The one family of errors a person may meet: a sentence, and how to mend it."""

    def __init__(self, message: str, mend: str = "") -> None:
        """Take the sentence and the mend, both in a person's words."""
        super().__init__(message)
        self.message = message
        self.mend = mend

    def __str__(self) -> str:
        return f"{self.message}\n  mend: {self.mend}" if self.mend else self.message


class DocumentError(RovlogError):
    """One or more documents cannot be used; carries every problem found, sorted by place."""

    def __init__(self, problems: tuple[Problem, ...]) -> None:
        """Take all problems; the sentence is that of the first."""
        self.problems = tuple(sorted(problems, key=lambda p: (p.place, p.rule)))
        first = self.problems[0]
        where = f"{first.place.file}:{first.place.line}:{first.place.column}"
        more = f" (and {len(self.problems) - 1} more)" if len(self.problems) > 1 else ""
        super().__init__(f"{where}: {first.rule}: {first.message}{more}", first.mend)


class UsageError(RovlogError):
    """The command was asked for something that does not exist or does not fit (exit status 2)."""


class NotRecordedError(RovlogError):
    """An entry or file could not be made durable; what stood before is unchanged."""


class GitError(RovlogError):
    """git is missing, refuses, or the repository is in a state that a record must not touch."""


class OutOfRangeError(RovlogError):
    """A quantity lies outside the range a computation is valid for; names the quantity."""
