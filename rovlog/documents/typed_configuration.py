"""From the resolved object to the typed values that all computations take."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from rovlog.domain.electrical.tether import awg_area_mm2
from rovlog.domain.vehicle import (
    Configuration,
    ControlBox,
    ControlEntry,
    Drivers,
    Electrical,
    Fuse,
    Housing,
    Hull,
    StandingLoad,
    SteeringScheme,
    Supply,
    Tether,
    Thruster,
    ThrusterMap,
    ThrusterModel,
    ThrustPoint,
    Vector,
)


def configuration(resolved: Mapping[str, Any]) -> Configuration:
    """The configuration that a valid resolved object describes."""
    box, table = resolved["control_box"], resolved["thruster_map"]
    return Configuration(
        vehicle=resolved["vehicle"],
        hull=_hull(resolved["hull"]),
        housings=tuple(_housing(key, row) for key, row in resolved["housings"].items()),
        control_box=ControlBox(
            box["box"],
            box["firmware"],
            int(box["channels"]),
            int(box["steering_scheme"]),
            int(box["thruster_map"]),
        ),
        steering_scheme=SteeringScheme(
            tuple(
                _control(control, row)
                for control, rows in resolved["steering_scheme"]["controls"].items()
                for row in rows
            )
        ),
        thruster_map=ThrusterMap(
            {
                demand: {int(channel): float(share) for channel, share in shares.items()}
                for demand, shares in table["shares"].items()
            },
            table["when_saturated"],
        ),
        thrusters=tuple(_thruster(key, row) for key, row in resolved["thrusters"].items()),
        models={key: thruster_model(key, row) for key, row in resolved["models"].items()},
        trim_defaults={demand: float(trim) for demand, trim in resolved["trim_defaults"].items()},
        electrical=_electrical(resolved["electrical"]),
        limits=dict(resolved.get("limits", {})),
        resolved=resolved,
    )


def _vector(row: Any) -> Vector:
    x, y, z = row
    return (float(x), float(y), float(z))


def _optional(row: Mapping[str, Any], key: str) -> float | None:
    return float(row[key]) if key in row else None


def _hull(row: Mapping[str, Any]) -> Hull:
    return Hull(
        float(row["mass_kg"]),
        float(row["displaced_volume_m3"]),
        _optional(row, "ballast_density_kg_m3"),
        _optional(row, "drag_area_m2"),
        _vector(row["centre_of_mass_m"]) if "centre_of_mass_m" in row else None,
        _vector(row["centre_of_buoyancy_m"]) if "centre_of_buoyancy_m" in row else None,
    )


def _housing(key: str, row: Mapping[str, Any]) -> Housing:
    return Housing(
        key,
        float(row["depth_rating_m"]),
        _optional(row, "air_volume_m3"),
        bool(row.get("vacuum_port", False)),
    )


def _control(control: str, row: Mapping[str, Any]) -> ControlEntry:
    return ControlEntry(
        control,
        row["drives"],
        float(row.get("full_stick", 1.0)),
        float(row.get("dead_band", 0.0)),
        float(row.get("cubic_share", 0.0)),
        bool(row.get("reversed", False)),
    )


def _thruster(key: str, row: Mapping[str, Any]) -> Thruster:
    return Thruster(
        key,
        row["model"],
        int(row["channel"]),
        -1 if row["polarity"] == "reversed" else 1,
        _vector(row["position_m"]),
        _vector(row["thrust_direction"]),
    )


def thruster_model(key: str, row: Mapping[str, Any]) -> ThrusterModel:
    """A thruster model from its valid document, or from its place in a resolved configuration."""
    points = [
        ThrustPoint(float(p["command"]), float(p["thrust_n"]), float(p["current_a"])) for p in row["points"]
    ]
    if all(point.command != 0 for point in points):
        points.append(ThrustPoint(0.0, 0.0, 0.0))
    points.sort(key=lambda point: point.command)
    return ThrusterModel(key, float(row["rated_v"]), tuple(points), _optional(row, "stall_current_a"))


def _electrical(row: Mapping[str, Any]) -> Electrical:
    drivers = row.get("drivers", {})
    return Electrical(
        supply=_supply(row["supply"]),
        fuse=_fuse(row["fuse"]),
        leads_resistance_ohm=float(row.get("leads", {}).get("resistance_ohm", 0.0)),
        drivers=Drivers(
            on_resistance_ohm=float(drivers.get("on_resistance_ohm", 0.0)),
            channel_limit_a=_optional(drivers, "channel_limit_a"),
            temperature_limit_c=_optional(drivers, "temperature_limit_c"),
            chopping_hz=_optional(drivers, "chopping_hz"),
            cut_off_a=_optional(drivers, "cut_off_a"),
        ),
        tether=_tether(row["tether"]),
        standing_loads=tuple(
            StandingLoad(key, float(load["current_a"])) for key, load in row.get("standing_loads", {}).items()
        ),
        least_working_v=_optional(row, "least_working_v"),
    )


def _supply(row: Mapping[str, Any]) -> Supply:
    return Supply(
        kind=row["kind"],
        open_circuit_v=float(row["open_circuit_v"]),
        internal_resistance_ohm=float(row.get("internal_resistance_ohm", 0.0)),
        resting_v=_optional(row, "resting_v"),
        current_limit_a=_optional(row, "current_limit_a"),
        capacity_ah=_optional(row, "capacity_ah"),
        rated_hours=_optional(row, "rated_hours"),
        peukert_exponent=_optional(row, "peukert_exponent"),
        chemistry=row.get("chemistry"),
    )


def _fuse(row: Mapping[str, Any]) -> Fuse:
    return Fuse(
        float(row["rating_a"]),
        float(row.get("resistance_ohm", 0.0)),
        row.get("characteristic", "iso-8820-3-blade"),
        float(row.get("continuous_share", 0.75)),
        _optional(row, "distance_from_source_mm"),
    )


def _tether(row: Mapping[str, Any]) -> Tether:
    area = (
        row["conductor_area_mm2"] if "conductor_area_mm2" in row else awg_area_mm2(int(row["conductor_awg"]))
    )
    return Tether(
        float(row["length_m"]),
        float(area),
        row["carries"],
        float(row.get("conductor_temperature_c", 20.0)),
        float(row.get("weight_in_water_n_per_m", 0.0)),
    )
