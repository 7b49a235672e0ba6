"""What the numbers a box stores mean: its code tables by firmware, and which numbers they do not explain."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from rovlog.problems import UsageError
from rovlog.usecases.logbook import Logbook
from rovlog.values import dataclass

if TYPE_CHECKING:
    from rovlog.domain.drift.tables import BoxTables, CodeTable


@dataclass(frozen=True, slots=True)
class Codes:
    """A box's tables under one firmware; `firmware` is the one asked for, `now` the record's own."""

    box: str
    firmware: str
    now: str
    known: tuple[str, ...]
    table: CodeTable


def codes_of(logbook: Logbook, box: str, firmware: str | None = None) -> Codes:
    """The code tables of a box under a firmware (its present one where None)."""
    tables = tables_of(logbook, box)
    chosen = firmware or tables.firmware
    table = tables.by_firmware.get(chosen)
    if table is None:
        raise UsageError(
            f"the record of {box} has no code tables for firmware {chosen}",
            f"known are {', '.join(tables.by_firmware)}; add it under other_firmwares in boxes/{box}.yaml",
        )
    return Codes(box, chosen, tables.firmware, tuple(tables.by_firmware), table)


def tables_of(logbook: Logbook, box: str) -> BoxTables:
    """All code tables of a box on file; UsageError with the nearest one otherwise."""
    from rovlog.domain.drift.tables import box_tables

    return box_tables(logbook.box(box))


def unexplained(tables: BoxTables, firmware: str, *settings: Mapping[str, Any] | None) -> list[str]:
    """A sentence for each number that the tables do not explain under this firmware."""
    if firmware not in tables.by_firmware:
        return [
            f"the box says firmware {firmware}, and its record has no code tables for that: what its numbers "
            f"mean is unknown (known are {', '.join(tables.by_firmware)})"
        ]
    found: dict[str, None] = {}
    for setting in settings:
        for key, look_up in (("steering_scheme", tables.scheme), ("thruster_map", tables.map)):
            number = (setting or {}).get(key)
            if number is not None and look_up(firmware, int(number)) is None:
                words = key.replace("_", " ")
                found[f"{words} {number} is not in the code tables of firmware {firmware}"] = None
    return list(found)
