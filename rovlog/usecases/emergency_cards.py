"""Emergency cards: act first; that a card was opened, and when, is written down afterwards."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rovlog.domain.dive import Record
from rovlog.usecases.checklists_of import checklists_for
from rovlog.usecases.logbook import Logbook
from rovlog.usecases.one_line import require_word
from rovlog.usecases.recording import Written, append

if TYPE_CHECKING:
    from rovlog.domain.checks.checklist import Item


def emergency_cards(logbook: Logbook, vehicle: str) -> tuple[Item, ...]:
    """The cards for a vehicle, in the order of the list."""
    lists, _ = checklists_for(logbook, vehicle)
    return tuple(i for c in lists if c.phase == "emergency" for i in c.items())


def log_card_opened(
    logbook: Logbook,
    record: Record,
    card: str,
    *,
    by: str,
    opened_at: str | None,
    text: str = "",
    clock: str | None = "own",
) -> Written:
    """Write down that a card was opened: the entry's time is when it was opened, not when it is written.

    `card` is the card's id or its code ("Z5"); `text` what was seen and done, where somebody says so.
    `opened_at` None means now; `clock` says how that time is known, None where it was typed.
    Raises UsageError where there is no such card.
    """
    cards = emergency_cards(logbook, record.vehicle)
    known = {c.code.casefold(): c for c in cards if c.code} | {c.item: c for c in cards}
    chosen = known.get(card.casefold())
    if chosen is None:
        require_word("emergency card", card, [c.item for c in cards])
    assert chosen is not None
    words = f"emergency card {chosen.code} {chosen.challenge} was opened".replace("  ", " ")
    fields = {"card": chosen.item, "text": f"{words}: {text}" if text.strip() else words}
    return append(logbook, record, "note", by, fields, at=opened_at, clock=clock)
