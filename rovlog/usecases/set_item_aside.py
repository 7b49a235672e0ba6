"""Setting an item of a checklist aside: put off to a later moment, or not applicable today."""

from __future__ import annotations

from datetime import datetime, time
from typing import TYPE_CHECKING

from rovlog.domain.checks.validity import instant
from rovlog.domain.dive import Record
from rovlog.problems import UsageError
from rovlog.usecases.dive_state import DiveState, dive_state
from rovlog.usecases.find_item import find_item, refuse_held
from rovlog.usecases.logbook import Logbook
from rovlog.usecases.one_line import require_text
from rovlog.usecases.recording import Written, append
from rovlog.values import dataclass

if TYPE_CHECKING:
    from rovlog.domain.checks.checklist import Item


@dataclass(frozen=True, slots=True)
class Deferred:
    """An item that was put off: its entry, and the `hold` that is not released without it.

    `hold` is None for an item that may be waived: that one comes back at the end and at the last look.
    """

    written: Written
    item: Item
    hold: Item | None


def defer_item(
    logbook: Logbook,
    record: Record,
    name: str,
    *,
    by: str,
    reason: str,
    until: str | None = None,
    at: str | None = None,
) -> Deferred:
    """Put an item off, with who, why and by when; it comes back at the end and at the last look.

    What always stops can be put off as far as the next hold point and no further.
    """
    require_text("reason", reason)
    now = dive_state(logbook, record)
    item = find_item(now, name)
    refuse_held(now, item)
    state = now.items[item.item]
    if state.is_settled and state.state == "answered":
        raise UsageError(
            f"{item.name} is answered and still holds: there is nothing to put off",
            "log the event that voids it, if it no longer holds",
        )
    hold = hold_of(now, item)
    wanted = until or (hold.item if hold else "launch")
    by_when = _by_when(wanted, now, at or logbook.book.clock.now())
    fields = {"item": item.item, "reason": reason, "until": by_when}
    return Deferred(append(logbook, record, "deferral", by, fields, at=at), item, hold)


def hold_of(state: DiveState, item: Item) -> Item | None:
    """The hold point that is not released before this item is answered; None where it may be waived."""
    from rovlog.domain.checks.groups import next_hold

    return next_hold(item.item, state.lists) if item.stops == "always" else None


def item_not_applicable(
    logbook: Logbook, record: Record, name: str, *, by: str, reason: str, at: str | None = None
) -> Written:
    """Say why an item does not apply today; what always stops applies unless the configuration says not."""
    require_text("reason", reason)
    now = dive_state(logbook, record)
    item = find_item(now, name)
    if item.stops == "always":
        raise UsageError(
            f"{item.challenge} always stops the dive; only the configuration can make it not apply",
            "answer it, or change the configuration under control",
        )
    return append(logbook, record, "not-applicable", by, {"item": item.item, "reason": reason}, at=at)


def _by_when(text: str, state: DiveState, given_at: str) -> str:
    """`launch`, the id of the item it comes back before, or a time still to come, as a record holds it."""
    if text == "launch":
        return text
    given = instant(given_at)
    ends = instant(text) or _today_at(text, given)
    if ends is None:
        try:
            return find_item(state, text).item
        except UsageError as error:
            raise UsageError(
                f"{text!r} is no moment to put an item off to",
                "write launch, an item's code, a time of today as 15:30, or an RFC 3339 time",
            ) from error
    if given is not None and ends < given:
        raise UsageError(
            f"{text} is past: an item is put off to a later moment", "write a later time, or launch"
        )
    return ends.isoformat()


def _today_at(text: str, given: datetime | None) -> datetime | None:
    """15:30 as that time of the day it is given on."""
    try:
        at = time.fromisoformat(text)
    except ValueError:
        return None
    return None if given is None else datetime.combine(given.date(), at, given.tzinfo)
