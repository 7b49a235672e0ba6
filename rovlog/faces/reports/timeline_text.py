"""The timeline in words and as data."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any

from rovlog.faces.reports.plain import clean

if TYPE_CHECKING:
    from rovlog.domain.audit.timeline import Moment

CLOCK_MARKS = {"own": " ", "agreed": "=", "memory": "~"}
"""Beside a time: nothing by its own clock, = agreed with another clock, ~ from memory."""


def timeline_data(moments: Sequence[Moment]) -> list[dict[str, Any]]:
    """The timeline as data, oldest first."""
    return [
        {
            "at": m.at,
            "clock": m.clock,
            "kind": m.kind,
            "record": m.record,
            "by": m.by,
            "text": m.text,
            "is_jump": m.is_jump,
        }
        for m in moments
    ]


def timeline_text(moments: Sequence[Moment], names: Callable[[str], str]) -> str:
    """The timeline, a line a moment, days as headings; times as their own clock had them."""
    if not moments:
        return "Nothing is on record.\n"
    lines: list[str] = []
    day = ""
    for m in moments:
        if m.at[:10] != day:
            day = m.at[:10]
            lines.append(("" if not lines else "\n") + day)
        who = f" ({clean(names(m.by))})" if m.by else ""
        jump = " (its clock went back)" if m.is_jump else ""
        lines.append(
            f"  {m.at[11:16]}{CLOCK_MARKS.get(m.clock, ' ')} {m.kind:<10} {clean(m.text)}{who}{jump}"
        )
    if any(m.clock == "memory" for m in moments):
        lines.append("\n~ time from memory")
    return "\n".join(lines) + "\n"
