"""How long a vehicle takes to come up by itself, hands off the sticks."""

from __future__ import annotations

from math import expm1, log1p, sqrt

from rovlog.domain.ranges import require_within
from rovlog.domain.vehicle import Configuration
from rovlog.values import dataclass

ADDED_MASS_SHARE = 0.5
"""Water that is set moving with the vehicle, as a share of the water it displaces.

That of a sphere far from walls and surface (Lamb, Hydrodynamics, 6th ed. 1932, section 92); for
an open frame it is a project default.
"""


@dataclass(frozen=True, slots=True)
class Rise:
    """A rise from rest. `rise_time_s` counts the start; `steady_time_s` is the same way at full speed.

    Both are None with a reason where it does not rise or the drag is not known.
    """

    depth_m: float
    net_up_n: float
    terminal_m_s: float | None
    rise_time_s: float | None
    steady_time_s: float | None
    reason: str = ""


def rise(configuration: Configuration, density_kg_m3: float, net_up_n: float, depth_m: float = 1.0) -> Rise:
    """The time from rest at `depth_m` to the surface under the net force alone.

    m dv/dt = F - rho/2 (Cd A) v^2 with `hull.drag_area_m2` = Cd A for vertical motion, the net
    force F (newton, up) held constant on the way, and m the vehicle's mass with its added mass:
    v = v_end tanh(t / tau), x = v_end tau ln cosh(t / tau). Speed in m/s, time in seconds.

    Raises OutOfRangeError naming depth_m (0 to 11000) or density_kg_m3 (900 to 1100).
    """
    require_within("depth_m", depth_m, 0.0, 11_000.0)
    require_within("density_kg_m3", density_kg_m3, 900.0, 1100.0)
    hull = configuration.hull
    if net_up_n <= 0.0:
        return Rise(depth_m, net_up_n, None, None, None, "it does not rise by itself")
    if not hull.drag_area_m2:
        return Rise(depth_m, net_up_n, None, None, None, "the record gives no hull.drag_area_m2")
    moving_kg = hull.mass_kg + ADDED_MASS_SHARE * density_kg_m3 * hull.displaced_volume_m3
    terminal = sqrt(2.0 * net_up_n / (density_kg_m3 * hull.drag_area_m2))
    tau = moving_kg * terminal / net_up_n
    return Rise(
        depth_m=depth_m,
        net_up_n=net_up_n,
        terminal_m_s=terminal,
        rise_time_s=tau * _acosh_exp(depth_m / (terminal * tau)),
        steady_time_s=depth_m / terminal,
    )


def _acosh_exp(x: float) -> float:
    """acosh(e^x) for x >= 0, also where e^x would overflow."""
    return x + log1p(sqrt(-expm1(-2.0 * x)))
