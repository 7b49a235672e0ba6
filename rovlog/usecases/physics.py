"""The computations behind a difference's physical effect, bound for the domain."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from rovlog.domain.drift.reach import Physics

FRESH_KG_M3 = 998.2
"""Fresh water at 20 degrees C: a difference's effect on buoyancy is told for it (Tanaka et al. 2001)."""


def bound_physics() -> Physics:
    """Everything a difference's effect is computed with."""
    from rovlog.documents.configuration import configuration
    from rovlog.domain.drift.reach import Physics
    from rovlog.domain.electrical.worst_case import worst_case
    from rovlog.domain.hydrostatics.buoyancy import hull_up_n

    return Physics(
        configure=configuration,
        worst_case_a=lambda c: worst_case(c).total_a,
        net_up_n=lambda c: hull_up_n(c, FRESH_KG_M3),
    )
