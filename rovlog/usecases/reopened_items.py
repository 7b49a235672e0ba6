"""Which answers an entry ended: what is on the list again because of something that was just logged."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rovlog.domain.dive import Record
from rovlog.usecases.dive_state import dive_state
from rovlog.usecases.logbook import Logbook

if TYPE_CHECKING:
    from rovlog.domain.checks.checklist import Item


def reopened_items(logbook: Logbook, before: Record) -> tuple[Item, ...]:
    """The items that stood as answered or put aside in `before` and do not in the record as it is now."""
    after = dive_state(logbook, logbook.record(before.id))
    # Judged at one moment, so that nothing that merely ran out meanwhile is counted.
    was = dive_state(logbook, before, now=after.now)
    return tuple(
        item
        for name, item in after.fold.items.items()
        if name in after.items
        and not after.items[name].is_settled
        and name in was.items
        and was.items[name].is_settled
    )
