"""The text files kept as evidence of a fault, read back, so that a report can quote what people wrote."""

from __future__ import annotations

from collections.abc import Iterable
from hashlib import sha256

from rovlog.domain.dive import Entry
from rovlog.problems import RovlogError
from rovlog.usecases.logbook import Logbook
from rovlog.values import dataclass

MOST_LETTERS = 20_000
"""A longer text is quoted up to here, and said to go on in its file (project default)."""


@dataclass(frozen=True, slots=True)
class Quote:
    """A kept text: the entry that keeps it, and its lines without the empty ones."""

    entry: Entry
    lines: tuple[str, ...]


def quotes_of(logbook: Logbook, attachments: Iterable[Entry], notes: list[str]) -> tuple[Quote, ...]:
    """Every text file among the attachments; one that is gone, changed or no text is named in `notes`."""
    found = []
    for entry in attachments:
        name = str(entry.fields.get("file", ""))
        if not name.lower().endswith(".txt"):
            continue
        try:
            data = logbook.book.files.read(name)
            text = data.decode("utf-8")
        except RovlogError as error:
            notes.append(f"{name} cannot be quoted: {error.message}")
            continue
        except UnicodeDecodeError:
            notes.append(f"{name} cannot be quoted: it is not written in UTF-8")
            continue
        if "sha256:" + sha256(data).hexdigest() != entry.fields.get("digest"):
            notes.append(f"{name} is not as it was when it was kept: its digest differs")
        if len(text) > MOST_LETTERS:
            notes.append(f"{name} goes on: {len(text)} letters, of which {MOST_LETTERS} are quoted")
        lines = tuple(line.strip() for line in text[:MOST_LETTERS].splitlines() if line.strip())
        found.append(Quote(entry, lines))
    return tuple(found)
