"""Records put where they belong although a clock was wrong, each of them named."""

from __future__ import annotations

from collections.abc import Iterable

from rovlog.domain.dive import Record
from rovlog.domain.wrong_clock import at_odds, placed
from rovlog.problems import GitError
from rovlog.usecases.logbook import Logbook


def placed_records(logbook: Logbook, records: Iterable[Record], notes: list[str]) -> list[Record]:
    """The records with the times of the better evidence; what was at odds is added to `notes`."""
    found = []
    for record in records:
        odds = at_odds(record)
        if odds is not None:
            odds = at_odds(record, _committed(logbook, record)) or odds
            notes.append(odds.words)
        found.append(placed(record, odds))
    return found


def _committed(logbook: Logbook, record: Record) -> str:
    """When git first had the record's file; "" where it has not, or cannot tell."""
    files = sorted({p.file for p in record.parts if p.file and not p.is_continuation})
    try:
        commits = logbook.book.history.log(files) if files else []
    except GitError:
        # It is one witness of several: the others decide alone, and the audit itself names git's trouble.
        return ""
    return commits[-1].at if commits else ""
