"""A logbook that keeps its dives and work in hand between jobs, for a program that answers to keys."""

from __future__ import annotations

from bisect import insort
from collections.abc import Callable, Hashable
from typing import Any, Literal

from rovlog.domain.dive import Record
from rovlog.usecases.logbook import Logbook, Made, start_order
from rovlog.usecases.ports import Book

Kinds = tuple[Literal["dive", "work"], ...]
BOTH: Kinds = ("dive", "work")


class HeldLogbook(Logbook):
    """As Logbook, but the records are read once until `let_go`.

    A record asked for by its id is read again each time, and so is what this laptop writes. What other
    programs write into other records is seen after `let_go`.
    """

    is_held = True

    def __init__(self, book: Book) -> None:
        super().__init__(book)
        self._held: dict[str, Record] = {}
        self._in_order: list[Record] = []
        self._of_vehicle: dict[str, list[Record]] = {}
        self._is_holding = False
        self._count = 0
        self._changes = [("", 0), ("", 0)]
        """The last change of any record, and the last one of another record than that."""
        self._made_of_others: dict[tuple[Hashable, str], tuple[int, Any]] = {}

    def of_others(self, key: Hashable, record: str, make: Callable[[], Made]) -> Made:
        """What `make` makes of all records but this one, made anew once one of them has changed."""
        if not self._is_holding:
            self.records()
        token = self._changes[0][1] if self._changes[0][0] != record else self._changes[1][1]
        known = self._made_of_others.get((key, record))
        if known is None or known[0] != token:
            known = self._made_of_others[key, record] = (token, make())
        made: Made = known[1]
        return made

    def let_go(self) -> None:
        """Read every record anew at the next look."""
        self._is_holding = False

    def records(self, vehicle: str | None = None, kinds: Kinds = BOTH) -> list[Record]:
        """Dives and work, oldest first; of one vehicle where it is named."""
        if not self._is_holding:
            self._hold(super().records())
        rows = self._in_order if vehicle is None else self._of_vehicle.get(vehicle, [])
        return list(rows) if kinds == BOTH else [r for r in rows if r.kind in kinds]

    def newest_records(self, vehicle: str, count: int) -> list[Record]:
        """A vehicle's last records, oldest first."""
        return self.records(vehicle)[-count:]

    def record(self, record: str) -> Record:
        """One record by its id, read again; UsageError with the nearest ids otherwise."""
        held = self._held.get(record) if self._is_holding else None
        if held is None:
            found = super().record(record)
        else:
            # A part that this laptop has begun since is looked for as well.
            folder = held.parts[0].file.rpartition("/")[0]
            names = {p.file for p in held.parts}
            own = f"{folder}/{record}.{self.book.writer}.yaml"
            names |= {own} if self.book.files.exists(own) else set()
            parts = [p for p in self._read_parts(sorted(names)) if p.record == record]
            found = self._joined(parts) if parts else super().record(record)
        if self._is_holding and found is not held:
            self._replace(held, found)
        return found

    def _hold(self, rows: list[Record]) -> None:
        self._held = {r.id: r for r in rows}
        self._in_order = rows
        self._of_vehicle = {}
        for row in rows:
            self._of_vehicle.setdefault(row.vehicle, []).append(row)
        self._is_holding = True
        self._count += 1
        self._changes = [("", self._count), ("", self._count)]
        self._made_of_others.clear()

    def _replace(self, old: Record | None, new: Record) -> None:
        self._held[new.id] = new
        self._count += 1
        other = self._changes[0] if self._changes[0][0] != new.id else self._changes[1]
        self._changes = [(new.id, self._count), other]
        for rows in (self._in_order, self._of_vehicle.setdefault(new.vehicle, [])):
            # The record in hand is nearly always among the last.
            at = next((i for i in range(len(rows) - 1, -1, -1) if rows[i] is old), None) if old else None
            if at is not None:
                rows[at] = new
            else:
                insort(rows, new, key=lambda r: (start_order(r.started), r.id))
