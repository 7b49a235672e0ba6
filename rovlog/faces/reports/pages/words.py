"""Small pieces of wording that several pages share; whole sentences come from the terminal's reports."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import datetime
from typing import TYPE_CHECKING, Any

from rovlog.domain.drift.words import place_words, value_words
from rovlog.faces.reports.pages.model import Grid

if TYPE_CHECKING:
    from rovlog.domain.dive import Entry
    from rovlog.domain.drift.tables import BoxTables

Names = Callable[[str], str]
"""A person's name, or initials, by id."""

COMPUTED_FOOT = "Computed figures are computed from the record, never measured."


def initials_of(name: str) -> str:
    """A name's initials: "Runa Holt" is "R. H."."""
    return " ".join(f"{word[0]}." for word in name.replace("-", " ").split() if word) or "–"


def digest_letters(digest: str, count: int = 8) -> str:
    """The first characters of a digest, as they are compared aloud."""
    return digest.removeprefix("sha256:")[:count].upper()


def when(at: str, with_day: bool = False) -> str:
    """A time for a person: 09:41, or 2026-06-13 09:41; as written where it cannot be read."""
    from rovlog.faces.reports.check_text import clock

    return clock(at, with_day)


def marked_time(entry: Entry) -> str:
    """An entry's time, with ~ where it is from memory and = where it was agreed with another clock."""
    from rovlog.faces.reports.timeline_text import CLOCK_MARKS

    return when(entry.at) + CLOCK_MARKS.get(str(entry.fields.get("clock", "own")), "").strip()


def aware(at: str) -> datetime | None:
    """The time as a datetime, None where it cannot be read or has no offset."""
    try:
        found = datetime.fromisoformat(at)
    except ValueError:
        return None
    return found if found.tzinfo else None


def water_of(water: Mapping[str, Any] | None) -> str:
    """A recorded water: "fresh 14 °C"."""
    if not water:
        return "not recorded"
    text = f"{water.get('kind')} {float(water.get('temperature_c', 0.0)):g} °C"
    return f"{text}, salinity {water['salinity']:g}" if water.get("salinity") else text


def crew_of(crew: Mapping[str, str], names: Names) -> str:
    """Roles with people: "supervisor Runa Holt, pilot …"."""
    return ", ".join(f"{role} {names(who)}" for role, who in crew.items()) or "nobody recorded"


def slug_words(slug: object) -> str:
    """A slug as words: power-on is "power on"."""
    return str(slug or "").replace("-", " ").replace("_", " ")


def reading_words(values: Mapping[str, Any]) -> str:
    """Values of a reading with their units: "current 17.4 A, start 12.7 V"."""
    from rovlog.domain.drift.words import UNITS

    said = []
    for key, value in values.items():
        end = next((e for e in UNITS if key.endswith(e)), "")
        shown = f"{value:g}" if isinstance(value, int | float) and not isinstance(value, bool) else str(value)
        said.append(f"{slug_words(key.removesuffix(end))} {shown} {UNITS.get(end, '')}".strip())
    return ", ".join(said)


def minutes(seconds: float) -> str:
    """A running time: "30 min", "1 h 20 min"."""
    whole = round(seconds / 60)
    return f"{whole} min" if whole < 90 else f"{whole // 60} h {whole % 60} min"


def differences_grid(rows: list[dict[str, Any]], tables: BoxTables | None, heads: tuple[str, str]) -> Grid:
    """Deviations in words: what, and both values."""
    from rovlog.domain.drift.leaves import ABSENT

    body = tuple(
        (
            place_words(str(r["pointer"])),
            value_words(str(r["pointer"]), r.get("baseline", ABSENT), tables),
            value_words(str(r["pointer"]), r.get("working", ABSENT), tables),
        )
        for r in rows
    )
    return Grid(("what", *heads), body)
