"""The timeline in words and as data."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any

from rovlog.domain.audit.times import CLOCK_WORDS
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
    lines += clock_legend({m.clock for m in moments})
    return "\n".join(lines) + "\n"


def clock_legend(grades: set[str]) -> list[str]:
    """What the marks beside the times mean; nothing where every time is by its own clock."""
    if not grades - {"own"}:
        return []
    said = [f"{CLOCK_MARKS[g]} time {CLOCK_WORDS[g]}" for g in ("agreed", "memory") if g in grades]
    own = ["no mark: by its own clock"] if "own" in grades else []
    return ["", "; ".join([*said, *own])]
