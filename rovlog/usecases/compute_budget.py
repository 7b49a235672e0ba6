"""What a configuration will draw, what the fuse does about it, and with water given what it floats like."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rovlog.problems import UsageError
from rovlog.values import dataclass

if TYPE_CHECKING:
    from rovlog.domain.electrical.electrics import Electrics
    from rovlog.domain.findings import Finding
    from rovlog.domain.hydrostatics.buoyancy import Buoyancy
    from rovlog.domain.hydrostatics.pressure import Pressure
    from rovlog.domain.hydrostatics.righting import Righting
    from rovlog.domain.hydrostatics.rise import Rise
    from rovlog.domain.vehicle import Configuration


@dataclass(frozen=True, slots=True)
class WaterGiven:
    """The water asked about: degrees C, practical salinity (no unit), depth in metres."""

    temperature_c: float
    salinity: float
    depth_m: float


RISE_FROM_M = 1.0
"""Depth from which the rise with hands off is timed in the water, metres; the lists ask for it from there."""


@dataclass(frozen=True, slots=True)
class Floating:
    """What a water makes of a configuration.

    `rise` is from `RISE_FROM_M`; `righting` None where the record gives no two centres;
    `ballast_to_neutral_kg` None where it names no ballast denser than the water.
    """

    buoyancy: Buoyancy
    pressure: Pressure
    rise: Rise
    righting: Righting | None
    ballast_to_neutral_kg: float | None


@dataclass(frozen=True, slots=True)
class Budget:
    """The whole budget of one configuration; `water` only where a water was given."""

    vehicle: str
    configuration: Configuration
    electrics: Electrics
    findings: tuple[Finding, ...]
    water: Floating | None = None

    @property
    def buoyancy(self) -> Buoyancy | None:
        """Net force and trim, where a water was given."""
        return self.water.buoyancy if self.water else None

    @property
    def pressure(self) -> Pressure | None:
        """Pressure at the depth, where a water was given."""
        return self.water.pressure if self.water else None

    @property
    def stops(self) -> tuple[Finding, ...]:
        """The findings that stop a dive."""
        return tuple(f for f in self.findings if f.severity == "stops")


def water_given(
    temperature_c: float | None, salinity: float | None, depth_m: float | None
) -> WaterGiven | None:
    """The water from the flags: none of them is no water; salinity and depth are 0 where not given.

    Raises:
        UsageError: salinity or depth without a temperature.
    """
    if temperature_c is None:
        if salinity is None and depth_m is None:
            return None
        raise UsageError(
            "salinity and depth need the water's temperature", "add --temperature-c, or leave both out"
        )
    return WaterGiven(temperature_c, salinity or 0.0, depth_m or 0.0)


def compute_budget(configuration: Configuration, water: WaterGiven | None = None) -> Budget:
    """The budget of a configuration, in a water where one is given.

    Raises:
        OutOfRangeError: a number in the configuration or of the water that cannot be used, named.
    """
    from rovlog.domain.electrical.electrics import electrics
    from rovlog.domain.electrical.findings import electrical_findings

    results = electrics(configuration)
    floating = None if water is None else float_in(configuration, water)
    findings = electrical_findings(configuration, results)
    if floating is not None:
        from rovlog.domain.hydrostatics.findings import water_findings

        findings += water_findings(configuration, floating.buoyancy, floating.pressure, floating.righting)
    findings.sort(key=lambda f: f.severity != "stops")
    return Budget(configuration.vehicle, configuration, results, tuple(findings), floating)


def float_in(configuration: Configuration, water: WaterGiven) -> Floating:
    """Net force, trim, pressure, rise, attitude and ballast in a water.

    Raises:
        OutOfRangeError: temperature_c, salinity or depth_m out of range, or a number of the record.
    """
    from rovlog.domain.hydrostatics.ballast import ballast_to_neutral_kg
    from rovlog.domain.hydrostatics.buoyancy import buoyancy
    from rovlog.domain.hydrostatics.pressure import pressure
    from rovlog.domain.hydrostatics.righting import righting
    from rovlog.domain.hydrostatics.rise import rise

    floats = buoyancy(configuration, water.temperature_c, water.salinity, water.depth_m)
    density, ballast = floats.density_kg_m3, configuration.hull.ballast_density_kg_m3
    return Floating(
        floats,
        pressure(configuration, density, water.depth_m),
        rise(configuration, density, floats.hull_up_n, RISE_FROM_M),
        righting(configuration, density),
        ballast_to_neutral_kg(floats.net_up_n, density, ballast) if ballast and ballast > density else None,
    )


def computed_values(budget: Budget) -> dict[str, float]:
    """What checklists name as `{computed: …}` and this budget knows; unknown ones are left out."""
    e = budget.electrics
    values: dict[str, float | None] = {
        "worst_case_current_a": e.worst.total_a,
        "continuous_limit_a": e.continuous_limit_a,
        # The clamp meter is read while the thrusters are isolated: no trim draws anything then.
        "idle_current_a": e.idle.standing_a,
        "tether_loop_ohm": e.tether_loop_ohm,
        "thinnest_wire_rating_a": e.wire.rating_a,
        "short_at_far_end_a": e.short.current_a,
        "run_time_min": e.endurance.run_time_min if e.endurance else None,
        "stalled_current_a": e.stall.total_a if e.stall else None,
    }
    point = e.full.worst.point
    if point is not None:
        values |= {
            "with_sag_current_a": point.current_a,
            "supply_v": point.supply_v,
            "box_v": point.box_v,
            "vehicle_v": point.vehicle_v,
            "drop_v": point.drop_v,
            "drop_share": point.drop_share,
        }
    if budget.buoyancy is not None:
        values |= {"net_up_n": budget.buoyancy.net_up_n, "tether_lift_n": budget.buoyancy.tether_lift_n}
    if budget.pressure is not None:
        values["depth_margin_m"] = budget.pressure.depth_margin_m
    return {name: value for name, value in values.items() if value is not None}
