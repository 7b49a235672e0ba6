"""Questions, timers, the order of second looks and the pace, in words and as data."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from rovlog.faces.reports.plain import clean

if TYPE_CHECKING:
    from rovlog.domain.checks.pace import Pace
    from rovlog.domain.checks.plausible import Question
    from rovlog.domain.checks.second_looks import SecondLooks
    from rovlog.domain.checks.timers import RunningTimer


def questions_text(questions: Sequence[Question]) -> str:
    """What is asked before an entry is kept, a line each."""
    return "".join(f"? {clean(q.text)}\n" for q in questions)


def timer_words(timer: RunningTimer, called: Callable[[str], str] = str) -> str:
    """One timer: how much of it is left, or that its time is over, with what makes that doubtful."""
    name = f"{clean(called(timer.item))}: {clean(timer.timer).replace('-', ' ')}"
    if timer.left_s is None:
        words = f"{name} of {minutes(timer.duration_s)}, cannot be judged"
    elif timer.is_over:
        words = f"{name} of {minutes(timer.duration_s)} is over"
    else:
        words = f"{name}, {minutes(timer.left_s)} left of {minutes(timer.duration_s)}"
    return f"{words}, started {timer.started_at[11:16]}" + (f" ({clean(timer.note)})" if timer.note else "")


def minutes(seconds: float) -> str:
    """Minutes and seconds as on a clock: 2:05."""
    whole = round(seconds)
    return f"{whole // 60}:{whole % 60:02d}"


def pace_lines(pace: Pace, called: Callable[[str], str] = str) -> list[str]:
    """The neutral note to the supervisor, a line each; [] where there is nothing to say. `called` says how
    a crew calls an item of this id."""
    lines = []
    if pace.quick is not None:
        names = clean("; ".join(map(called, pace.quick.items)))
        lines.append(
            f"answered quicker than a look, of {pace.quick.timed} stop items whose time is known: {names}"
        )
    for same in pace.same:
        what = f"{clean(called(same.item))}, {clean(same.value)}"
        lines.append(f"{what}: {same.reading:g} {same.unit} to the last digit on {same.dives} dives running")
    lines += [
        f"{clean(called(h.item))} never failed in {h.answers} answers and takes {h.median_s:.0f} s:"
        " does it still earn its place in the list?"
        for h in pace.habits
    ]
    return lines


def looks_words(looks: SecondLooks, called: Callable[[str], str] = str) -> str:
    """The order proposed to a crew of one."""
    order = clean("; ".join(map(called, looks.items)))
    if looks.is_time:
        return f"a crew of one: look again now, the other way round: {order}"
    return f"a crew of one: look again after the rest ({len(looks.rest)} left), the other way round: {order}"


def watch_text(
    timers: Sequence[RunningTimer],
    looks: Sequence[SecondLooks],
    pace: Pace,
    called: Callable[[str], str] = str,
) -> str:
    """All of it below a record; "" where there is nothing to say."""
    lines = [f"timer {timer_words(t, called)}" for t in timers]
    lines += [looks_words(one, called) for one in looks]
    said = pace_lines(pace, called)
    if said:
        lines += ["for the supervisor, as a note and no reproach:", *(f"  {line}" for line in said)]
    return "\n" + "\n".join(lines) + "\n" if lines else ""


def watch_data(timers: Sequence[RunningTimer], looks: Sequence[SecondLooks], pace: Pace) -> Mapping[str, Any]:
    """All of it as data."""
    quick = pace.quick
    return {
        "timers": [
            {
                "item": t.item,
                "timer": t.timer,
                "duration_s": t.duration_s,
                "started_at": t.started_at,
                "by": t.by,
                "left_s": t.left_s,
                "note": t.note,
            }
            for t in timers
        ],
        "second_looks": [i for one in looks for i in one.items],
        "pace": {
            "quick": {"items": list(quick.items), "timed": quick.timed} if quick else None,
            "same": [
                {
                    "item": s.item,
                    "value": s.value,
                    "reading": s.reading,
                    "unit": s.unit,
                    "dives": s.dives,
                }
                for s in pace.same
            ],
            "habits": [{"item": h.item, "answers": h.answers, "median_s": h.median_s} for h in pace.habits],
        },
    }
