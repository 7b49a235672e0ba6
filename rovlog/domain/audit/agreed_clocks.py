"""Clocks that somebody compared with another one: which times of a record are agreed by that."""

from __future__ import annotations

from collections.abc import Mapping

from rovlog.domain.audit.times import JUMP_S, Clock, clock_of, instant_s
from rovlog.domain.dive import Entry, Record

COMPARED = "clock-compared"
"""The reading that says how far the laptop's clock was ahead of another one: `off_s`, in seconds."""

AGREED_S = 60.0
"""Clocks at most this far apart agree (project default): times are read to the minute."""


def is_comparison(entry: Entry) -> bool:
    """True for an entry that says how far the clock was off."""
    return entry.kind == "reading" and entry.fields.get("reading") == COMPARED


def off_s(entry: Entry) -> float | None:
    """How far the laptop's clock was ahead of the other one; None where that is not said."""
    found = dict(entry.fields.get("values") or {}).get("off_s")
    return float(found) if isinstance(found, int | float) and not isinstance(found, bool) else None


def comparison_words(entry: Entry) -> str:
    """A comparison in words: "clock compared with the pool's clock: 2 s ahead of it"."""
    other = str(entry.fields.get("text") or "another clock")
    off = off_s(entry)
    if off is None:
        return f"clock compared with {other}: how far it was off is not said"
    apart = "the same" if off == 0 else f"{abs(off):g} s {'ahead of' if off > 0 else 'behind'} it"
    return f"clock compared with {other}: {apart}"


def clock_grades(record: Record) -> Mapping[str, Clock]:
    """The grade of each entry's time, by the entry's id.

    A comparison speaks for every time that the same laptop wrote by its clock in this record, up to where
    that clock was set back: on the other side of a jump nobody has compared it.
    """
    runs: dict[str, list[list[Entry]]] = {}
    latest: dict[str, float] = {}
    for entry in record.entries:
        mine = runs.setdefault(entry.writer, [[]])
        at = instant_s(entry.at)
        if at is not None and clock_of(entry.fields.get("clock")) != "memory":
            if at < latest.get(entry.writer, at) - JUMP_S:
                mine.append([])
                latest[entry.writer] = at
            latest[entry.writer] = max(latest.get(entry.writer, at), at)
        mine[-1].append(entry)
    grades = {e.id: clock_of(e.fields.get("clock")) for e in record.entries}
    for run in (r for mine in runs.values() for r in mine):
        if any(is_comparison(e) and (off := off_s(e)) is not None and abs(off) <= AGREED_S for e in run):
            grades |= {e.id: "agreed" for e in run if grades[e.id] == "own"}
    return grades
