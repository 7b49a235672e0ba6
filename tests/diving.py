"""Records written by hand for the tests of the audit: dives, work, entries."""

from __future__ import annotations

from typing import Any

from rovlog.domain.dive import Entry, Part, Record, join_parts


def record(
    name: str, started: str, *entries: tuple[str, dict[str, Any]], kind: str = "dive", closed: bool = True
) -> Record:
    """A record of one part. Each entry is (kind, fields); `at` and `by` among the fields are its own.

    A dive gets a start entry with a crew and a site, unless the first entry is a start.
    """
    rows = list(entries)
    if not rows or rows[0][0] != "start":
        first: dict[str, Any] = {"site": "lido", "crew": {"pilot": "ines"}, "water": {"kind": "fresh"}}
        rows.insert(0, ("start", first if kind == "dive" else {"purpose": "refit"}))
    if closed:
        rows.append(("close", {}))
    made = []
    for n, (entry_kind, given) in enumerate(rows, start=1):
        fields = dict(given)
        at = fields.pop("at", started)
        by = fields.pop("by", "ines")
        made.append(Entry(f"{name}-{n}", n, at, float(n), by, entry_kind, "shore", fields))
    part = Part(f"dives/{name}.yaml", "shore", started, tuple(made))
    return join_parts(name, "work" if kind == "work" else "dive", "puffin", "", (part,))


def day(number: int, clock: str = "10:00:00") -> str:
    """A time on a day of June 2025."""
    return f"2025-06-{number:02}T{clock}+02:00"
