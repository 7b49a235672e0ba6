"""The function test in words and as data: the next push, what may be answered, dry running, what is left.

Nothing here tells an observer what ought to be seen.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from rovlog.domain.diagnosis.dry_limits import percent
from rovlog.domain.diagnosis.flow import FLOW_WORDS
from rovlog.faces.reports.diagnosis_text import push_words
from rovlog.faces.reports.dry_text import dry_data, dry_words

if TYPE_CHECKING:
    from rovlog.domain.diagnosis.function_test import ListedPush
    from rovlog.usecases.function_test import FunctionTest, Observed, WatchedTest

CAUTION = (
    "Clamped, guards on, hands, hair and cords clear. Watch a ribbon on a rod, or the wash at the water's "
    "edge; never feel for it with a hand."
)

CALL_CLEAR = 'The tender calls "clear" before every burst.'


def called_words(push: Mapping[str, float]) -> str:
    """A push as it is called out: "left stick forward at 30 %"."""
    return push_words(tuple(sorted(push.items())))


def listed_words(push: ListedPush, *, is_dry: bool) -> str:
    """A push of the test as it is called out; as a bare end where it cannot be made in air."""
    positions = push.positions(is_dry=is_dry) or ((push.control, push.end),)
    return push_words(positions)


def burst_words(test: FunctionTest) -> str:
    """How long a burst is, in a clause."""
    if not test.is_dry:
        return "in water: long enough to see it, then back to the middle"
    limits = test.dry.limits
    return (
        f"in air: {limits.burst_s:g} s at most, then back to the middle; no thruster above "
        f"{percent(limits.command_share)} of command if the box is as recorded"
    )


def progress_words(test: WatchedTest) -> str:
    """How much of the test was watched: "3 of 8 pushes watched"."""
    return f"{test.watched} of {len(test.ends)} pushes watched"


def next_text(test: FunctionTest, name: str) -> str:
    """The next push with its caution, and how to call it and to answer; `name` is the record as typed."""
    lines = [f"Function test of {test.configuration.vehicle}: {progress_words(test.progress)}."]
    if test.called is not None:
        lines.append(f"Called and not answered yet: {called_words(test.called.push)}.")
    push = test.next
    if push is not None:
        lines += [
            f"Next push: {listed_words(push, is_dry=test.is_dry)}",
            f"  {burst_words(test)}",
            *(f"CAUTION: {CAUTION}".replace(". ", ".\n  ", 1).splitlines()),
            f"  {CALL_CLEAR}",
        ]
    elif test.left:
        lines.append(f"What is left is for the water: {_only_wet_words(test)}")
    else:
        lines.append(
            f"The whole test is watched. What it says, and which push would tell more: rovlog diagnose {name}"
        )
    if test.is_dry:
        words = dry_words(test.dry)
        lines.append(words[0].upper() + words[1:] + ".")
    if push is not None or test.called is not None:
        thrusters = " ".join(f"{t.thruster}=…" for t in test.configuration.thrusters)
        lines += [
            "When clear is called, and then what each thruster did:",
            f"  rovlog {test.record.kind} observe {name} --clear --by PERSON",
            f"  rovlog {test.record.kind} observe {name} --by PERSON --seen \\",
            f"    {thrusters}",
            f"  where it threw air or water: {', '.join(FLOW_WORDS)}",
        ]
    return "\n".join(lines) + "\n"


def _only_wet_words(test: FunctionTest) -> str:
    first = test.only_wet[0]
    more = f", and {len(test.only_wet) - 1} more" if len(test.only_wet) > 1 else ""
    return f"{listed_words(first, is_dry=False)} ({first.why_not_dry}){more}"


def next_data(test: FunctionTest) -> dict[str, Any]:
    """The same as data."""
    push = test.next
    return {
        "record": test.record.id,
        "medium": test.medium,
        **watched_data(test.progress),
        "next": None if push is None else _push_data(push, is_dry=test.is_dry),
        "called": None
        if test.called is None
        else {"push": dict(test.called.push), "medium": test.called.medium, "entry": test.called.entry.id},
        "burst_s": test.dry.limits.burst_s if test.is_dry else None,
        "dry": dry_data(test.dry),
        "refused": (test.dry.refusal() or None) if test.is_dry else None,
        "caution": f"{CAUTION} {CALL_CLEAR}",
        "thrusters": [t.thruster for t in test.configuration.thrusters],
        "words": list(FLOW_WORDS),
    }


def _push_data(push: ListedPush, *, is_dry: bool) -> dict[str, Any]:
    return {
        "push": dict(push.positions(is_dry=is_dry) or ()),
        "text": listed_words(push, is_dry=is_dry),
        "greatest_command": push.dry_command if is_dry else push.full_command,
    }


def watched_data(test: WatchedTest) -> dict[str, Any]:
    """How much of the test was watched, and what is left, as data."""
    return {
        "pushes": len(test.ends),
        "watched": test.watched,
        "left": [
            {"control": control, "end": end, "text": push_words(((control, end),))}
            for control, end in test.left
        ],
    }


def observed_data(found: Observed) -> dict[str, Any]:
    """An observation that is on the disk, as data."""
    entry = found.written.entry
    return {
        "record": found.written.record,
        "entry": entry.id,
        "n": entry.n,
        "kind": entry.kind,
        "push": dict(found.push),
        "seen": dict(found.seen),
        "medium": found.medium,
        "excesses": list(found.excesses),
        "across": list(found.across),
    }


def observed_text(found: Observed) -> str:
    """What was kept, by what its burst went beyond the limits, and what was seen across."""
    where = "in air" if found.medium == "dry" else "in water"
    count = len(found.seen)
    lines = [
        f"kept: {called_words(found.push)}, {where}, {count} thruster{'' if count == 1 else 's'} answered"
    ]
    lines += [f"  BEYOND the limits in air: {words}" for words in found.excesses]
    lines += [f"  {words}: kept as unseen; look whether it is mounted as recorded" for words in found.across]
    return "\n".join(lines) + "\n"


def progress_text(test: WatchedTest) -> str:
    """The state of the test for the page of a record: how much was watched, and what is left."""
    words = f"Function test: {progress_words(test)}"
    if not test.left:
        return f"{words}, the whole of it.\n"
    left = "; ".join(push_words((end,)) for end in test.left)
    return f"{words}; left: {left}.\n"
