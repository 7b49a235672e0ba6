"""A time that looks like a slip: before its record began, behind a later mark, power on for days.

Asked about once and kept either way, as doubtful readings are. A time that lies ahead of the clock is
no question: nobody can have seen what it stands for, and it is refused where entries are written.
"""

from __future__ import annotations

from datetime import datetime

from rovlog.domain.audit.running import LONGEST_S
from rovlog.domain.audit.times import JUMP_S, instant_s
from rovlog.domain.checks.plausible import Question
from rovlog.domain.dive import MARKS, Entry, Record

IN_WATER = ("in-water", "off-surface", "back-at-surface")
"""Marks of a vehicle in the water, which is under power there."""


def time_questions(record: Record, at: str, mark: str = "", *, is_typed: bool = True) -> tuple[Question, ...]:
    """What is asked about an entry of this time before it is written; `mark` is the moment it marks, if one.

    A time that was not typed is this laptop's own, which may differ a little from another one's.
    """
    typed, began = instant_s(at), instant_s(record.started)
    if typed is None:
        return ()
    found = []
    if began is not None and typed < began - JUMP_S:
        found.append(f"{_shown(at)} lies before the beginning of {record.id}, {_shown(record.started)}")
    if mark in MARKS:
        found += _of_mark(record, mark, at, typed, 0.0 if is_typed else JUMP_S)
    return tuple(Question("at", text) for text in found)


def _of_mark(record: Record, mark: str, at: str, typed: float, allowed_s: float) -> list[str]:
    marks = record.of_kind("mark")
    if not marks:
        return []
    found = []
    name = mark.replace("-", " ")
    late = max(reversed(marks), key=lambda m: instant_s(m.at) or 0.0)
    latest = instant_s(late.at)
    if latest is not None and typed < latest - allowed_s:
        found.append(f"{name} at {_shown(at)} lies before {_name(late)} at {_shown(late.at)}")
    power = [m for m in marks if m.fields.get("mark") in ("power-on", "power-off")]
    if not power:
        return found
    last = power[-1]
    if last.fields.get("mark") == "power-off" and mark in IN_WATER:
        found.append(f"power off was marked at {_shown(last.at)}: {name} without power")
    switched = instant_s(last.at)
    if last.fields.get("mark") == "power-on" and mark == "power-off" and switched is not None:
        hours = (typed - switched) / 3600.0
        if hours * 3600.0 > LONGEST_S:
            found.append(f"power on was marked at {_shown(last.at)}: {hours:.0f} h under power")
    return found


def _name(mark: Entry) -> str:
    return str(mark.fields.get("mark")).replace("-", " ")


def _shown(at: str) -> str:
    try:
        return datetime.fromisoformat(at).strftime("%Y-%m-%d %H:%M")
    except ValueError:
        return at
