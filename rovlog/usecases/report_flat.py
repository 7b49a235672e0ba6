"""Every entry of a logbook as a flat row, for a spreadsheet or another program."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from rovlog.domain.dive import Entry, Record
from rovlog.usecases.covered_record import covered_record
from rovlog.usecases.logbook import Logbook
from rovlog.values import dataclass


@dataclass(frozen=True, slots=True)
class FlatEntry:
    """One entry with the record it stands in; `number` counts the vehicle's dives (or work) from 1."""

    record: Record
    number: int
    entry: Entry

    @property
    def is_after_close(self) -> bool:
        """True for an entry written after the record's first close."""
        closes = self.record.of_kind("close")
        return bool(closes) and self.record.entries.index(self.entry) > self.record.entries.index(closes[0])


def report_flat(logbook: Logbook) -> tuple[tuple[FlatEntry, ...], tuple[str, ...]]:
    """All entries, oldest record first, and what could not be read, a sentence each."""
    counts: dict[tuple[str, str], int] = {}
    rows: list[FlatEntry] = []
    for record in logbook.records():
        key = (record.kind, record.vehicle or record.box)
        counts[key] = counts.get(key, 0) + 1
        shown = covered_record(logbook, record)
        rows += [FlatEntry(shown, counts[key], e) for e in shown.entries]
    notes = [
        f"{name}: {len(problems)} problem(s), used as far as it goes: {problems[0].message}"
        for name, problems in logbook.record_problems.items()
    ]
    return tuple(rows), tuple(notes)


def flat_fields(fields: Mapping[str, Any], head: str = "") -> Iterator[tuple[str, Any]]:
    """The leaves of an entry's fields by dotted name; a list is one leaf."""
    for key, value in fields.items():
        name = f"{head}.{key}" if head else str(key)
        if isinstance(value, Mapping) and value:
            yield from flat_fields(value, name)
        else:
            yield name, value
