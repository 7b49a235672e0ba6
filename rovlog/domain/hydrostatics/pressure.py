"""Pressure at depth against what the weakest housing is rated for."""

from __future__ import annotations

from rovlog.domain.ranges import require_within
from rovlog.domain.vehicle import Configuration
from rovlog.values import dataclass

STANDARD_GRAVITY_M_S2 = 9.80665
"""Standard gravity, CGPM 1901; the sea-level range from equator to pole is 9.780 to 9.832."""

RATING_KPA_PER_M = 9.807
"""A housing's rating is in metres of fresh water; one such metre loads it with this much."""

DEEPEST_M = 11_000.0
"""No water is deeper; a greater number is a slip of the hand."""


@dataclass(frozen=True, slots=True)
class Pressure:
    """Water pressure on the weakest housing. Gauge pressure: above that of the air at the surface.

    `margin` is 1 - gauge / rating, no unit: 0 at the rating, below 0 beyond it. `depth_margin_m` is
    how much deeper the weakest housing may go in this water. Without a housing the last four are None.
    """

    depth_m: float
    density_kg_m3: float
    gauge_kpa: float
    rating_kpa: float | None
    margin: float | None
    depth_margin_m: float | None
    weakest: str | None


def gauge_pressure_kpa(density_kg_m3: float, depth_m: float) -> float:
    """Gauge pressure at a depth in water of one density, kPa: rho g h.

    Raises OutOfRangeError unless the density is 900 to 1100 kg/m^3 and the depth 0 to 11000 m.
    """
    require_within("density_kg_m3", density_kg_m3, 900.0, 1100.0)
    require_within("depth_m", depth_m, 0.0, DEEPEST_M)
    return density_kg_m3 * STANDARD_GRAVITY_M_S2 * depth_m / 1000.0


def pressure(configuration: Configuration, density_kg_m3: float, depth_m: float) -> Pressure:
    """The gauge pressure at `depth_m` against the rating of the weakest housing.

    Density in kg/m^3 at the surface; depth in metres, down positive. Of two housings with one
    rating the first in the record is named. Raises OutOfRangeError as `gauge_pressure_kpa`.
    """
    gauge_kpa = gauge_pressure_kpa(density_kg_m3, depth_m)
    if not configuration.housings:
        return Pressure(depth_m, density_kg_m3, gauge_kpa, None, None, None, None)
    weakest = min(configuration.housings, key=lambda housing: housing.depth_rating_m)
    rating_kpa = weakest.depth_rating_m * RATING_KPA_PER_M
    return Pressure(
        depth_m=depth_m,
        density_kg_m3=density_kg_m3,
        gauge_kpa=gauge_kpa,
        rating_kpa=rating_kpa,
        margin=1.0 - gauge_kpa / rating_kpa if rating_kpa > 0.0 else None,
        depth_margin_m=rating_kpa * 1000.0 / (density_kg_m3 * STANDARD_GRAVITY_M_S2) - depth_m,
        weakest=weakest.housing,
    )
