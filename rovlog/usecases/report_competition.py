"""What an inspector at a student competition asks: full load, 150 %, the next size, the fuse's distance."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rovlog.usecases.configurations import Named, named
from rovlog.usecases.logbook import Logbook
from rovlog.usecases.report_dive import vehicle_name
from rovlog.values import dataclass

if TYPE_CHECKING:
    from rovlog.usecases.compute_budget import Budget

DISTANCE_RULE_MM = 300.0
"""Most distance of the fuse from the main connector in a published student rule of 2018, millimetre."""

DISTANCE_RULE_YEAR = 2018


@dataclass(frozen=True, slots=True)
class CompetitionReport:
    """One configuration against the published rules; `distance_mm` None where the file does not say."""

    name: str
    named: Named
    budget: Budget
    distance_mm: float | None


def report_competition(logbook: Logbook, name: str) -> CompetitionReport:
    """Gather the sheet for a configuration."""
    from rovlog.usecases.compute_budget import compute_budget

    chosen = named(logbook, name)
    configuration = chosen.configuration
    return CompetitionReport(
        vehicle_name(logbook, chosen.vehicle),
        chosen,
        compute_budget(configuration),
        configuration.electrical.fuse.distance_from_source_mm,
    )
