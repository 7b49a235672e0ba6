"""One file of a dive or work record as the logbook keeps it in the index."""

from __future__ import annotations

from typing import Any, Literal

from rovlog.domain.dive import Entry, Part
from rovlog.problems import Place, Problem, UsageError
from rovlog.values import dataclass, replace


@dataclass(frozen=True, slots=True)
class ReadPart:
    """One file of a record as read; `problems` where parts of it could not be used."""

    record: str
    kind: Literal["dive", "work"]
    vehicle: str
    box: str
    part: Part
    problems: tuple[Problem, ...] = ()


def without_corrections(part: Part, unsound: set[str]) -> Part:
    """The part with those corrections setting nothing; they stay among the entries."""
    entries = tuple(
        replace(e, fields={**e.fields, "set": {}}) if e.id in unsound else e for e in part.entries
    )
    return replace(part, entries=entries)


def unreadable(name: str, error: UsageError) -> Problem:
    """The problem that a file which cannot be read at all is."""
    return Problem(
        Place(name, 1, 1),
        "",
        "unreadable",
        error.message,
        "nothing readable",
        "a record",
        error.mend or "restore it",
    )


def part_data(part: ReadPart) -> list[Any]:
    """A part without problems as plain data, for the index."""
    p = part.part
    entries = [[e.id, e.n, e.at, e.mono_s, e.by, e.kind, e.fields, e.line] for e in p.entries]
    return [part.record, part.kind, part.vehicle, part.box, p.writer, p.started, p.is_continuation,
            p.has_torn_tail, entries]  # fmt: skip


def part_from(row: list[Any], name: str) -> ReadPart:
    """A part from what the index kept of it."""
    record, kind, vehicle, box, writer, started, is_continuation, has_torn_tail, entries = row
    made = tuple(Entry(e[0], e[1], e[2], e[3], e[4], e[5], writer, e[6], name, e[7]) for e in entries)
    return ReadPart(
        record, kind, vehicle, box, Part(name, writer, started, made, is_continuation, has_torn_tail)
    )
