"""What a dive log must record, and what of it a dive's record does not hold.

The list is that of ROV practice and, by analogy, of divers' work rules: site, task, people and roles, depth
and time, unwanted events, faults, hours, and who signed (common practice; the details are project defaults).
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from rovlog.domain.dive import MARKS, ROLES, Entry, Record
from rovlog.values import dataclass

VOLTAGES = ("resting_v", "start_v", "low_v", "end_v", "supply_v", "battery_v", "box_v")
"""Names under which a reading holds a voltage of the supply."""

ANSWERED: Mapping[tuple[str, str], str] = {
    ("plug-polarity", "voltage"): "start_v",
    ("resting-voltage", "voltage"): "start_v",
    ("recovery-voltage", "lowest"): "low_v",
    ("recovery-voltage", "end"): "end_v",
}
"""Answers of the shipped lists that hold a voltage of the supply: (item, value) to the reading's name."""

SIGHT = ("site-limits", "visibility")
"""The answer of the shipped lists that holds how far one can see."""


@dataclass(frozen=True, slots=True)
class Expected:
    """One thing that a dive log records: what, and whether this one holds it."""

    what: str
    is_held: bool


def completeness(record: Record, resolved: Mapping[str, Any], parts: int) -> tuple[Expected, ...]:
    """Everything a dive's record is expected to hold, in the order in which a dive goes.

    Args:
        record: the dive.
        resolved: the configuration it flew with, {} where it is not known.
        parts: how many parts with an identity are known to have been on it.
    """
    start = next(iter(record.of_kind("start")), None)
    fields: Mapping[str, Any] = start.fields if start else {}
    water: Mapping[str, Any] = dict(fields.get("water") or {})
    places = record.of_kind("place")
    electrical = dict(resolved.get("electrical") or {})
    crew = {role for e in record.of_kind("start", "crew") for role in dict(e.fields.get("crew") or {})}
    rows = [
        ("configuration and its revision", bool(fields.get("baseline"))),
        ("task", bool(fields.get("task"))),
        *((f"who was {role}", role in crew) for role in ROLES),
        ("water temperature", water.get("temperature_c") is not None),
        ("depth planned", fields.get("depth_m") is not None),
        ("depth reached", _any(places, "depth_m")),
        ("visibility", _any(places, "visibility_m") or _is_answered(record, *SIGHT)),
        *_readbacks(record),
        *((f"time of {mark.replace('-', ' ')}", _is_marked(record, mark)) for mark in MARKS),
        *_voltages(record),
        ("which supply it was, by an identity", bool(dict(electrical.get("supply") or {}).get("part"))),
        ("parts with an identity: tether, seals, payload", parts > 0),
        ("pre-dive list", bool(record.of_kind("check"))),
        ("who released it", bool(record.of_kind("release"))),
        ("a close, with who signed", record.is_closed),
    ]
    return tuple(Expected(what, held) for what, held in rows)


def _any(entries: tuple[Entry, ...], key: str) -> bool:
    return any(e.fields.get(key) is not None for e in entries)


def _is_answered(record: Record, item: str, value: str) -> bool:
    return any((item, value) in _answers(e) for e in record.of_kind("check"))


def _is_marked(record: Record, mark: str) -> bool:
    return any(e.fields.get("mark") == mark for e in record.of_kind("mark"))


def _readbacks(record: Record) -> list[tuple[str, bool]]:
    """Whether the box was read before the launch and after the recovery."""
    launch = next(
        (i for i, e in enumerate(record.entries) if e.fields.get("mark") in ("in-water", "off-surface")), None
    )
    back = next(
        (
            i
            for i, e in enumerate(record.entries)
            if e.fields.get("mark") in ("back-at-surface", "out-of-water")
        ),
        None,
    )
    at = [i for i, e in enumerate(record.entries) if e.kind == "readback"]
    before = any(launch is None or i < launch for i in at)
    after = any(back is not None and i > back for i in at)
    return [("box readback before the dive", before), ("box readback after the dive", after)]


def _answers(entry: Entry) -> list[tuple[str, str]]:
    item = str(entry.fields.get("item", ""))
    return [(item, str(key)) for key in dict(entry.fields.get("values") or {})]


def _voltages(record: Record) -> list[tuple[str, bool]]:
    """Whether the supply's voltage was read at the start, at its low point and at the end."""
    named = {ANSWERED[a] for e in record.of_kind("check") for a in _answers(e) if a in ANSWERED}
    plain = 0
    for entry in record.of_kind("reading"):
        for key in dict(entry.fields.get("values") or {}):
            if key in VOLTAGES:
                named.add(key)
                plain += key not in ("start_v", "low_v", "end_v")
    return [
        ("supply voltage at the start", "start_v" in named or "resting_v" in named or plain > 0),
        ("supply voltage at its low point", "low_v" in named),
        ("supply voltage at the end", "end_v" in named or plain > 1),
    ]
