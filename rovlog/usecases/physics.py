"""The computations behind a difference's physical effect, bound for the domain."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from rovlog.domain.drift.reach import Physics


def bound_physics() -> Physics:
    """Everything a difference's effect is computed with."""
    from rovlog.documents.configuration import configuration
    from rovlog.domain.drift.reach import Physics
    from rovlog.domain.electrical.worst_case import worst_case

    return Physics(configure=configuration, worst_case_a=lambda c: worst_case(c).total_a)
