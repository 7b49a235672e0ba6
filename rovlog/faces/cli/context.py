"""What every command is given: the logbook, and where results and talk go."""

from __future__ import annotations

import re
import sys
from collections.abc import Mapping
from enum import IntEnum
from typing import TYPE_CHECKING, Any, TextIO

from rovlog.faces.cli.output import write_out
from rovlog.problems import RovlogError

if TYPE_CHECKING:
    from rovlog.usecases.ports import Book


_LINE_END = re.compile(r"(\r?\n)")


class Status(IntEnum):
    """The exit status, a promise to scripts."""

    FINE = 0
    FINDING = 1
    UNUSABLE = 2


class OutputError(RovlogError):
    """Standard output does not take the result (a full disk behind it)."""


class Context:
    """One call of the command line.

    `logbook` is the folder named with --logbook (None: the one around the current directory);
    results go to `out`, talk to `err`; with `json` set, `out` gets one JSON document and nothing else.
    """

    def __init__(
        self, logbook: str | None, as_json: bool, out: TextIO | None = None, err: TextIO | None = None
    ) -> None:
        self.folder = logbook
        self.json = as_json
        self.out = out or sys.stdout
        self.err = err or sys.stderr
        self._book: Book | None = None

    def book(self) -> Book:
        """Open the logbook, once."""
        if self._book is None:
            from rovlog.wiring import open_book

            self._book = open_book(self.folder)
        return self._book

    def show(self, data: Mapping[str, Any] | list[Any], text: str) -> None:
        """Print a result: the data as JSON with --json, else the text. OutputError where nothing takes it."""
        if self.json:
            from rovlog.faces.cli.json_text import json_text

            said = json_text(data)
        else:
            said = _plain(text if text.endswith("\n") or not text else text + "\n")
        write_out(self.out, said)

    def show_script(self, data: Mapping[str, Any], script: str) -> None:
        """Print a text of our own as it is, tabs and all: a shell reads it, no person and no terminal.

        Nothing from a file, a name or the box may stand in it.
        """
        if self.json:
            self.show(data, "")
        else:
            write_out(self.out, script)

    def note(self, text: str) -> None:
        """Say something beside the result, on standard error; where nothing takes it the result stands."""
        if text:
            try:
                self.err.write(_plain(text if text.endswith("\n") else text + "\n"))
            except OSError:
                # There is nobody to be told that nobody is told.
                return

    def can_ask(self) -> bool:
        """True where a person sits at a terminal and reads what is said."""
        return sys.stdin is not None and sys.stdin.isatty() and self.err.isatty()

    def asks(self, question: str) -> bool:
        """Ask once, on standard error; True for yes. Nobody is asked where no person sits there."""
        if not self.can_ask():
            return False
        self.err.write(_plain(f"{question} yes/no: "))
        self.err.flush()
        return sys.stdin.readline().strip().casefold() in ("y", "yes")


def _plain(text: str) -> str:
    """The text as a terminal may have it, whatever a report forgot; line ends stay as they are."""
    from rovlog.faces.reports.plain import clean

    return "".join(piece if piece in ("\n", "\r\n") else clean(piece) for piece in _LINE_END.split(text))
