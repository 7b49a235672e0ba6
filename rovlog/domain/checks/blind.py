"""What the first of two people answered blind, covered for as long as the second has not answered."""

from __future__ import annotations

from collections.abc import Container, Mapping

from rovlog.domain.dive import Entry, Record
from rovlog.values import replace

HIDDEN = "hidden"
"""The field that stands in a covered entry for all that is not told."""

UNTIL_SECOND = "until the second has answered"

KEPT = ("item", "checklist", "checklist_revision", "witness", "role", "clock")
"""What is told of a covered answer: which item, by which list, and by whom, but not how it came out."""


def firsts_alone(record: Record) -> tuple[Entry, ...]:
    """The answers of an open record that no second person has answered yet, whatever their items ask for.

    A failure that somebody states is not among them: it ends the round, and stops the dive as it stands.
    Nor is any of a closed record: nobody answers there any more.
    """
    if record.is_closed:
        return ()
    crew: dict[str, str] = {}
    waiting: dict[str, list[Entry]] = {}
    for entry in record.entries:
        if entry.kind in ("start", "crew"):
            crew.update(entry.fields.get("crew") or {})
        if entry.kind != "check":
            continue
        name = str(entry.fields.get("item", ""))
        mine = waiting.setdefault(name, [])
        others = [e for e in mine if _is_second(e) != _is_second(entry)]
        if others and (others[-1].by != entry.by or len(set(crew.values())) == 1):
            del waiting[name]
        else:
            mine.append(entry)
    return tuple(e for mine in waiting.values() for e in mine if not _is_stated_failure(e))


def covered(record: Record, blind: Container[str]) -> Record:
    """The record as it is shown: of items of these ids, an answer that waits for its second is covered.

    A correction of such an answer is covered too. Only for showing: the record on the disk holds all.
    """
    hidden = {e.id for e in firsts_alone(record) if str(e.fields.get("item", "")) in blind}
    if not hidden:
        return record
    return replace(record, entries=tuple(_shown(e, hidden) for e in record.entries))


def is_covered(entry: Entry) -> bool:
    """True for an entry of which the values and the outcome are not told yet."""
    return HIDDEN in entry.fields


def _shown(entry: Entry, hidden: Container[str]) -> Entry:
    if entry.id in hidden:
        kept = {k: v for k, v in entry.fields.items() if k in KEPT}
        return replace(entry, fields={**kept, HIDDEN: UNTIL_SECOND})
    if entry.kind == "correction" and str(entry.fields.get("corrects", "")) in hidden:
        return replace(entry, fields={"corrects": entry.fields["corrects"], HIDDEN: UNTIL_SECOND})
    return entry


def _is_second(entry: Entry) -> bool:
    return bool(entry.fields.get("witness", False))


def _is_stated_failure(entry: Entry) -> bool:
    if entry.fields.get("outcome") != "fail" or _is_second(entry):
        return False
    rows = [r for r in entry.fields.get("limits") or () if isinstance(r, Mapping)]
    margins = [r.get("margin") for r in rows]
    return not any(isinstance(m, int | float) and m < 0 for m in margins)
