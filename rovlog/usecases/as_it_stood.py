"""A logbook as it stood before one entry of a record: what was written later is not there yet."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from rovlog.domain.dive import Entry, Record
from rovlog.usecases.dive_state import DiveState, dive_state
from rovlog.usecases.logbook import Logbook, start_order
from rovlog.values import dataclass


def first_mark(record: Record, *marks: str) -> Entry | None:
    """The first of these marks in a record, or None."""
    return next((m for m in record.of_kind("mark") if m.fields.get("mark") in marks), None)


def state_before(logbook: Logbook, record: Record, entry: Entry) -> DiveState:
    """How a record stood just before one of its entries.

    A record that is closed by now is judged against what flew, as it is everywhere.
    """
    entries = record.entries[: record.entries.index(entry)]
    kind = _Flown if record.is_closed else Record
    cut = kind(record.id, record.kind, record.vehicle, record.box, record.started, record.parts, entries)
    return dive_state(_Until(logbook, cut), cut, now=entry.at)


@dataclass(frozen=True, slots=True)
class _Flown(Record):
    """A closed record before its close was written: judged by what flew, though nothing closes it yet."""

    @property
    def is_closed(self) -> bool:
        """True: what flew is known."""
        return True


class _Until(Logbook):
    """The logbook with one record cut off, and without any record begun after it."""

    def __init__(self, logbook: Logbook, cut: Record) -> None:
        super().__init__(logbook.book)
        self._cut = cut

    def records(
        self, vehicle: str | None = None, kinds: Sequence[Literal["dive", "work"]] = ("dive", "work")
    ) -> list[Record]:
        """As in the whole logbook, up to the record that is cut."""
        found = super().records(vehicle, tuple(kinds))
        ids = [r.id for r in found]
        if self._cut.id not in ids:
            return [r for r in found if start_order(r.started) <= start_order(self._cut.started)]
        return [*found[: ids.index(self._cut.id)], self._cut]

    def record(self, record: str) -> Record:
        """One record; the one that is cut as it stood."""
        return self._cut if record == self._cut.id else super().record(record)
