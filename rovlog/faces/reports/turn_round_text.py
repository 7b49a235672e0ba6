"""The turn-round between dives in words and as data: what is open, why, and what is carried over."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from rovlog.domain.checks.checklist import names_of
from rovlog.faces.reports.columns import wrapped
from rovlog.faces.reports.plain import clean

if TYPE_CHECKING:
    from rovlog.usecases.turn_round import OpenItem, TurnRound

CAUSE_WORDS = {
    "failed": "failed",
    "voided": "voided",
    "expired": "run out",
    "unfinished": "begun, not complete",
    "deferred": "put off",
    "each dive": "asked on every dive",
    "never answered": "never answered",
}
"""Heads of the groups, by cause."""

IN_FULL = ("failed", "voided", "expired", "unfinished", "deferred")
"""Causes whose items each have a reason of their own; the others are gathered by group."""


def turn_round_data(found: TurnRound) -> dict[str, Any]:
    """The turn-round as data."""
    return {
        "vehicle": found.vehicle,
        "dive": found.record.id if found.record else None,
        "as_if_like": found.like or None,
        "count": len(found.open),
        "open": [
            {
                "item": row.item.item,
                "code": row.item.code or None,
                "group": row.group,
                "state": row.state.state,
                "cause": row.cause,
                "why": row.why,
                "stops": row.item.stops,
            }
            for row in found.open
        ],
        "carried": [
            {"item": item.item, "by": state.by, "at": state.at, "from": state.carried_from}
            for item, state in found.carried
        ],
        "stops": [{"reason": s.reason, "clears": s.clears, "id": s.id, "rank": s.rank} for s in found.stops],
        "notes": list(found.notes),
    }


def turn_round_text(found: TurnRound) -> str:
    """Only what is open, most telling cause first; what still holds is a count and the codes."""
    from rovlog.usecases.turn_round import CAUSES

    lines = [_head(found)]
    if found.record is None:
        like = f" as {found.like} did (site, water, crew)" if found.like else ""
        lines.append(f"Judged as if the dive began now{like}.")
    for cause in CAUSES:
        rows = [row for row in found.open if row.cause == cause]
        if rows:
            lines += ["", f"{CAUSE_WORDS[cause]}: {len(rows)}"]
            lines += _each(rows) if cause in IN_FULL else _gathered(rows)
    if found.stops:
        lines += ["", "Besides open items this stops the dive:"]
        for stop in found.stops:
            lines += wrapped(clean(stop.reason), 2, 4) + wrapped(f"clears: {clean(stop.clears)}", 4, 6)
    if found.carried:
        words = ", ".join(item.code or item.challenge for item, _ in found.carried)
        lines += ["", *wrapped(f"Still holds: {words}", hanging=2)]
    lines += [f"note: {clean(note)}" for note in found.notes]
    return "\n".join(lines) + "\n"


def _head(found: TurnRound) -> str:
    count, held = len(found.open), len(found.carried)
    items = "nothing is" if not count else "1 item is" if count == 1 else f"{count} items are"
    answers = "1 answer still holds" if held == 1 else f"{held} answers still hold"
    whose = f"on {found.record.id}" if found.record else "for the next dive"
    return f"{found.vehicle}: {items} open {whose}; {answers}."


def _each(rows: list[OpenItem]) -> list[str]:
    lines: list[str] = []
    for row in rows:
        why = f" ({clean(row.why)})" if row.why else ""
        lines += wrapped(f"{clean(row.item.name)}{why}", 2, 4)
    return lines


def _gathered(rows: list[OpenItem]) -> list[str]:
    lines: list[str] = []
    for group in dict.fromkeys(row.group for row in rows):
        mine = [row.item for row in rows if row.group == group]
        lines += wrapped(f"{clean(group)}: {clean(names_of(mine))}", 2, 4)
    return lines
