"""A resolved configuration as values: one vehicle with its box's tables and its thruster models.

Body axes (SNAME 1950): x forward, y to starboard, z down. SI units; every number carries its
unit in its name. Built from the resolved object by `rovlog.documents.configuration`.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Literal

from rovlog.domain import axes
from rovlog.values import dataclass, field

DEMANDS = axes.DEMANDS
AXES = axes.AXES

Vector = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class ThrustPoint:
    """One row of a thruster model's table at rated terminal voltage.

    `command` -1 to 1; `thrust_n` signed like the command; `current_a` is what the supply feeds
    the thruster on average at that command, never negative.
    """

    command: float
    thrust_n: float
    current_a: float


@dataclass(frozen=True, slots=True)
class ThrusterModel:
    """Thrust and current of one kind of thruster; points sorted by command, both ends present.

    Linear between the points and through the origin (an origin point is inserted where the
    table has none).
    """

    model: str
    rated_v: float
    points: tuple[ThrustPoint, ...]
    stall_current_a: float | None = None


@dataclass(frozen=True, slots=True)
class Thruster:
    """One thruster as fitted and wired. `sign` is +1 for normal polarity, -1 for reversed."""

    thruster: str
    model: str
    channel: int
    sign: int
    position_m: Vector
    thrust_direction: Vector


@dataclass(frozen=True, slots=True)
class ControlEntry:
    """What one control drives: `drives` is a demand's name or "channel-<n>".

    Shaping: dead_band b in [0, 1), cubic_share c in [0, 1], full_stick the demand at full
    throw (may be below 1), `is_reversed` turns the sign. A control may have several entries.
    """

    control: str
    drives: str
    full_stick: float = 1.0
    dead_band: float = 0.0
    cubic_share: float = 0.0
    is_reversed: bool = False


@dataclass(frozen=True, slots=True)
class SteeringScheme:
    """The box's steering scheme in force: entries in the order of the box's table."""

    entries: tuple[ControlEntry, ...]


@dataclass(frozen=True, slots=True)
class ThrusterMap:
    """The box's thruster map in force: shares[demand][channel]; `when_saturated` clip or scale."""

    shares: Mapping[str, Mapping[int, float]]
    when_saturated: Literal["clip", "scale"]


@dataclass(frozen=True, slots=True)
class Hull:
    """Mass, displaced volume (everything under water, ballast included) and optional extras."""

    mass_kg: float
    displaced_volume_m3: float
    ballast_density_kg_m3: float | None = None
    drag_area_m2: float | None = None
    centre_of_mass_m: Vector | None = None
    centre_of_buoyancy_m: Vector | None = None


@dataclass(frozen=True, slots=True)
class Housing:
    """One pressure housing; the depth rating is in metres of fresh water."""

    housing: str
    depth_rating_m: float
    air_volume_m3: float | None = None
    vacuum_port: bool = False


@dataclass(frozen=True, slots=True)
class Supply:
    """The source at the poolside. `kind` battery or regulated; the rest where it applies."""

    kind: Literal["battery", "regulated"]
    open_circuit_v: float
    internal_resistance_ohm: float = 0.0
    resting_v: float | None = None
    current_limit_a: float | None = None
    capacity_ah: float | None = None
    rated_hours: float | None = None
    peukert_exponent: float | None = None
    chemistry: str | None = None


@dataclass(frozen=True, slots=True)
class Fuse:
    """The main fuse. `continuous_share` of the rating may flow for ever at 25 degrees C."""

    rating_a: float
    resistance_ohm: float = 0.0
    characteristic: str = "iso-8820-3-blade"
    continuous_share: float = 0.75
    distance_from_source_mm: float | None = None


@dataclass(frozen=True, slots=True)
class Tether:
    """The tether; conductor area as given or from AWG; `carries` says where the box stands."""

    length_m: float
    conductor_area_mm2: float
    carries: Literal["motor-pairs", "supply-pair"]
    conductor_temperature_c: float = 20.0
    weight_in_water_n_per_m: float = 0.0


@dataclass(frozen=True, slots=True)
class Drivers:
    """The motor drivers of the box. A cut-off counts only if the record says there is one."""

    on_resistance_ohm: float = 0.0
    channel_limit_a: float | None = None
    temperature_limit_c: float | None = None
    chopping_hz: float | None = None
    cut_off_a: float | None = None


@dataclass(frozen=True, slots=True)
class StandingLoad:
    """A load that is always on (camera, lamps); in every total."""

    load: str
    current_a: float


@dataclass(frozen=True, slots=True)
class Electrical:
    """Everything between the source and the motors."""

    supply: Supply
    fuse: Fuse
    leads_resistance_ohm: float
    drivers: Drivers
    tether: Tether
    standing_loads: tuple[StandingLoad, ...]
    least_working_v: float | None = None


@dataclass(frozen=True, slots=True)
class ControlBox:
    """Which box, its firmware and channel count, and the two numbers the vehicle asks of it."""

    box: str
    firmware: str
    channels: int
    steering_scheme: int
    thruster_map: int


@dataclass(frozen=True, slots=True)
class Configuration:
    """One resolved configuration. `resolved` is the JSON object that the digest is taken over."""

    vehicle: str
    hull: Hull
    housings: tuple[Housing, ...]
    control_box: ControlBox
    steering_scheme: SteeringScheme
    thruster_map: ThrusterMap
    thrusters: tuple[Thruster, ...]
    models: Mapping[str, ThrusterModel]
    trim_defaults: Mapping[str, float]
    electrical: Electrical
    limits: Mapping[str, Any] = field(default_factory=dict)
    resolved: Mapping[str, Any] = field(default_factory=dict)

    @property
    def channels_in_use(self) -> tuple[int, ...]:
        """Channels with at least one thruster wired to them, ascending."""
        return tuple(sorted({t.channel for t in self.thrusters}))
