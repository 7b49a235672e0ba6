"""Everything that computation alone finds about a configuration: motion, current and fuse, water."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rovlog.domain.findings import Finding
from rovlog.domain.vehicle import Configuration

if TYPE_CHECKING:
    from rovlog.domain.electrical.electrics import Electrics


def all_findings(configuration: Configuration, results: Electrics | None = None) -> tuple[Finding, ...]:
    """All findings, those that stop a dive first, for a configuration that is in no water yet.

    `results` where they are at hand: they cost more than all the rest.
    """
    from rovlog.domain.electrical.electrics import electrics
    from rovlog.usecases.water_effects import approval_water_findings

    found = [
        *configuration_findings(configuration, results or electrics(configuration)),
        *approval_water_findings(configuration),
    ]
    found.sort(key=lambda f: f.severity != "stops")
    return tuple(found)


def configuration_findings(configuration: Configuration, results: Electrics) -> tuple[Finding, ...]:
    """Findings on motion and on current, voltage and fuse; what two parts both see is told once."""
    from rovlog.domain.allocation.findings import motion_findings
    from rovlog.domain.electrical.findings import electrical_findings

    found: dict[str, Finding] = {}
    for finding in (*motion_findings(configuration), *electrical_findings(configuration, results)):
        found.setdefault(finding.finding, finding)
    return tuple(found.values())
