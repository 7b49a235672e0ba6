"""Parts in words and as data: where fitted, running hours, what is due."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any

from rovlog.faces.reports.columns import table, wrapped
from rovlog.faces.reports.plain import clean

if TYPE_CHECKING:
    from rovlog.domain.audit.parts import Due, PartLife, Stay

Names = Callable[[str], str]

DUE_ORDER = ("past due", "soon", "not known", "not yet")
"""What is due, the most pressing first."""


def hours_words(hours: float) -> str:
    """Running hours: "12.4 h"."""
    return f"{hours:.1f} h"


def where_words(life: PartLife) -> str:
    """Where a part is now: "fitted to grebe main housing", "lent to …", "nobody noted where"."""
    now = life.now
    if now is None:
        last = life.stays[-1] if life.stays else None
        return f"taken off {last.to} on {last.until[:10]}" if last else "nobody noted where it is"
    if now.is_lent:
        return f"{now.to} since {now.since[:10]}"
    if not now.vehicle:
        return f"on nothing: {now.to}"
    return f"{'named by' if now.is_from_files else 'fitted to'} {now.to} since {now.since[:10]}"


def due_words(due: Due) -> str:
    """One thing due in words: "seals replaced: past due by 3 days"."""
    said = []
    if due.left_h is not None:
        said.append(f"{due.left_h:.1f} h left" if due.left_h > 0 else f"past due by {-due.left_h:.1f} h")
    if due.left_days is not None:
        said.append(
            f"{due.left_days:.0f} days left"
            if due.left_days > 0
            else f"past due by {-due.left_days:.0f} days"
        )
    elif due.every_days is not None:
        said.append("nobody noted when it was last done")
    return f"{due.what}: {', '.join(said) or 'no interval is given'}"


def every_words(due: Due) -> str:
    """How often: "every 50 h or 182 days"."""
    said = [f"{v:g} {u}" for v, u in ((due.every_hours, "h"), (due.every_days, "days")) if v is not None]
    return "every " + " or ".join(said) if said else "no interval"


def part_data(life: PartLife) -> dict[str, Any]:
    """One part as data."""
    now = life.now
    return {
        "part": life.part,
        "kind": life.kind,
        "name": life.name,
        "serial": life.serial or None,
        "hours": round(life.hours, 3),
        "hours_at_entry": life.hours_at_entry,
        "fitted_to": None if now is None else now.to,
        "vehicle": (now.vehicle or None) if now else None,
        "lent": bool(now and now.is_lent),
        "stays": [_stay_data(s) for s in life.stays],
        "due": [due_data(d) for d in life.due],
        "notes": list(life.notes),
    }


def _stay_data(stay: Stay) -> dict[str, Any]:
    return {
        "to": stay.to,
        "vehicle": stay.vehicle or None,
        "since": stay.since,
        "until": stay.until or None,
        "by": stay.by or None,
        "record": stay.record,
        "hours": round(stay.running_s / 3600.0, 3),
        "dives": stay.dives,
        "from_files": stay.is_from_files,
    }


def due_data(due: Due) -> dict[str, Any]:
    """One thing due as data; null where an interval or the last time is not given."""
    return {
        "what": due.what,
        "every_hours": due.every_hours,
        "every_days": due.every_days,
        "last": due.last or None,
        "left_hours": None if due.left_h is None else round(due.left_h, 3),
        "left_days": due.left_days,
        "state": due.state,
    }


def parts_text(lives: Sequence[PartLife]) -> str:
    """Every part, a line or two each."""
    if not lives:
        return "No part is on file yet: write parts/<part>.yaml.\n"
    lines = []
    for life in lives:
        lines += wrapped(
            clean(f"{life.part}  {life.kind}, {life.name}: {hours_words(life.hours)}, {where_words(life)}"),
            0,
            4,
        )
        lines += [
            line
            for d in life.due
            if d.state in ("past due", "soon")
            for line in wrapped(clean(f"{d.state.upper()}  {due_words(d)}"), 4, 8)
        ]
    return "\n".join(lines) + "\n"


def part_text(life: PartLife, names: Names) -> str:
    """One part in full: where it was, hours, what is due."""
    lines = [
        clean(f"{life.part}: {life.name} ({life.kind})" + (f", serial {life.serial}" if life.serial else ""))
    ]
    came = (
        f", {hours_words(life.hours_at_entry)} of them before it was entered here"
        if life.hours_at_entry
        else ""
    )
    lines += [f"  running      {hours_words(life.hours)}{came}", f"  now          {clean(where_words(life))}"]
    if life.stays:
        lines += ["", "Where it was"]
        rows = [("since", "until", "hours", "dives", "on", "by")]
        rows += [
            (
                s.since[:10],
                s.until[:10] or "now",
                f"{s.running_s / 3600:.1f}",
                str(s.dives),
                clean(s.to),
                "the files" if s.is_from_files else clean(names(s.by)),
            )
            for s in life.stays
        ]
        lines += table(rows, 2, (2, 3))
    if life.due:
        lines += ["", "Due"]
        for due in life.due:
            lines += wrapped(clean(f"{due.state:<9} {due_words(due)} ({every_words(due)})"), 2, 12)
    lines += [line for note in life.notes for line in wrapped(f"note: {clean(note)}", 0, 6)]
    return "\n".join(lines) + "\n"


def due_text(lives: Sequence[PartLife]) -> str:
    """What is due, the most pressing first."""
    rows = due_rows(lives)
    if not rows:
        return "Nothing is due from time to time: no part says so.\n"
    lines = []
    for life, due in rows:
        lines += wrapped(clean(f"{due.state:<9} {life.part}  {due_words(due)} ({every_words(due)})"), 0, 10)
    return "\n".join(lines) + "\n"


def due_rows(lives: Sequence[PartLife]) -> list[tuple[PartLife, Due]]:
    """Every part with each thing due, the most pressing first."""
    rows = [(life, due) for life in lives for due in life.due]
    return sorted(rows, key=lambda row: (DUE_ORDER.index(row[1].state), row[0].part))
