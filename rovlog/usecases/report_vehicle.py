"""The configuration sheet: one configuration, what it does, what it draws, and its revisions."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rovlog.usecases.approvals import Approval
from rovlog.usecases.configurations import Named
from rovlog.usecases.logbook import Logbook
from rovlog.usecases.report_dive import vehicle_name
from rovlog.values import dataclass

if TYPE_CHECKING:
    from rovlog.usecases.compute_budget import Budget
    from rovlog.usecases.show_vehicle import Shown


@dataclass(frozen=True, slots=True)
class VehicleReport:
    """A configuration as named, with its motion and budget, and the vehicle's approvals, newest first."""

    name: str
    shown: Shown
    budget: Budget
    revisions: tuple[Approval, ...]
    in_force: Approval | None
    why_none: str

    @property
    def named(self) -> Named:
        """The configuration with what it was called."""
        return self.shown.named


def report_vehicle(logbook: Logbook, name: str) -> VehicleReport:
    """Gather the sheet for `grebe`, `grebe@3`, `grebe@<commit>` or a dive."""
    from rovlog.usecases.compute_budget import compute_budget
    from rovlog.usecases.show_vehicle import show_vehicle

    shown = show_vehicle(logbook, name)
    vehicle = shown.named.vehicle
    force = logbook.in_force(vehicle)
    return VehicleReport(
        vehicle_name(logbook, vehicle),
        shown,
        compute_budget(shown.named.configuration),
        logbook.approvals(vehicle)[::-1],
        force.approval,
        force.why_none,
    )
