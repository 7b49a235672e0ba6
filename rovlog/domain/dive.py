"""A dive or a work record as values: entries in their order, corrections applied, nothing lost."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Literal

from rovlog.values import dataclass

ROLES = ("supervisor", "pilot", "tender", "technician")
"""The crew's roles, in the order they are shown."""

MARKS = ("power-on", "in-water", "off-surface", "back-at-surface", "out-of-water", "power-off")
"""The marks of a dive in the order they are expected."""

VOID_EVENTS: Mapping[str, str] = {
    "configuration-changed": "configuration revision changed",
    "box-changed": "box setup changed, or a readback differs",
    "trim-changed": "control trim changed",
    "housing-opened": "housing opened",
    "connector-parted": "connector parted",
    "supply-swapped": "supply or battery swapped",
    "fuse-changed": "fuse changed or blown",
    "tether-changed": "tether swapped, cut, re-ended or snagged",
    "load-changed": "ballast, float or payload changed",
    "water-changed": "water type or site changed",
    "crew-changed": "people changed",
    "knocked": "knock or drop",
    "thruster-touched": "thruster or propeller touched",
    "temperature-moved": "temperature moved over 5 K",
    "paused-too-long": "pause over the limit",
    "fault": "fault logged",
    "returned": "back from another team",
}
"""Events that void answers, by their slug, in words. The 5 K is a project default."""

WHILE_AWAY: tuple[str, ...] = (
    "returned",
    "box-changed",
    "housing-opened",
    "connector-parted",
    "supply-swapped",
    "fuse-changed",
    "tether-changed",
    "load-changed",
    "knocked",
    "thruster-touched",
)
"""What may have happened to a vehicle in other hands: its return voids as each of these would (project
default: what nobody of the team saw counts as having happened)."""


@dataclass(frozen=True, slots=True)
class Entry:
    """One entry. `fields` holds all but the common keys; a correction has been applied to them.

    `at` is an RFC 3339 time with offset; `mono_s` the seconds since the writing program started;
    `file` and `line` say where it stands; `corrected_by` names the corrections applied, in order.
    """

    id: str
    n: int
    at: str
    mono_s: float
    by: str
    kind: str
    writer: str
    fields: Mapping[str, Any]
    file: str = ""
    line: int = 0
    corrected_by: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Part:
    """One writer's part of a record: its header, and its entries as written (uncorrected)."""

    file: str
    writer: str
    started: str
    entries: tuple[Entry, ...]
    is_continuation: bool = False
    has_torn_tail: bool = False


@dataclass(frozen=True, slots=True)
class Record:
    """A dive or a work record: the union of its parts, entries ordered by n, writer, id.

    `vehicle` is empty for work on a box; `box` is empty unless the work is on a box.
    """

    id: str
    kind: Literal["dive", "work"]
    vehicle: str
    box: str
    started: str
    parts: tuple[Part, ...]
    entries: tuple[Entry, ...]

    def of_kind(self, *kinds: str) -> tuple[Entry, ...]:
        """Entries of these kinds, in order."""
        return tuple(e for e in self.entries if e.kind in kinds)

    @property
    def is_closed(self) -> bool:
        """True once a close was written; later entries are legal and shown as after the close."""
        return any(e.kind == "close" for e in self.entries)

    @property
    def uncovered(self) -> tuple[Entry, ...]:
        """Entries that no close covers, the closes themselves apart; () while the record is open.

        Judged by what the closes name, not by order: an entry of a laptop that had not seen the close
        may stand before it.
        """
        upto: dict[str, int] = {}
        closes = self.of_kind("close")
        for close in closes:
            for writer, cover in dict(close.fields.get("covers") or {}).items():
                upto[writer] = max(upto.get(writer, 0), int(cover["upto"]))
        if not closes:
            return ()
        return tuple(e for e in self.entries if e.kind != "close" and e.n > upto.get(e.writer, 0))


def join_parts(
    record: str, kind: Literal["dive", "work"], vehicle: str, box: str, parts: tuple[Part, ...]
) -> Record:
    """Union of the parts' entries in their order, with corrections applied.

    Order is n, then writer, then id; never the wall clock. A correction sets fields of the entry
    it names, except id and kind; the last in order wins field by field. Nothing is deleted: the
    correction stays among the entries.
    """
    started = min((p.started for p in parts if not p.is_continuation), default=min(p.started for p in parts))
    if len(parts) == 1 and _is_as_it_stands(parts[0].entries):
        return Record(record, kind, vehicle, box, started, parts, parts[0].entries)
    every = sorted((e for p in parts for e in p.entries), key=lambda e: (e.n, e.writer, e.id))
    unique = {e.id: e for e in reversed(every)}
    ordered = [e for e in every if unique[e.id] is e]
    corrections: dict[str, list[Entry]] = {}
    for entry in ordered:
        if entry.kind == "correction":
            corrections.setdefault(str(entry.fields.get("corrects", "")), []).append(entry)
    entries = tuple(_corrected(e, corrections.get(e.id, [])) for e in ordered)
    return Record(record, kind, vehicle, box, started, parts, entries)


def _is_as_it_stands(entries: tuple[Entry, ...]) -> bool:
    """Whether one part's entries are a record's as they are: in order, each once, none corrected."""
    last = 0
    for entry in entries:
        if entry.n <= last or entry.kind == "correction":
            return False
        last = entry.n
    return len({e.id for e in entries}) == len(entries)


def _corrected(entry: Entry, corrections: list[Entry]) -> Entry:
    if not corrections:
        return entry
    fields = dict(entry.fields)
    at, by = entry.at, entry.by
    for correction in corrections:
        for key, value in dict(correction.fields.get("set", {})).items():
            if key == "at":
                at = str(value)
            elif key == "by":
                by = str(value)
            elif key not in ("id", "kind", "n", "mono_s"):
                fields[key] = value
    return Entry(
        entry.id,
        entry.n,
        at,
        entry.mono_s,
        by,
        entry.kind,
        entry.writer,
        fields,
        entry.file,
        entry.line,
        tuple(c.id for c in corrections),
    )
