"""The timeline: dives, work, faults, changes and approvals of a vehicle, interleaved."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from rovlog.domain.dive import VOID_EVENTS, Entry, Record
from rovlog.usecases.audit_history import VehicleHistory, vehicle_history
from rovlog.usecases.logbook import Logbook

SHOWN = ("fault", "event", "trim", "fitted", "waiver", "release", "readback", "setup", "same-as")
"""Kinds of entries that stand in the timeline by themselves, beside a record's start and close."""


@dataclass(frozen=True, slots=True)
class Moment:
    """One line of the timeline: when by which grade of clock, what kind, where it stands, and the words."""

    at: str
    clock: str
    kind: str
    record: str
    by: str
    text: str
    commit: str = ""


def timeline(
    logbook: Logbook, vehicle: str, since: str | None = None, until: str | None = None
) -> list[Moment]:
    """Everything that happened to a vehicle, oldest first; `since` and `until` are days or times."""
    return timeline_of(vehicle_history(logbook, vehicle), since, until)


def timeline_of(history: VehicleHistory, since: str | None = None, until: str | None = None) -> list[Moment]:
    """As `timeline`, of a history at hand."""
    from rovlog.domain.audit.times import or_last

    moments = [m for r in history.records.values() for m in _of_record(r)]
    for change in history.changes:
        count = len(change.differences)
        first = change.differences[0][0]
        what = f"changed {first}" if count == 1 else f"changed {count} values, {first} among them"
        words = "first written" if not first else what
        title = change.message.splitlines()[0] if change.message else ""
        moments.append(
            Moment(change.at, "own", "change", "", change.author, f"{title} ({words})", change.commit)
        )
    for note in history.approvals:
        words = f"revision {note.revision} {note.digest[7:11].upper()} approved: {note.reason}"
        moments.append(Moment(note.at, "own", "approval", "", note.by, words))
        if note.withdrawn is not None:
            gone = f"revision {note.revision} withdrawn: {note.withdrawn}"
            moments.append(Moment(note.withdrawn_at, "own", "withdrawal", "", "", gone))
    moments.sort(key=lambda m: or_last(m.at))
    low = _edge(since, "T00:00:00Z", 0.0)
    high = _edge(until, "T23:59:59Z", float("inf"))
    return [
        m
        for m in moments
        if low <= or_last(m.at) <= high or (or_last(m.at) == float("inf") and until is None)
    ]


def _edge(text: str | None, rest: str, otherwise: float) -> float:
    if text is None:
        return otherwise
    from rovlog.usecases.times import checked_time, instant

    moment = instant(checked_time(text + rest if len(text) == 10 else text))
    return moment.timestamp() if moment else otherwise


def _of_record(record: Record) -> list[Moment]:
    from rovlog.domain.audit.times import clock_of

    moments = []
    for entry in record.entries:
        words = _words(record, entry)
        if words:
            clock = clock_of(entry.fields.get("clock"))
            kind = record.kind if entry.kind in ("start", "close") else entry.kind
            moments.append(Moment(entry.at, clock, kind, record.id, entry.by, words))
    return moments


def _words(record: Record, entry: Entry) -> str:
    f = entry.fields
    if entry.kind == "start":
        where = f"at {f.get('site')}" if record.kind == "dive" else str(f.get("purpose", ""))
        return (
            f"{record.kind} {record.id} started {where}"
            if record.kind == "dive"
            else f"work {record.id}: {where}"
        )
    if entry.kind == "close":
        return f"{record.id} closed"
    if entry.kind not in SHOWN:
        return ""
    if entry.kind == "fault":
        return f"fault {f.get('symptom')}" + _tail(f.get("text"))
    if entry.kind == "event":
        words = VOID_EVENTS.get(str(f.get("event")), str(f.get("event")))
        return words + (f" ({f['part']})" if f.get("part") else "") + _tail(f.get("text"))
    if entry.kind == "trim":
        from rovlog.domain.drift.words import trim_words

        trims = ", ".join(trim_words(d, float(v)) for d, v in dict(f.get("trim") or {}).items())
        return f"trim {trims}" + _tail(f.get("reason"))
    if entry.kind == "fitted":
        return f"{f.get('part')} fitted to {f.get('to')}"
    if entry.kind == "waiver":
        what = f.get("item") or f.get("pointer") or f.get("stop")
        return f"waiver for {what}: {f.get('reason')} (until {f.get('until')})"
    if entry.kind == "release":
        return f"released: {f.get('point')}"
    if entry.kind == "readback":
        return f"box {f.get('box')} read: {_codes(dict(f.get('in_use') or {}))}"
    if entry.kind == "setup":
        return f"pilot says: {_codes(dict(f.get('values') or {}))}"
    return f"said to be the same as {f.get('record')}"


def _codes(values: dict[str, Any]) -> str:
    return ", ".join(f"{k.replace('_', ' ')} {v}" for k, v in values.items())


def _tail(text: Any) -> str:
    return f": {text}" if text else ""
