"""What is odd in records that are used all the same, a sentence each: clocks, merged parts, torn lines."""

from __future__ import annotations

from collections.abc import Iterable

from rovlog.domain.audit.times import JUMP_S, instant_s
from rovlog.domain.dive import Record


def odd_records(records: Iterable[Record]) -> list[str]:
    """Clocks that went back, records joined from several laptops, faults outside dives, torn lines."""
    told = []
    for record in records:
        told += _jumps(record)
        writers = list(dict.fromkeys(p.writer for p in record.parts))
        if len(writers) > 1:
            told.append(
                f"{record.id} is joined from the parts of {len(writers)} laptops ({', '.join(writers)}), "
                "in the order of their entries"
            )
        if record.kind == "work":
            for fault in record.of_kind("fault"):
                symptom = fault.fields.get("symptom", "without a symptom")
                told.append(
                    f"the fault {symptom} was logged in {record.id}, outside dives: it counts for no dive"
                )
        if record.of_kind("torn"):
            told.append(f"{record.id} has a torn line, kept as it was found")
    return told


def _jumps(record: Record) -> list[str]:
    """One sentence where a clock went back: how often, and by how much at most."""
    latest: dict[str, float] = {}
    back: list[float] = []
    unread = 0
    for entry in record.entries:
        at = instant_s(entry.at)
        if at is None:
            unread += 1
            continue
        if entry.fields.get("clock") == "memory":
            continue
        before = latest.get(entry.writer, at)
        if at < before - JUMP_S:
            back.append(before - at)
        latest[entry.writer] = max(before, at)
    told = []
    if back:
        times = "once" if len(back) == 1 else f"{len(back)} times"
        told.append(
            f"the clock of {record.id} went back {times}, by up to {max(back) / 60:.0f} min: "
            "its entries keep their own order"
        )
    if unread:
        told.append(f"{unread} time{'' if unread == 1 else 's'} of {record.id} cannot be read")
    return told
