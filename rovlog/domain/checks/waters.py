"""Which water something was found in: a trim holds for the water it was found in, and says which."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from rovlog.domain.dive import Entry, Record


def water_of(record: Record, entry: Entry | None = None) -> Mapping[str, Any] | None:
    """The water on record when an entry was written; without an entry, the record's last one."""
    water: Mapping[str, Any] | None = None
    for one in record.entries:
        said = one.fields.get("water") if one.kind in ("start", "place") else None
        water = said if isinstance(said, Mapping) else water
        if entry is not None and one.id == entry.id:
            break
    return water


def water_words(water: Mapping[str, Any]) -> str:
    """A water in a few words: fresh 15 °C, salt 12 °C salinity 35."""
    words = str(water.get("kind", "water"))
    temperature, salinity = water.get("temperature_c"), water.get("salinity")
    if isinstance(temperature, int | float):
        words += f" {temperature:g} °C"
    if isinstance(salinity, int | float) and salinity:
        words += f" salinity {salinity:g}"
    return words
