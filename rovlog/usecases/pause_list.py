"""Stopping a checklist where it stands, and going on with it."""

from __future__ import annotations

from rovlog.domain.dive import Record
from rovlog.problems import UsageError
from rovlog.usecases.dive_state import DiveState, dive_state
from rovlog.usecases.find_item import find_item
from rovlog.usecases.logbook import Logbook
from rovlog.usecases.one_line import require_text
from rovlog.usecases.recording import Written, append
from rovlog.values import dataclass


@dataclass(frozen=True, slots=True)
class Resumed:
    """The list goes on; `note` says what is asked again."""

    written: Written
    note: str


def pause_list(
    logbook: Logbook, record: Record, *, by: str, reason: str, item: str | None = None, at: str | None = None
) -> Written:
    """Stop the list where it stands, with the reason; UsageError for an item that is not in it."""
    require_text("reason", reason)
    if item is not None:
        item = find_item(dive_state(logbook, record), item).item
    return append(logbook, record, "pause", by, {"item": item, "reason": reason}, at=at)


def resume_list(
    logbook: Logbook, record: Record, *, by: str, item: str | None = None, at: str | None = None
) -> Resumed:
    """Go on after a pause. The last item is asked again; past the gap its whole group is."""
    before = dive_state(logbook, record)
    if before.pause is None:
        raise UsageError(f"{record.id} is not paused", "go on with the list")
    if item is not None:
        item = find_item(before, item).item
    written = append(logbook, record, "resume", by, {"item": item}, at=at)
    after = dive_state(logbook, logbook.record(record.id))
    again = asked_again(before, after)
    if not again:
        return Resumed(written, "nothing has to be asked again")
    first = after.item(again[0])
    what = first.challenge if first else again[0]
    if len(again) == 1:
        return Resumed(written, f"asked again: {what}")
    return Resumed(written, f"the pause was long: {len(again)} items are asked again, beginning with {what}")


def asked_again(before: DiveState, after: DiveState) -> list[str]:
    """The items that were answered during a pause and are asked again now that it is over."""
    return [
        i
        for i, s in after.items.items()
        if s.state in ("open", "expired") and i in before.items and before.items[i].state == "answered"
    ]
