"""As flown: the baseline with the deviations that really were on the vehicle, dive by dive."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from rovlog.domain.dive import Entry, Record
from rovlog.domain.drift.leaves import ABSENT, differences, value_at, with_value
from rovlog.domain.drift.statements import Laid, lay_over, speaks_of
from rovlog.domain.drift.tables import BoxTables
from rovlog.values import dataclass, field

INTO_WATER = ("in-water", "off-surface")
"""Marks after which what is set has been in the water."""


@dataclass(frozen=True, slots=True)
class AsFlown:
    """What a dive flew with.

    `resolved` is the configuration at the end of the dive, None where the dive names no configuration
    that could be found. `sources` says who vouches for a pointer that is not as in the baseline:
    working, readback, setup or trim. `values` gives every value a pointer had in the water where it
    had more than one, in order. `gaps` says, a sentence each, what is not known. `origins` gives for a
    pointer the values that entries of the dive set or found, each with that entry.
    """

    dive: str
    resolved: Mapping[str, Any] | None
    sources: Mapping[str, str] = field(default_factory=dict)
    values: Mapping[str, tuple[Any, ...]] = field(default_factory=dict)
    gaps: tuple[str, ...] = ()
    origins: Mapping[str, tuple[tuple[Any, Entry], ...]] = field(default_factory=dict)

    def flew(self, pointer: str) -> tuple[Any, ...]:
        """Every value at the pointer in the water, in order; () where nothing is known."""
        if pointer in self.values:
            return self.values[pointer]
        if self.resolved is None:
            return ()
        return (flown_value(self.resolved, pointer),)


def flown_value(resolved: Mapping[str, Any], pointer: str) -> Any:
    """The value at a pointer; an absent trim is 0, an absent power limit is full."""
    value = value_at(resolved, pointer)
    if value is ABSENT and pointer.startswith("/trim_defaults/"):
        return 0.0
    return 1.0 if value is ABSENT and pointer == "/power_limit" else value


def as_flown(
    baseline: Mapping[str, Any] | None,
    record: Record,
    tables: BoxTables | None = None,
    working: Mapping[str, Any] | None = None,
) -> AsFlown:
    """The configuration a dive flew with, from its own entries.

    The baseline, then the differences of the working files noted at the start, then what the box
    said and the pilot said, in the order of the entries; the box's word on what is in use stands
    until something is changed again. `working` is the resolved object of the working files at the
    start, where it is known: it stands in for the differences, and for a missing baseline.
    """
    state, sources, gaps = _at_start(baseline, record, working)
    if state is None:
        return AsFlown(record.id, None, gaps=tuple(gaps))
    is_in_water = False
    has_marks = any(e.kind == "mark" and e.fields.get("mark") in INTO_WATER for e in record.entries)
    seen: dict[str, list[Any]] = {}
    origins: dict[str, list[tuple[Any, Entry]]] = {}
    for entry in record.entries:
        is_in_water = is_in_water or _reaches_water(entry, has_marks)
        said = _said(state, entry, tables)
        if said is None:
            continue
        gaps += [g for g in said.undecoded if g not in gaps]
        for pointer, _, _ in differences(state, said.resolved):
            if not speaks_of(said, pointer):
                continue
            if is_in_water:
                seen.setdefault(pointer, [flown_value(state, pointer)])
                seen[pointer].append(flown_value(said.resolved, pointer))
            sources[pointer] = entry.kind
            origins.setdefault(pointer, []).append((flown_value(said.resolved, pointer), entry))
        state = said.resolved
    values = {p: tuple(v) for p, v in seen.items()}
    said_by = {p: tuple(v) for p, v in origins.items()}
    return AsFlown(record.id, state, sources, values, tuple(gaps), said_by)


def _at_start(
    baseline: Mapping[str, Any] | None, record: Record, working: Mapping[str, Any] | None
) -> tuple[Mapping[str, Any] | None, dict[str, str], list[str]]:
    start = next(iter(record.of_kind("start")), None)
    noted = start.fields.get("deviations", []) if start else []
    if working is not None:
        pointers = [p for p, _, _ in differences(baseline, working)] if baseline is not None else []
        return working, dict.fromkeys(pointers, "working"), []
    if baseline is None:
        return None, {}, ["the configuration named at the start could not be found"]
    state: Mapping[str, Any] = baseline
    sources = {}
    for noted_one in noted:
        pointer = str(noted_one.get("pointer", ""))
        if not pointer.startswith("/"):
            continue
        state = with_value(state, pointer, noted_one.get("working", ABSENT))
        sources[pointer] = "working"
    gaps = [] if start else ["the record has no start entry: deviations of the files are not known"]
    return state, sources, gaps


def _reaches_water(entry: Entry, has_marks: bool) -> bool:
    if has_marks:
        return entry.kind == "mark" and entry.fields.get("mark") in INTO_WATER
    return entry.kind in ("trim", "fault")


def _said(state: Mapping[str, Any], entry: Entry, tables: BoxTables | None) -> Laid | None:
    """What an entry says about the setup, laid over the state; None where it says nothing."""
    fields = entry.fields
    if entry.kind == "readback":
        return lay_over(
            state,
            dict(fields.get("in_use") or {}),
            tables,
            box=str(fields["box"]) if "box" in fields else None,
            firmware=str(fields["firmware"]) if "firmware" in fields else None,
            is_whole_trim=True,
        )
    if entry.kind == "setup":
        return lay_over(state, dict(fields.get("values") or {}), tables, is_whole_trim=False)
    if entry.kind == "trim":
        return lay_over(state, {"trim": dict(fields.get("trim") or {})}, tables, is_whole_trim=False)
    return None
