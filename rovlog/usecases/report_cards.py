"""What the two cards in the lid of the box stand on: the configuration in force, and the box's own words."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rovlog.usecases.configurations import Named, named, of_approval
from rovlog.usecases.logbook import Logbook
from rovlog.usecases.report_dive import vehicle_name
from rovlog.values import dataclass

if TYPE_CHECKING:
    from rovlog.usecases.compute_budget import Budget
    from rovlog.usecases.show_vehicle import Motion


@dataclass(frozen=True, slots=True)
class CardReport:
    """One configuration for a card. `departs`: the working files are not what the card shows.

    `power_limit` is None where the configuration asks for none: full power.
    """

    name: str
    named: Named
    motion: Motion
    budget: Budget
    scheme_name: str
    map_name: str
    how_to_set: str
    accepts_setting: bool
    power_limit: float | None
    departs: bool
    why_not_approved: str


def report_card(logbook: Logbook, name: str) -> CardReport:
    """Gather the cards' content: for a vehicle its baseline in force (else its working files), for
    `grebe@3` or a dive that configuration."""
    from rovlog.usecases.compute_budget import compute_budget
    from rovlog.usecases.show_vehicle import code_names, compute_motion

    chosen = named(logbook, name)
    departs, why = False, "" if chosen.revision is not None else "this configuration is not approved"
    if name in logbook.vehicles():
        force = logbook.in_force(name)
        why = force.why_none
        if force.approval is not None:
            departs = force.approval.digest != chosen.digest
            chosen, why = of_approval(logbook, force.approval), ""
    configuration = chosen.configuration
    scheme, map_ = code_names(chosen)
    box = chosen.box_document or {}
    limit = chosen.resolved.get("power_limit")
    return CardReport(
        vehicle_name(logbook, chosen.vehicle),
        chosen,
        compute_motion(configuration),
        compute_budget(configuration),
        scheme,
        map_,
        str(box.get("how_to_set", "")),
        bool(box.get("accepts_setting", False)),
        None if limit is None else float(limit),
        departs,
        why,
    )
