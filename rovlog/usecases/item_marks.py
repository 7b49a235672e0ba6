"""The moment of the dive that an item states: marked once, and together with the answer."""

from __future__ import annotations

from rovlog.domain.checks.checklist import Item
from rovlog.domain.dive import Record
from rovlog.usecases.recording import Row

ROUNDS = (
    ("power-on", "power-off"),
    ("in-water", "off-surface", "back-at-surface", "out-of-water"),
)
"""Marks that go round together: the first one begins a round, the last one ends it."""


def rows_of_mark(record: Record, item: Item, by: str, at: str | None = None) -> list[Row]:
    """The mark to be written with a passed answer of this item: one row, or none where it stands already."""
    if not item.marks or is_marked(record, item.marks):
        return []
    return [Row("mark", by, {"mark": item.marks}, at)]


def is_marked(record: Record, mark: str) -> bool:
    """True where the moment is marked in the round that is going on, or where that round is over.

    Power on and in the water begin a new round once the last one is over.
    """
    round_of = next(r for r in ROUNDS if mark in r)
    marks = [str(e.fields.get("mark")) for e in record.of_kind("mark")]
    marks = [m for m in marks if m in round_of]
    ends = [place for place, m in enumerate(marks) if m == round_of[-1]]
    going_on = marks[ends[-1] + 1 :] if ends else marks
    if not going_on:
        return bool(ends) and mark != round_of[0]
    return mark in going_on


def marked_words(mark: str) -> str:
    """What is said beside an answer that marked a moment."""
    return f"also marked: {mark.replace('-', ' ')}"
