"""Everything that computation alone finds about a configuration: motion, current and fuse, water."""

from __future__ import annotations

from rovlog.domain.findings import Finding
from rovlog.domain.vehicle import Configuration


def all_findings(configuration: Configuration) -> tuple[Finding, ...]:
    """All findings, those that stop a dive first; fresh water at 20 degrees C stands for the water."""
    from rovlog.domain.allocation.findings import motion_findings
    from rovlog.domain.electrical.findings import electrical_findings
    from rovlog.usecases.water_effects import approval_water_findings

    found = [
        *motion_findings(configuration),
        *electrical_findings(configuration),
        *approval_water_findings(configuration),
    ]
    found.sort(key=lambda f: f.severity != "stops")
    return tuple(found)
