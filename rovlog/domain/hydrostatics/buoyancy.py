"""Does it float: the net force of weight, lift and hanging tether, and the trim that holds depth."""

from __future__ import annotations

from rovlog.domain.hydrostatics.pressure import DEEPEST_M, STANDARD_GRAVITY_M_S2
from rovlog.domain.hydrostatics.trim import heave_trim
from rovlog.domain.hydrostatics.water import water_density
from rovlog.domain.ranges import require_within
from rovlog.domain.vehicle import Configuration
from rovlog.values import dataclass


@dataclass(frozen=True, slots=True)
class Buoyancy:
    """Net vertical force with the power off, newton, up positive, and what holding depth takes.

    `net_up_n` includes the tether that hangs at `depth_m`; `hull_up_n` does not. `tether_lift_n` is
    the hanging tether's share (negative where it pulls down); `depth_m` of it hangs, at most its
    length (`hanging_m`). Density is that at the surface.

    `heave_trim` is the share of full heave demand, down positive, that holds depth; None with
    `heave_trim_reason` where it would have to be upward or the thrusters cannot do it.
    `heave_trim_current_a` is what the thrusters then draw together (nominal, without standing loads);
    `endurance_lost` the share of the endurance at rest that this costs: I_trim / (I_trim + I_standing).
    """

    density_kg_m3: float
    depth_m: float
    hull_up_n: float
    hanging_m: float
    tether_lift_n: float
    net_up_n: float
    heave_trim: float | None
    heave_trim_reason: str
    heave_trim_current_a: float | None
    endurance_lost: float | None


def hull_up_n(configuration: Configuration, density_kg_m3: float) -> float:
    """Lift less weight of the vehicle without its tether, newton, up positive (Archimedes)."""
    hull = configuration.hull
    return (density_kg_m3 * hull.displaced_volume_m3 - hull.mass_kg) * STANDARD_GRAVITY_M_S2


def tether_lift_n(configuration: Configuration, depth_m: float) -> float:
    """Vertical force of the hanging tether, newton, up positive; straight down from the surface.

    The weight per metre is taken as the record gives it: its water is not known and the jacket's
    thickness is not recorded, so it is not converted. A 10 mm tether is 0.02 N/m lighter in the
    open sea than in fresh water (27 kg/m^3 more on 79 mm^2).
    """
    tether = configuration.electrical.tether
    return -tether.weight_in_water_n_per_m * min(depth_m, tether.length_m)


def buoyancy(
    configuration: Configuration, temperature_c: float, salinity: float, depth_m: float = 0.0
) -> Buoyancy:
    """Net force and the heave trim that holds depth, in water of this temperature and salinity.

    The hull is taken as rigid and the density as that at the surface. Raises OutOfRangeError naming
    temperature_c (0 to 40), salinity (0 to 43) or depth_m (0 to 11000).
    """
    require_within("depth_m", depth_m, 0.0, DEEPEST_M)
    density = water_density(salinity, temperature_c)
    hull, tether = hull_up_n(configuration, density), tether_lift_n(configuration, depth_m)
    trim = heave_trim(configuration, hull + tether)
    return Buoyancy(
        density_kg_m3=density,
        depth_m=depth_m,
        hull_up_n=hull,
        hanging_m=min(depth_m, configuration.electrical.tether.length_m),
        tether_lift_n=tether,
        net_up_n=hull + tether,
        heave_trim=trim.share,
        heave_trim_reason=trim.reason,
        heave_trim_current_a=trim.current_a,
        endurance_lost=trim.endurance_lost,
    )
