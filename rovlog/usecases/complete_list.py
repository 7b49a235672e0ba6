"""The spoken ends of a checklist: a group called complete, a hold point released."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rovlog.domain.dive import Record
from rovlog.domain.nearest import nearest_mend
from rovlog.problems import UsageError
from rovlog.usecases.dive_state import DiveState, dive_state
from rovlog.usecases.find_item import find_item, refuse_hidden
from rovlog.usecases.item_marks import marked_words, rows_of_mark
from rovlog.usecases.logbook import Logbook
from rovlog.usecases.one_line import require_word
from rovlog.usecases.ports import CommitOutcome
from rovlog.usecases.recording import Row, Written, append, append_all, commit_record
from rovlog.values import dataclass

if TYPE_CHECKING:
    from rovlog.domain.checks.checklist import Item


@dataclass(frozen=True, slots=True)
class Called:
    """A completion call or a release that is on the disk, in the words to be spoken; `point` is the hold
    point that was released, as a crew calls it."""

    written: Written
    call: str
    commit: CommitOutcome
    notes: tuple[str, ...] = ()
    point: str = ""


def complete_section(
    logbook: Logbook,
    record: Record,
    checklist: str,
    section: str,
    *,
    by: str,
    text: str | None = None,
    at: str | None = None,
) -> Called:
    """Make a group's completion call; refused while any of its items is open."""
    from rovlog.domain.checks.groups import may_complete

    now = dive_state(logbook, record)
    found = now.checklist(checklist)
    if found is None:
        require_word("checklist", checklist, [c.checklist for c in now.lists])
        raise UsageError(f"{checklist} is not for this record")
    words = section.casefold()
    hits = [
        s
        for s in found.sections
        if words in (s.section.casefold(), s.code.casefold()) or s.title.casefold().startswith(words)
    ]
    if len(hits) != 1:
        raise UsageError(
            f"{checklist} has {'no' if not hits else 'more than one'} group {section!r}",
            "groups are: " + ", ".join(f"{s.code} {s.title}".strip() for s in found.sections),
        )
    refusal = may_complete(hits[0], now.items)
    if refusal:
        raise UsageError(
            f"{hits[0].title} cannot be called complete: {refusal}", "answer, defer or waive them"
        )
    call = text or hits[0].completion or f"{hits[0].title} complete"
    fields = {"checklist": checklist, "section": hits[0].section, "text": call}
    written = append(logbook, record, "completion", by, fields, at=at)
    message = f"{record.id}: {hits[0].title} complete"
    return Called(written, call, commit_record(logbook, record.id, message, by, at))


def release_point(
    logbook: Logbook,
    record: Record,
    point: str,
    *,
    by: str,
    text: str | None = None,
    at: str | None = None,
    state: DiveState | None = None,
) -> Called:
    """Release a hold point in a named person's name; refused with the reason while it may not be."""
    logbook.person(by)
    now = state or dive_state(logbook, record)
    points = [i.item for c in now.lists for i in c.items() if i.kind == "release"]
    known = {*now.items, *(i.code for i in now.fold.items.values() if i.code)}
    if point.casefold() not in {word.casefold() for word in known}:
        refuse_hidden(now, point)
        raise UsageError(f"there is no hold point {point!r}", nearest_mend(point, points))
    item = find_item(now, point)
    if item.kind != "release":
        raise UsageError(f"{point} is no hold point", "hold points are: " + ", ".join(points))
    refusal = refusal_of_release(now, item, by)
    if refusal:
        raise UsageError(f"{item.name} cannot be released: {refusal}", "settle that first")
    call = text or item.response
    fields = {"item": item.item, "point": item.item, "text": call}
    marked = rows_of_mark(record, item, by, at)
    written = append_all(logbook, record, [Row("release", by, fields, at), *marked])[0]
    who = logbook.person_name(by)
    commit = commit_record(logbook, record.id, f"{record.id}: {item.challenge}, by {who}", by, at)
    return Called(written, call, commit, tuple(marked_words(item.marks) for _ in marked), item.name)


def refusal_of_release(state: DiveState, item: Item, by: str) -> str | None:
    """Why this person cannot release this hold point as things stand, or None."""
    from rovlog.domain.checks.groups import may_release

    return may_release(item.item, by, state.lists, state.items, state.fold) or _still_stopped(state, item)


def _still_stopped(state: DiveState, item: Item) -> str | None:
    """Why a dive's last word before launch or before leaving cannot be given: what still stops it."""
    from rovlog.domain.checks.groups import ends_list

    if state.record.kind != "dive" or not ends_list(item.item, state.lists):
        return None
    left = [s for s in state.stops if s.id != item.item]
    if not left:
        return None
    more = f" (and {len(left) - 1} more)" if len(left) > 1 else ""
    return f"{left[0].reason}{more}; clear it, or have it waived in writing"
