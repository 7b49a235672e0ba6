"""What the record leaves out and the sag is computed without: told, so that nobody takes it for measured."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from rovlog.domain.vehicle import Configuration

RESISTANCES: Mapping[str, tuple[str, str]] = {
    "source": ("supply", "internal_resistance_ohm"),
    "fuse": ("fuse", "resistance_ohm"),
    "leads": ("leads", "resistance_ohm"),
    "drivers": ("drivers", "on_resistance_ohm"),
}
"""Name in words, and where it stands under /electrical. Each is 0 ohm where the record does not give it."""


def unrecorded_resistances(configuration: Configuration) -> tuple[str, ...]:
    """The resistances the record does not give, in words, from the source outwards; they count as 0 ohm."""
    electrical: Mapping[str, Any] = configuration.resolved.get("electrical", {})
    return tuple(name for name, (group, key) in RESISTANCES.items() if key not in electrical.get(group, {}))
