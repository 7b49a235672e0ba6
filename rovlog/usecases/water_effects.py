"""What the water does to a configuration: at approval for any water, on a dive for today's."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from rovlog.domain.findings import Finding
from rovlog.domain.vehicle import Configuration

if TYPE_CHECKING:
    from rovlog.domain.hydrostatics.buoyancy import Buoyancy

FRESH = (20.0, 0.0)
"""Temperature and salinity taken for fresh water where none is named (project default)."""

SEA = (10.0, 35.0)
"""The same for the open sea, the densest water a dive is likely to meet (project default)."""


def approval_water_findings(configuration: Configuration) -> tuple[Finding, ...]:
    """Findings on floating and pressure for a configuration that is not in any water yet.

    Fresh water stands for the water. A vehicle that sinks there but floats in the sea is noted: the
    dive's own water decides. One that sinks in both stops a dive.
    """
    from rovlog.domain.hydrostatics.buoyancy import buoyancy
    from rovlog.domain.hydrostatics.findings import water_findings

    found = water_findings(configuration, buoyancy(configuration, *FRESH))
    floats_at_sea = buoyancy(configuration, *SEA).net_up_n > 0.0
    if not floats_at_sea:
        return found
    return tuple(
        replace(f, severity="note", text=f"{f.text} (fresh water, 20 °C; it floats in the sea)")
        if f.severity == "stops"
        else f
        for f in found
    )


def buoyancy_in(configuration: Configuration, water: Mapping[str, Any], depth_m: float = 0.0) -> Buoyancy:
    """Buoyancy in a dive's water as recorded: {kind, temperature_c, salinity?}; fresh water has no salt."""
    from rovlog.domain.hydrostatics.buoyancy import buoyancy

    return buoyancy(configuration, float(water["temperature_c"]), salinity_of(water), depth_m)


def salinity_of(water: Mapping[str, Any]) -> float:
    """Practical salinity of a recorded water, 0 for fresh water and where none was given."""
    return float(water.get("salinity") or 0.0)
