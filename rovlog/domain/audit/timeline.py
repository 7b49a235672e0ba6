"""The time line: dives, work, faults, events, changes and approvals interleaved."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from rovlog.domain.audit.agreed_clocks import clock_grades, comparison_words, is_comparison
from rovlog.domain.audit.history import ApprovalNote, Change
from rovlog.domain.audit.times import JUMP_S, Clock, instant_s, or_last
from rovlog.domain.dive import VOID_EVENTS, Entry, Record
from rovlog.domain.drift.leaves import ABSENT
from rovlog.domain.drift.words import place_words, value_words
from rovlog.values import dataclass

TOLD = ("fault", "event", "fitted", "release", "waiver", "trim", "setup", "readback", "mark", "close")
"""Kinds of entries that the time line tells; checks and notes belong to the record itself."""


@dataclass(frozen=True, slots=True)
class Moment:
    """One thing on the time line.

    `at` is the time as written, `clock` its grade. `kind` is dive, work, change, approval, withdrawal,
    or an entry's kind. `record` is the dive, the work, the commit or the revision; `by` who. `is_jump` is
    True where its clock went back against an earlier entry of the same record, or cannot be read.
    """

    at: str
    clock: Clock
    kind: str
    record: str
    by: str
    text: str
    is_jump: bool = False


def timeline(
    records: Sequence[Record],
    changes: Sequence[Change] = (),
    approvals: Sequence[ApprovalNote] = (),
    *,
    since: str = "",
    until: str = "",
    kinds: Sequence[str] = (),
    tells: Callable[[Record, Entry], bool] | None = None,
) -> tuple[Moment, ...]:
    """Everything in order.

    The entries of one record keep their own order, whatever their clock says; a clock that went back
    is told. Records, changes and approvals are interleaved by their times, the times of commits
    being those of the laptop that made them. What has no time that can be read stands last.

    Args:
        records: dives and work.
        changes: commits that touched the configuration.
        approvals: with their withdrawals.
        since, until: an interval, RFC 3339 or a day; both ends included.
        kinds: only these kinds; all where empty.
        tells: which entries of the records are told; all of TOLD where None.
    """
    rows: list[tuple[float, int, Moment]] = []
    for record in records:
        rows += _of_record(record, tells)
    rows += [
        (or_last(c.at), 0, Moment(c.at, "own", "change", c.commit, c.author, change_words(c)))
        for c in changes
    ]
    for a in approvals:
        text = f"revision {a.revision} ({a.digest.removeprefix('sha256:')[:4]}) approved: {a.reason}"
        rows.append((or_last(a.at), 1, Moment(a.at, "own", "approval", f"r{a.revision}", a.by, text)))
        if a.withdrawn is not None:
            text = f"revision {a.revision} withdrawn: {a.withdrawn}"
            moment = Moment(a.withdrawn_at, "own", "withdrawal", f"r{a.revision}", a.by, text)
            rows.append((or_last(a.withdrawn_at), 1, moment))
    rows.sort(key=lambda row: (row[0], row[1]))
    return tuple(m for _, _, m in rows if _is_within(m, since, until) and (not kinds or m.kind in kinds))


def change_words(change: Change) -> str:
    """A commit in words: its message, and what it changed; the first writing of a vehicle is told as that."""
    if any("/" not in p[1:] and old is ABSENT for p, old, _ in change.differences):
        message = change.message.splitlines()[0] if change.message else ""
        return f"{message} (first written)".strip()
    parts = [
        f"{place_words(p)}: {_short(value_words(p, old))} to {_short(value_words(p, new))}"
        for p, old, new in change.differences[:3]
    ]
    if len(change.differences) > 3:
        parts.append(f"and {len(change.differences) - 3} more")
    message = change.message.splitlines()[0] if change.message else ""
    return f"{message} ({'; '.join(parts)})" if parts else message


def _short(words: str, most: int = 60) -> str:
    return words if len(words) <= most else words[: most - 1] + "…"


def _of_record(
    record: Record, tells: Callable[[Record, Entry], bool] | None
) -> list[tuple[float, int, Moment]]:
    start = next(iter(record.of_kind("start")), None)
    grades = clock_grades(record)
    clock = grades[start.id] if start else "own"
    first = or_last(record.started)
    opening = Moment(
        record.started, clock, record.kind, record.id, start.by if start else "", _begun(record, start)
    )
    rows = [(first, 2, opening)]
    latest = first
    for entry in record.entries:
        instant = instant_s(entry.at)
        is_told = entry.fields.get("clock") == "memory"
        is_jump = instant is None or (instant < latest - JUMP_S and not is_told)
        latest = max(latest, instant if instant is not None else latest)
        if (entry.kind in TOLD or is_comparison(entry)) and (tells is None or tells(record, entry)):
            moment = Moment(
                entry.at, grades[entry.id], entry.kind, record.id, entry.by,
                entry_words(entry), is_jump,
            )  # fmt: skip
            rows.append((latest, 2, moment))
    return rows


def _begun(record: Record, start: Entry | None) -> str:
    fields = start.fields if start else {}
    if record.kind == "work":
        return f"work on {record.vehicle or record.box}: {fields.get('purpose', 'no purpose noted')}"
    crew = ", ".join(f"{role} {person}" for role, person in dict(fields.get("crew") or {}).items())
    site = fields.get("site", "a place not noted")
    closed = "" if record.is_closed else "; never closed"
    return f"dive of {record.vehicle} at {site}{f'; {crew}' if crew else ''}{closed}"


def entry_words(entry: Entry) -> str:
    """One entry in words."""
    fields = entry.fields
    text = str(fields.get("text") or "")
    part = f" ({fields['part']})" if fields.get("part") else ""
    match entry.kind:
        case "fault":
            head = f"fault {fields.get('symptom', 'without a symptom')}{part}"
        case "event":
            slug = str(fields.get("event", ""))
            head = VOID_EVENTS.get(slug, slug.replace("-", " ")) + part
        case "fitted":
            head = f"{fields.get('part')} fitted as {fields.get('to', 'a part')}"
            head += f" in place of {fields['replaces']}" if fields.get("replaces") else ""
        case "trim":
            trims = dict(fields.get("trim") or {})
            head = "trim " + ", ".join(
                f"{d} {value_words(f'/trim_defaults/{d}', v)}" for d, v in trims.items()
            )
            text = text or str(fields.get("reason") or "")
        case "setup":
            head = "set, by the pilot's word: " + value_words("", dict(fields.get("values") or {}))
        case "readback":
            head = f"box {fields.get('box')} read: " + value_words("", dict(fields.get("in_use") or {}))
        case "mark":
            head = str(fields.get("mark", "")).replace("-", " ")
        case "waiver":
            head = f"waiver for {fields.get('item') or fields.get('pointer') or fields.get('stop')}"
            text = text or str(fields.get("reason") or "")
        case "reading" if is_comparison(entry):
            head, text = comparison_words(entry), ""
        case "release":
            head = f"released: {fields.get('point') or fields.get('item') or ''}".rstrip(": ")
        case _:
            head = "closed" if entry.kind == "close" else entry.kind
    return f"{head}: {text}" if text else head


def _is_within(moment: Moment, since: str, until: str) -> bool:
    """Whether a moment lies in an interval; a bare day is compared as a day, by the moment's own offset."""
    for bound, is_lower in ((since, True), (until, False)):
        if not bound:
            continue
        if len(bound) <= 10:
            day = moment.at[:10]
            if (day < bound) if is_lower else (day > bound):
                return False
            continue
        here, there = or_last(moment.at), or_last(bound)
        if (here < there) if is_lower else (here > there):
            return False
    return True
