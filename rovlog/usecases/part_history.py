"""Parts: where each is and was fitted, its running hours, and what is due."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any

from rovlog.problems import RovlogError, UsageError
from rovlog.usecases.configurations import start_configuration
from rovlog.usecases.logbook import Logbook
from rovlog.usecases.times import instant

if TYPE_CHECKING:
    from rovlog.domain.audit.parts import PartLife
    from rovlog.usecases.ports import Book


def part_histories(logbook: Logbook, today: str = "") -> tuple[tuple[PartLife, ...], tuple[str, ...]]:
    """Every part's life, and what could not be used, a sentence each.

    `today` is the day (UTC, as 2026-05-31) by which something is due, where the clock is not to be asked.
    """
    from rovlog.domain.audit.parts import part_lives

    documents: dict[str, Mapping[str, Any]] = {}
    notes = []
    for stem in logbook.stems("parts"):
        try:
            documents[stem] = logbook.document(f"parts/{stem}.yaml")
        except RovlogError as error:
            notes.append(f"parts/{stem}.yaml cannot be used: {error.message}")
    records = logbook.records()
    named: dict[str, Mapping[str, str]] = {}
    for record in records:
        if record.kind == "dive":
            try:
                named[record.id] = parts_named(start_configuration(logbook, record) or {})
            except RovlogError as error:
                notes.append(f"{record.id}: its configuration is not known: {error.message}")
    now = datetime.fromisoformat(f"{today or utc_day(logbook.book)}T00:00:00+00:00")
    return part_lives(documents, records, logbook.vehicles(), named, now), tuple(notes)


def utc_day(book: Book) -> str:
    """The day by the clock and UTC, as 2026-05-31: what is due by the calendar is due by that day."""
    now = instant(book.clock.now()) or datetime.now(UTC)
    return now.astimezone(UTC).date().isoformat()


def part_history(logbook: Logbook, part: str, today: str = "") -> PartLife:
    """One part's life; UsageError with the nearest part. `today` as in `part_histories`."""
    from rovlog.domain.nearest import nearest_mend

    lives, _ = part_histories(logbook, today)
    found = next((life for life in lives if life.part == part), None)
    if found is None:
        known = [life.part for life in lives]
        raise UsageError(
            f"there is no part {part!r}", nearest_mend(part, known, "write parts/<part>.yaml for it")
        )
    return found


def parts_named(resolved: Mapping[str, Any]) -> dict[str, str]:
    """The parts a configuration names, each with where: {"battery-a": "supply"}."""
    found: dict[str, str] = {}
    for key in ("supply", "fuse", "tether"):
        row = dict(resolved.get("electrical", {})).get(key) or {}
        if row.get("part"):
            found[str(row["part"])] = key
    for group, word in (("housings", "housing"), ("thrusters", "thruster")):
        for name, row in dict(resolved.get(group) or {}).items():
            if row.get("part"):
                found[str(row["part"])] = f"{word} {name}"
    return found
