"""Emergency cards as text: at most six lines each, first action first, nothing to answer."""

from __future__ import annotations

from rovlog.domain.checks.checklist import Checklist, Item
from rovlog.faces.reports.plain import clean

CARD_LINES = 6
"""No card has more lines than this."""


def card_lines(card: Item) -> list[str]:
    """One card: its event, then its actions numbered. What a narrow screen needs two lines for (the
    second begins in lower case) is one here; so is what would be a seventh line, beside the sixth."""
    actions: list[str] = []
    for action in card.actions:
        if actions and action[:1].islower():
            actions[-1] += f" {action}"
        else:
            actions.append(action)
    lines = [f"{card.code} {card.challenge}".strip()]
    rows = [f"   {number} {action}" for number, action in enumerate(actions, start=1)]
    room = CARD_LINES - 1
    if len(rows) > room:
        rows = [*rows[: room - 1], ";  ".join([rows[room - 1], *(r.strip() for r in rows[room:])])]
    return [clean(line) for line in lines + rows]


def cards_text(cards: Checklist) -> str:
    """Every card, an empty line between them."""
    blocks = ["\n".join(card_lines(item)) for item in cards.items()]
    return "\n\n".join(blocks) + "\n"
