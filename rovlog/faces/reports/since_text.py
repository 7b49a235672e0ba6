"""What changed since a dive, and what each change does alone and all of them together: words and data."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from rovlog.domain.drift.leaves import ABSENT
from rovlog.domain.drift.words import place_words, value_words
from rovlog.faces.reports.columns import wrapped
from rovlog.faces.reports.plain import clean

if TYPE_CHECKING:
    from rovlog.domain.drift.effect import Effect
    from rovlog.usecases.changes_since import ChangeSince, ChangesSince

SAID_BY = {
    "baseline": "",
    "working": "in the working files",
    "readback": "by the box's readback",
    "setup": "by the pilot's word",
    "trim": "trimmed by the pilot",
}
"""Who vouches for a value that was not as in the baseline."""


def since_lines(changes: ChangesSince) -> list[str]:
    """Each change in words and numbers, approved or not, with its effect; then all of them together."""
    lines = []
    for row in changes.rows:
        before, after = value_words(row.pointer, row.before), value_words(row.pointer, row.after)
        lines += wrapped(
            clean(f"{place_words(row.pointer)}: {before} -> {after}; {approved_words(row)}"), 2, 4
        )
        lines += wrapped(clean(f"alone: {row.effect.text}"), 4, 6)
    if changes.together is not None and len(changes.rows) > 1:
        lines += wrapped(clean(f"all {len(changes.rows)} together: {changes.together.text}"), 2, 4)
    return lines


def approved_words(row: ChangeSince) -> str:
    """Whether the change was approved, and who vouches for it."""
    if row.was_in_force:
        words = f"approved, revision {row.revision} in force"
    elif row.revision is not None:
        words = f"not as approved for that dive; revision {row.revision} holds it"
    else:
        words = "never approved"
    said = SAID_BY.get(row.said_by, row.said_by)
    written = f"; first written in commit {row.commit[:10]}" if row.commit else ""
    return words + (f"; {said}" if said else "") + written


def since_data(changes: ChangesSince) -> dict[str, Any]:
    """The changes with their effects as data."""
    return {
        "changes": [
            {
                "pointer": r.pointer,
                "from": None if r.before is ABSENT else r.before,
                "to": None if r.after is ABSENT else r.after,
                "approved": r.was_in_force,
                "revision": r.revision,
                "said_by": r.said_by,
                "commit": r.commit or None,
                "effect": effect_data(r.effect),
            }
            for r in changes.rows
        ],
        "together": None if changes.together is None else effect_data(changes.together),
    }


def effect_data(effect: Effect) -> dict[str, Any]:
    """One effect as data, as in the drift."""
    current = effect.worst_case_current_a
    return {
        "text": effect.text,
        "reversed": list(effect.reversed),
        "lost": dict(effect.lost),
        "worst_case_current_a": None
        if current is None
        else {"before": current.before, "after": current.after},
    }
