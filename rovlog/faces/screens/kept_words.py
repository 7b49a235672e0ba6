"""What is said once an answer is on the disk."""

from __future__ import annotations

from rovlog.domain.checks.state import ItemState
from rovlog.faces.reports.check_text import judged_words
from rovlog.faces.screens.desk import InHand
from rovlog.usecases.answer_item import Answered


def kept_words(answered: Answered, state: ItemState | None, hand: InHand) -> str:
    """One line: kept, when, by whom, and how it was judged; a blind answer is not given away."""
    entry = answered.written.entry
    name = f"{answered.item.code} {answered.item.challenge}".strip()
    head = f"kept {entry.at[11:16]} by {hand.name_of(entry.by)}: {name}"
    if state is not None and state.waits_for_second:
        return f"{head}; the second person answers next"
    if answered.outcome == "fail" or (state is not None and state.state == "failed"):
        broken = [judged_words(j) for j in answered.judged if j.passed is False]
        why = (
            answered.differs
            or "; ".join(broken)
            or (state.reason if state is not None and state.reason else "as failed")
        )
        return f"{head}, FAILED: {why}"
    judged = [judged_words(j) for j in answered.judged]
    notes = [n for n in answered.notes if not n.startswith(("not judged", "read out"))]
    return "; ".join([head, *judged, *notes])
