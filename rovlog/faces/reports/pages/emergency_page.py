"""The emergency cards on paper: act first, tick later."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rovlog.faces.reports.pages.model import Block, Heading, Page, Paragraph, Points, Together

if TYPE_CHECKING:
    from rovlog.domain.checks.checklist import Checklist


def emergency_page(cards: tuple[Checklist, ...]) -> Page:
    """Every card, its actions numbered and large."""
    blocks: list[Block] = []
    for checklist in cards:
        for item in checklist.items():
            card: list[Block] = [Heading(f"{item.code} {item.challenge}".strip())]
            if item.caution is not None:
                card.append(Paragraph(f"{item.caution.word.upper()}: {item.caution.text}", "stop"))
            card.append(Points(item.actions or (item.response,), numbered=True, large=True))
            blocks.append(Together(tuple(card)))
    revisions = ", ".join(f"{c.checklist} revision {c.revision}" for c in cards)
    return Page("Emergency cards", "Act first, tick later", tuple(blocks), "", revisions)
