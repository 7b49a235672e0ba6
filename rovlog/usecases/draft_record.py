"""A record as it would be with entries that are not written yet: what each further one would meet."""

from __future__ import annotations

from collections.abc import Sequence

from rovlog.domain.dive import Entry, Record
from rovlog.usecases.dive_state import DiveState, dive_state, states_with_count
from rovlog.usecases.logbook import Logbook
from rovlog.usecases.recording import Row
from rovlog.usecases.times import instant
from rovlog.values import replace


class Draft:
    """A record with rows added in thought. Nothing of it reaches the disk."""

    def __init__(self, logbook: Logbook, record: Record) -> None:
        """Take the record as it stands."""
        self._logbook = logbook
        self._begin = dive_state(logbook, record)
        self._fold = self._begin.fold.copy()
        self.record = record

    @property
    def begin(self) -> DiveState:
        """The record's state with nothing added."""
        return self._begin

    def state(self, at: str) -> DiveState:
        """The items as they would stand at a time. What stops the dive is that of the beginning."""
        self._fold.now = instant(at)
        computed = dict(self._begin.computed)
        states = states_with_count(self._fold, computed, self._begin.lists)
        return replace(
            self._begin,
            record=self.record,
            now=at,
            items={i.item: states[i.item] for c in self._begin.lists for i in c.items()},
            fold=self._fold,
            computed=computed,
            crew=dict(self._fold.known.crew),
        )

    def whole_state(self, at: str) -> DiveState:
        """Everything of the record at a time, what stops the dive included."""
        return dive_state(self._logbook, self.record, now=at)

    def add(self, rows: Sequence[Row]) -> None:
        """Go on as if these rows were written."""
        from rovlog.domain.checks.fold import step
        from rovlog.domain.checks.moments import Moment

        n = max((e.n for e in self.record.entries), default=0)
        book = self._logbook.book
        entries = []
        for k, row in enumerate(rows, start=1):
            at = row.at or book.clock.now()
            fields = {key: value for key, value in row.fields.items() if value is not None}
            mono_s = book.clock.mono_s()
            entries.append(Entry(f"draft-{n + k}", n + k, at, mono_s, row.by, row.kind, book.writer, fields))
        self.record = replace(self.record, entries=(*self.record.entries, *entries))
        for entry in entries:
            step(self._fold, Moment(entry, self.record.id, self.record.kind, instant(entry.at)))
