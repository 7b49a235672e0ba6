"""Ballast to add or take off when a vehicle moves from one water to another."""

from __future__ import annotations

from rovlog.domain.hydrostatics.pressure import STANDARD_GRAVITY_M_S2
from rovlog.domain.ranges import require_finite, require_within
from rovlog.problems import OutOfRangeError


def ballast_change_kg(
    volume_m3: float, from_density_kg_m3: float, to_density_kg_m3: float, ballast_density_kg_m3: float
) -> float:
    """Mass of ballast that keeps the net force as it was, kg; positive is to be added.

    (rho2 - rho1) V / (1 - rho2 / rho_ballast): the added ballast displaces the new water too, so it
    is more than the plain (rho2 - rho1) V. The vehicle is taken as rigid, `volume_m3` as everything
    under water in the first water, its ballast included.

    Raises OutOfRangeError naming the quantity: volume not above 0, a water density outside 900 to
    1100 kg/m^3, ballast no denser than the water it hangs in.
    Source: Archimedes' principle for both waters, solved for the mass.
    """
    require_within("displaced_volume_m3", volume_m3, 1e-9, 1e4)
    require_within("from_density_kg_m3", from_density_kg_m3, 900.0, 1100.0)
    require_within("to_density_kg_m3", to_density_kg_m3, 900.0, 1100.0)
    _require_dense(ballast_density_kg_m3, to_density_kg_m3)
    displaced_kg = (to_density_kg_m3 - from_density_kg_m3) * volume_m3
    return displaced_kg / (1.0 - to_density_kg_m3 / ballast_density_kg_m3)


def ballast_to_neutral_kg(net_up_n: float, density_kg_m3: float, ballast_density_kg_m3: float) -> float:
    """Mass of ballast that would leave no net force, kg; negative is to be taken off.

    F / g / (1 - rho / rho_ballast), since the ballast displaces water too. A vehicle is kept light on
    purpose: the figure tells how far it is from neutral, not what to hang on.

    Raises OutOfRangeError naming the quantity.
    """
    require_finite("net_up_n", net_up_n)
    require_within("density_kg_m3", density_kg_m3, 900.0, 1100.0)
    _require_dense(ballast_density_kg_m3, density_kg_m3)
    return net_up_n / STANDARD_GRAVITY_M_S2 / (1.0 - density_kg_m3 / ballast_density_kg_m3)


def _require_dense(ballast_density_kg_m3: float, density_kg_m3: float) -> None:
    require_within("ballast_density_kg_m3", ballast_density_kg_m3, 1.0, 25_000.0)
    if ballast_density_kg_m3 <= density_kg_m3:
        raise OutOfRangeError(
            f"ballast_density_kg_m3 is {ballast_density_kg_m3:g}, no denser than the water"
            f" ({density_kg_m3:.1f}): it cannot weigh the vehicle down",
            "give ballast_density_kg_m3 of what is hung on, in kg/m3 (lead 11340, stainless steel 7900)",
        )
