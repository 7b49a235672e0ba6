"""Records whose times contradict their own ids or name, and where they belong by the better evidence.

A laptop with a dead clock battery, or a file whose times were rewritten, would put a whole record years
away, and what was done in it would count for nothing. Each entry's id holds the time at which it was made,
each record's id its day, and git knows when the file came in: none of them is touched by a time typed later.
"""

from __future__ import annotations

import re
from datetime import UTC, date, datetime, timedelta

from rovlog.domain.dive import Entry, Record
from rovlog.values import dataclass, replace

APART = timedelta(days=1)
"""Times that differ by more than this from what ids and names say are told (project default)."""

_DAY = re.compile(r"-([0-9]{4})([0-9]{2})([0-9]{2})-[a-z]{4}")
_CROCKFORD = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
_TIME_LETTERS = 10


@dataclass(frozen=True, slots=True)
class AtOdds:
    """A record's times against its entries' ids and the day in its name, each as a day, "" where unknown.

    `is_moved` is True where the ids are the better evidence and the record is placed by them.
    """

    record: str
    times: str
    ids: str
    name: str
    is_moved: bool

    @property
    def words(self) -> str:
        """What disagrees, and by which evidence the record is placed."""
        said = []
        if self.ids and self.ids != self.times:
            said.append(f"the ids of its entries say {self.ids}")
        if self.name and self.name != self.times:
            said.append(f"its name says {self.name}")
        placed = (
            f"it is placed by its entries' ids, on {self.ids}"
            if self.is_moved
            else f"it is placed by its times, on {self.times}, since nothing else outweighs them"
        )
        return f"the times of {self.record} say {self.times}, but {' and '.join(said)}: {placed}"


def made_at(identity: str) -> datetime | None:
    """When an entry's id (a ULID) was made, by the clock of then; None for what is no such id."""
    value = 0
    for letter in identity[:_TIME_LETTERS]:
        digit = _CROCKFORD.find(letter)
        if digit < 0:
            return None
        value = value * 32 + digit
    if len(identity) != 26 or value >= 1 << 48:
        return None
    return datetime(1970, 1, 1, tzinfo=UTC) + timedelta(milliseconds=value)


def day_in_name(record: str) -> date | None:
    """The day that stands in a record's id, None where none does."""
    found = _DAY.search(record)
    try:
        return date(*map(int, found.groups())) if found else None
    except ValueError:
        return None


def at_odds(record: Record, committed: str = "") -> AtOdds | None:
    """How a record's times contradict its ids or name; None where they agree, or nobody read a clock.

    Times from memory and times that a person corrected are taken at their word. `committed` is when git
    first had the file, "" where that is not known: it counts for the evidence that names that day.
    """
    first = record.entries[0] if record.entries else None
    if first is None or first.corrected_by or first.fields.get("clock") == "memory":
        return None
    return odds(record.id, first.at, first.id, committed)


def odds(record: str, at: str, identity: str, committed: str = "") -> AtOdds | None:
    """As `at_odds`, of a record's id with the time and the id of its first entry."""
    began, made, named = _time(at), made_at(identity), day_in_name(record)
    if began is None:
        return None
    local = made.astimezone(began.tzinfo) if made is not None else None
    differs_by_id = made is not None and abs(began - made) > APART
    differs_by_name = named is not None and abs(began.date() - named) > APART
    if not differs_by_id and not differs_by_name:
        return None
    came = _time(committed)
    others = [d for d in (named, came.date() if came else None) if d is not None]
    of_times = sum(abs(d - began.date()) <= APART for d in others)
    of_ids = sum(abs(d - local.date()) <= APART for d in others) if local is not None else 0
    is_moved = differs_by_id and of_ids > of_times
    if not is_moved and not differs_by_name:
        return None  # ids that nothing speaks for were made up, as in a record copied from paper
    return AtOdds(
        record,
        began.date().isoformat(),
        local.date().isoformat() if local is not None else "",
        named.isoformat() if named is not None else "",
        is_moved,
    )


def placed(record: Record, found: AtOdds | None) -> Record:
    """The record with the times of its entries' ids where it is placed by them, else as it stands."""
    if found is None or not found.is_moved:
        return record
    entries = tuple(_by_id(e) for e in record.entries)
    return replace(record, started=entries[0].at, entries=entries)


def placed_start(record: Record) -> str:
    """When a record began for the order of records: by its ids where they and its name contradict it."""
    if record.started[:10].replace("-", "") in record.id:
        return record.started  # as nearly every record: nothing to look into
    return placed(record, at_odds(record)).started


def _by_id(entry: Entry) -> Entry:
    at, made = _time(entry.at), made_at(entry.id)
    is_said = entry.corrected_by or entry.fields.get("clock") == "memory"
    if made is None or is_said or (at is not None and abs(at - made) <= APART):
        return entry
    return replace(entry, at=(made.astimezone(at.tzinfo) if at is not None else made).isoformat())


def _time(at: str) -> datetime | None:
    try:
        found = datetime.fromisoformat(at)
    except ValueError:
        return None
    return found if found.tzinfo is not None else None
