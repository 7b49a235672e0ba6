"""The ballast a vehicle needs to move from one water to another."""

from __future__ import annotations

from rovlog.domain.hydrostatics.ballast import ballast_change_kg
from rovlog.domain.hydrostatics.buoyancy import hull_up_n
from rovlog.domain.hydrostatics.water import Water
from rovlog.domain.vehicle import Configuration
from rovlog.problems import UsageError
from rovlog.usecases.water_spec import density_of
from rovlog.values import dataclass


@dataclass(frozen=True, slots=True)
class BallastChange:
    """`change_kg` is to be added (positive) or taken off (negative) to keep the net force as it was.

    `net_up_n` is that net force in the first water without the tether, newton, up positive;
    `net_up_unchanged_n` what it would be in the second water with the ballast left as it is.
    """

    vehicle: str
    change_kg: float
    from_water: Water
    to_water: Water
    from_density_kg_m3: float
    to_density_kg_m3: float
    ballast_density_kg_m3: float
    net_up_n: float
    net_up_unchanged_n: float


def compute_ballast(
    configuration: Configuration,
    from_water: Water,
    to_water: Water,
    ballast_density_kg_m3: float | None = None,
) -> BallastChange:
    """The change between two waters for one configuration.

    The ballast's density is that given, else the record's. Raises UsageError where neither is known or
    a brackish water has no salinity, OutOfRangeError naming a quantity out of range.
    """
    hull = configuration.hull
    ballast_density = hull.ballast_density_kg_m3 if ballast_density_kg_m3 is None else ballast_density_kg_m3
    if ballast_density is None:
        raise UsageError(
            f"the record of {configuration.vehicle} does not say how dense its ballast is",
            "add ballast_density_kg_m3 under hull (lead 11340, stainless steel 7900)"
            " or give --ballast-density-kg-m3",
        )
    before, after = density_of(from_water), density_of(to_water)
    return BallastChange(
        vehicle=configuration.vehicle,
        change_kg=ballast_change_kg(hull.displaced_volume_m3, before, after, ballast_density),
        from_water=from_water,
        to_water=to_water,
        from_density_kg_m3=before,
        to_density_kg_m3=after,
        ballast_density_kg_m3=ballast_density,
        net_up_n=hull_up_n(configuration, before),
        net_up_unchanged_n=hull_up_n(configuration, after),
    )
