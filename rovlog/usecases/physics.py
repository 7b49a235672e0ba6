"""The computations behind a difference's physical effect, bound for the domain."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from rovlog.domain.drift.reach import Physics
    from rovlog.domain.drift.supply_side import SupplySide
    from rovlog.domain.electrical.worst_case import WorstCase
    from rovlog.domain.vehicle import Configuration

FRESH_KG_M3 = 998.2
"""Fresh water at 20 degrees C: a difference's effect on buoyancy is told for it (Tanaka et al. 2001)."""


def bound_physics() -> Physics:
    """Everything a difference's effect is computed with; each configuration's supply side once."""
    from rovlog.documents.configuration import configuration
    from rovlog.domain.drift.reach import Physics
    from rovlog.domain.electrical.worst_case import worst_case
    from rovlog.domain.hydrostatics.buoyancy import hull_up_n

    # The configuration is kept beside its worst case: while it lives nothing else gets its identity.
    found: dict[int, tuple[Configuration, WorstCase]] = {}

    def worst(c: Configuration) -> WorstCase:
        if id(c) not in found:
            found[id(c)] = (c, worst_case(c))
        return found[id(c)][1]

    sides: dict[int, tuple[Configuration, SupplySide]] = {}

    def supply(c: Configuration) -> SupplySide:
        from rovlog.domain.drift.supply_side import supply_side

        if id(c) not in sides:
            sides[id(c)] = (c, supply_side(c, worst(c)))
        return sides[id(c)][1]

    return Physics(
        configure=configuration,
        worst_case_a=lambda c: worst(c).total_a,
        net_up_n=lambda c: hull_up_n(c, FRESH_KG_M3),
        supply_side=supply,
    )
