"""Does it hang upright: attitude at rest and righting moment from the two centres."""

from __future__ import annotations

from math import asin, atan2, degrees, hypot, radians, sin, sqrt

from rovlog.domain.hydrostatics.pressure import STANDARD_GRAVITY_M_S2
from rovlog.domain.vehicle import Configuration
from rovlog.values import dataclass


@dataclass(frozen=True, slots=True)
class Righting:
    """Still attitude and stiffness in roll and pitch, thrusters off and fully under water.

    `height_m` is how far the centre of buoyancy lies above the centre of mass with the vehicle
    upright, positive when above. Angles by SNAME: positive roll is starboard down, positive pitch is
    bow up. `moment_n_m_per_degree` turns it back for each of the first few degrees, for roll and pitch
    alike; below 0 it turns over.
    """

    height_m: float
    rest_roll_deg: float
    rest_pitch_deg: float
    moment_n_m_per_degree: float
    buoyancy_n: float

    @property
    def is_upright(self) -> bool:
        """True where the centre of buoyancy lies above the centre of mass."""
        return self.height_m > 0.0

    def moment_n_m(self, angle_deg: float) -> float:
        """Moment that turns it back at a heel or pitch angle from upright, N m."""
        return self.buoyancy_n * self.height_m * sin(radians(angle_deg))


def righting(configuration: Configuration, density_kg_m3: float) -> Righting | None:
    """Rest attitude and righting moment, or None where the record gives no two centres.

    The moment is that of the buoyancy rho g V about the centre of mass: r x B with r from centre of
    mass to centre of buoyancy (SNAME axes; Fossen, Handbook of Marine Craft, 2011, section 4.1).
    Two centres at one point have no attitude of their own: angles 0 and moment 0.
    """
    hull = configuration.hull
    if hull.centre_of_mass_m is None or hull.centre_of_buoyancy_m is None:
        return None
    x, y, z = (b - g for b, g in zip(hull.centre_of_buoyancy_m, hull.centre_of_mass_m, strict=True))
    lift = density_kg_m3 * STANDARD_GRAVITY_M_S2 * hull.displaced_volume_m3
    distance = sqrt(x * x + y * y + z * z)
    # At rest r points straight up, which in body axes is (sin p, -cos p sin r, -cos p cos r).
    roll = degrees(atan2(-y, -z)) if hypot(y, z) > 0.0 else 0.0
    pitch = degrees(asin(max(-1.0, min(1.0, x / distance)))) if distance > 0.0 else 0.0
    return Righting(
        height_m=-z,
        rest_roll_deg=roll,
        rest_pitch_deg=pitch,
        moment_n_m_per_degree=lift * -z * sin(radians(1.0)),
        buoyancy_n=lift,
    )
