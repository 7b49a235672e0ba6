"""What the water makes of a configuration: what stops the dive and what is only said."""

from __future__ import annotations

from rovlog.domain.findings import Finding
from rovlog.domain.hydrostatics.buoyancy import Buoyancy
from rovlog.domain.hydrostatics.pressure import Pressure
from rovlog.domain.hydrostatics.righting import Righting
from rovlog.domain.vehicle import Configuration

THIN_PRESSURE_MARGIN = 0.1
"""Below this margin of the weakest housing a note is made; project default."""

LEVEL_DEG = 5.0
"""Greatest roll or pitch of a vehicle at rest before a note is made; project default."""


def water_findings(
    configuration: Configuration,
    buoyancy: Buoyancy,
    pressure: Pressure | None = None,
    righting: Righting | None = None,
) -> tuple[Finding, ...]:
    """All findings on buoyancy, trim, pressure and attitude, those that stop the dive first."""
    found = [*_floating(buoyancy), *_recorded_trim(configuration), *_tether(configuration, buoyancy)]
    if pressure is not None:
        found += _housing(pressure)
    if righting is not None:
        found += _attitude(righting)
    return tuple(sorted(found, key=lambda finding: finding.severity != "stops"))


def _floating(buoyancy: Buoyancy) -> list[Finding]:
    if buoyancy.net_up_n <= 0.0:
        return [
            Finding(
                "sinks-with-power-off",
                "stops",
                f"With the power off it does not come up: {-buoyancy.net_up_n:.2f} N down"
                f" at {buoyancy.depth_m:g} m.",
                "/hull",
                buoyancy.net_up_n,
                0.0,
                buoyancy.net_up_n,
                "N",
                "take ballast off, or say how it comes back",
            )
        ]
    if buoyancy.heave_trim is None:
        return [
            Finding(
                "heave-cannot-hold-depth",
                "note",
                f"No heave trim holds it down: {buoyancy.heave_trim_reason}.",
                "/hull",
                buoyancy.net_up_n,
                unit="N",
                clears="add ballast",
            )
        ]
    return []


def _recorded_trim(configuration: Configuration) -> list[Finding]:
    trim = configuration.trim_defaults.get("heave", 0.0)
    if trim >= 0.0:
        return []
    return [
        Finding(
            "upward-heave-trim",
            "note",
            f"The heave trim of {trim:g} pushes up: the vehicle hangs on its thrusters.",
            "/trim_defaults/heave",
            trim,
            0.0,
            trim,
            "",
            "take ballast off and set the trim to 0 or down",
        )
    ]


def _tether(configuration: Configuration, buoyancy: Buoyancy) -> list[Finding]:
    length_m = configuration.electrical.tether.length_m
    if buoyancy.depth_m <= length_m:
        return []
    return [
        Finding(
            "deeper-than-tether",
            "note",
            f"{buoyancy.depth_m:g} m is deeper than the tether of {length_m:g} m reaches.",
            "/electrical/tether/length_m",
            buoyancy.depth_m,
            length_m,
            length_m - buoyancy.depth_m,
            "m",
            "plan a shallower dive, or fit a longer tether",
        )
    ]


def _housing(pressure: Pressure) -> list[Finding]:
    if pressure.margin is None or pressure.rating_kpa is None or pressure.margin >= THIN_PRESSURE_MARGIN:
        return []
    is_beyond = pressure.margin < 0.0
    said = "is beyond what" if is_beyond else "leaves little of what"
    return [
        Finding(
            "housing-beyond-rating" if is_beyond else "housing-margin-thin",
            "stops" if is_beyond else "note",
            f"{pressure.depth_m:g} m {said} housing {pressure.weakest} is rated for"
            f" ({pressure.gauge_kpa:.0f} of {pressure.rating_kpa:.0f} kPa).",
            f"/housings/{pressure.weakest}/depth_rating_m",
            pressure.gauge_kpa,
            pressure.rating_kpa,
            pressure.rating_kpa - pressure.gauge_kpa,
            "kPa",
            "plan a shallower dive",
        )
    ]


def _attitude(righting: Righting) -> list[Finding]:
    if not righting.is_upright:
        return [
            Finding(
                "turns-over",
                "stops",
                "It turns over: the centre of buoyancy does not lie above the centre of mass.",
                "/hull/centre_of_buoyancy_m",
                righting.height_m,
                0.0,
                righting.height_m,
                "m",
                "move ballast down or floats up",
            )
        ]
    worst = max(abs(righting.rest_roll_deg), abs(righting.rest_pitch_deg))
    if worst <= LEVEL_DEG:
        return []
    return [
        Finding(
            "rests-tilted",
            "note",
            f"It rests tilted: roll {righting.rest_roll_deg:.1f}°, pitch {righting.rest_pitch_deg:.1f}°.",
            "/hull/centre_of_mass_m",
            worst,
            LEVEL_DEG,
            LEVEL_DEG - worst,
            "deg",
            "move ballast or floats",
        )
    ]
