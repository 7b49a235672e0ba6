"""What the label on a vehicle says: its name, the revision in force, and digest characters to compare."""

from __future__ import annotations

from rovlog.usecases.configurations import Named, named, of_approval
from rovlog.usecases.logbook import Logbook
from rovlog.usecases.report_dive import vehicle_name
from rovlog.values import dataclass


@dataclass(frozen=True, slots=True)
class LabelReport:
    """The label's content; `day` is that of the approval, "" where the configuration has none."""

    name: str
    named: Named
    team: str
    day: str
    approved_by: str


def report_label(logbook: Logbook, name: str) -> LabelReport:
    """Gather the label: for a vehicle its baseline in force, else its working files."""
    chosen = named(logbook, name)
    if name in logbook.vehicles():
        force = logbook.in_force(name)
        chosen = of_approval(logbook, force.approval) if force.approval else chosen
    approval = next(
        (
            a
            for a in logbook.approvals(chosen.vehicle)
            if a.revision == chosen.revision and a.digest == chosen.digest
        ),
        None,
    )
    return LabelReport(
        vehicle_name(logbook, chosen.vehicle),
        chosen,
        logbook.settings().title,
        approval.at[:10] if approval else "",
        approval.approved_by if approval else "",
    )
