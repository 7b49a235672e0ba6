"""The code tables of a surface box: what each number stored in it means, for each firmware."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from rovlog.values import dataclass


@dataclass(frozen=True, slots=True)
class CodeTables:
    """One firmware's tables by number as text; empty tables with `is_known` false for one not on file."""

    firmware: str
    is_known: bool
    steering_schemes: Mapping[str, Mapping[str, Any]]
    thruster_maps: Mapping[str, Mapping[str, Any]]

    def scheme_name(self, number: int | str) -> str:
        """A steering scheme in words: `3 "two sticks"`, or that the table has no such number."""
        return _named(self, self.steering_schemes, "steering scheme", number)

    def map_name(self, number: int | str) -> str:
        """A thruster map in words: `1 "as built"`, or that the table has no such number."""
        return _named(self, self.thruster_maps, "thruster map", number)


def tables_of(box: Mapping[str, Any], firmware: str | None = None) -> CodeTables:
    """The tables of the box's firmware, or of another one; unknown firmware gives empty tables."""
    if firmware is None or firmware == box["firmware"]:
        return _tables(str(box["firmware"]), box)
    other = box.get("other_firmwares", {}).get(firmware)
    return CodeTables(firmware, False, {}, {}) if other is None else _tables(firmware, other)


def decode(box: Mapping[str, Any], firmware: str | None = None) -> CodeTables:
    """What the numbers mean under a firmware; None is the one the box has now."""
    return tables_of(box, firmware)


def _tables(firmware: str, holder: Mapping[str, Any]) -> CodeTables:
    return CodeTables(
        firmware,
        True,
        {str(number): entry for number, entry in holder.get("steering_schemes", {}).items()},
        {str(number): entry for number, entry in holder.get("thruster_maps", {}).items()},
    )


def _named(tables: CodeTables, table: Mapping[str, Mapping[str, Any]], what: str, number: int | str) -> str:
    if not tables.is_known:
        return f"{number} (no code table for firmware {tables.firmware})"
    entry = table.get(str(number))
    if entry is None:
        return f"{number} (no {what} {number} in firmware {tables.firmware})"
    name = entry.get("name")
    return f'{number} "{name}"' if name else str(number)
