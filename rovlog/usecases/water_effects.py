"""What the water does to a configuration: at approval for any water, on a dive for today's."""

from __future__ import annotations

from rovlog.domain.findings import Finding
from rovlog.domain.vehicle import Configuration
from rovlog.values import replace

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
