"""The operating point under load: voltages from the source to each motor, current, thrust that is left."""

from __future__ import annotations

from collections.abc import Mapping

from rovlog.domain.allocation.thrust import thrust_and_current
from rovlog.domain.electrical.balance import Balance, NoPoint, Solved, Source
from rovlog.domain.electrical.curves import standing_current_a
from rovlog.domain.electrical.motor import Driven, motor_table
from rovlog.domain.electrical.tether import loop_resistance_ohm
from rovlog.domain.ranges import require_finite, require_within
from rovlog.domain.vehicle import Configuration
from rovlog.values import dataclass

LEAST_COMMAND = 1e-9
"""No unit. A channel below this is at rest."""


@dataclass(frozen=True, slots=True)
class ChannelPoint:
    """One driver at the operating point. `effective_v` is None where the motors do not turn (see `sag`)."""

    channel: int
    command: float
    effective_v: float | None
    motor_current_a: float


@dataclass(frozen=True, slots=True)
class OperatingPoint:
    """Steady state under load. Volt, ampere, newton; shares without unit.

    `supply_v` is at the source's terminals, `box_v` at the box, `vehicle_v` where the electronics
    are (in the box, wherever that stands). `thruster_v` is each motor's effective voltage, None for
    a thruster that does not turn at so small a command. `drop_share` is the part of the open-circuit
    voltage lost in fuse, leads and tether on the way to the worst-served load. `thrust_lost` compares
    with rated voltage (negative: more thrust than at rated voltage). `is_limited`: the supply's current
    limit rules. `is_unique` False: the model has several points, this is the one of highest voltage.
    """

    current_a: float
    supply_v: float
    box_v: float
    vehicle_v: float
    drop_v: float
    drop_share: float
    channels: Mapping[int, ChannelPoint]
    thruster_v: Mapping[str, float | None]
    thrust_n: Mapping[str, float]
    thrust_lost: Mapping[str, float]
    thrust_lost_share: float | None
    is_limited: bool
    is_unique: bool


@dataclass(frozen=True, slots=True)
class Sag:
    """The operating point, or None with the reason in words. `may_not_carry`: the supply is too weak."""

    point: OperatingPoint | None
    reason: str = ""
    may_not_carry: bool = False


def source(configuration: Configuration, open_circuit_v: float) -> Source:
    """The source at a given open-circuit voltage.

    Raises:
        OutOfRangeError: a resistance below zero or a number that is not finite, named.
    """
    electrical = configuration.electrical
    for name, ohm in (
        ("internal_resistance_ohm of the supply", electrical.supply.internal_resistance_ohm),
        ("resistance_ohm of the fuse", electrical.fuse.resistance_ohm),
        ("resistance_ohm of the leads", electrical.leads_resistance_ohm),
        ("on_resistance_ohm of the drivers", electrical.drivers.on_resistance_ohm),
    ):
        require_within(name, ohm, 0.0, 1e4)
    require_within("open_circuit_v", open_circuit_v, 1e-6, 1e4)
    path = electrical.fuse.resistance_ohm + electrical.leads_resistance_ohm
    if electrical.tether.carries == "supply-pair":
        path += loop_resistance_ohm(electrical.tether)
    limit = electrical.supply.current_limit_a if electrical.supply.kind == "regulated" else None
    standing = standing_current_a(configuration)
    return Source(open_circuit_v, electrical.supply.internal_resistance_ohm, path, standing, limit)


def drivers(configuration: Configuration, commands: Mapping[int, float]) -> tuple[Driven, ...]:
    """The drivers at work: channels that have a thruster and are not at rest."""
    electrical = configuration.electrical
    ohm = electrical.drivers.on_resistance_ohm
    if electrical.tether.carries == "motor-pairs":
        ohm += loop_resistance_ohm(electrical.tether)
    found = []
    for channel in configuration.channels_in_use:
        u = commands.get(channel, 0.0)
        require_finite(f"command of channel {channel}", u)
        if abs(u) > LEAST_COMMAND:
            motors = tuple(
                motor_table(t.thruster, configuration.models[t.model], t.sign * (1 if u > 0 else -1))
                for t in configuration.thrusters
                if t.channel == channel
            )
            found.append(Driven(channel, u, motors, ohm))
    return tuple(found)


def sag(
    configuration: Configuration, commands: Mapping[int, float], open_circuit_v: float | None = None
) -> Sag:
    """The operating point at some commands of the channels.

    A driver at duty |u| gives its motors v = |u| V_box - I_m (R_driver + R_pair), draws |u| I_m,
    and I_m = I(c) / c with c = v / rated. Where the current of no motor falls with voltage the
    point is unique, and found by halving; else the voltages are searched from the top and the
    highest is given. A command so small that the table's current at standstill would need more
    than it gives (though full command would turn the motor) leaves the motor still: its current
    is what driver and pair let through, its voltage and thrust are none. A motor that only the
    collapse of the supply keeps still has no operating point: it cannot get its table's current.

    Args:
        commands: command of each channel after saturation, -1 to 1.
        open_circuit_v: of the source; the record's (a full supply) where None.

    Raises:
        OutOfRangeError: a resistance, voltage or table that is no sound number, named.
    """
    electrical = configuration.electrical
    at = source(configuration, electrical.supply.open_circuit_v if open_circuit_v is None else open_circuit_v)
    if at.limit_a is not None and at.standing_a >= at.limit_a:
        why = f"the standing loads alone take {at.standing_a:.1f} A, the supply's limit is {at.limit_a:.1f} A"
        return Sag(None, why, True)
    if at.unloaded_v <= 0.0:
        return Sag(None, "the standing loads alone pull the supply down to nothing", True)
    solved = Balance(at, drivers(configuration, commands)).solve()
    if isinstance(solved, NoPoint):
        return Sag(None, solved.reason, solved.may_not_carry)
    return Sag(_described(configuration, at, solved))


def _described(configuration: Configuration, at: Source, solved: Solved) -> OperatingPoint:
    supply_v = solved.box_v + at.path_ohm * solved.current_a
    pair = 0.0
    if configuration.electrical.tether.carries == "motor-pairs":
        pair = loop_resistance_ohm(configuration.electrical.tether)
    channels = {c: ChannelPoint(c, d.command, v, current) for c, (d, v, current) in solved.channels.items()}
    in_pairs = max((pair * p.motor_current_a for p in channels.values()), default=0.0)
    drop_v = at.path_ohm * solved.current_a + in_pairs
    thruster_v: dict[str, float | None] = {t.thruster: 0.0 for t in configuration.thrusters}
    thrust = {t.thruster: 0.0 for t in configuration.thrusters}
    for d, v, _ in solved.channels.values():
        for motor in d.motors:
            thruster_v[motor.thruster] = v
            thrust[motor.thruster] = 0.0 if v is None else motor.thrust_at_n(v)
    nominal = {
        t.thruster: thrust_and_current(configuration.models[t.model], t.sign * channels[t.channel].command)[0]
        for t in configuration.thrusters
        if t.channel in channels
    }
    lost = {name: 1.0 - thrust[name] / full for name, full in nominal.items() if full}
    whole = sum(abs(full) for full in nominal.values())
    left = sum(abs(thrust[name]) for name in nominal)
    return OperatingPoint(
        current_a=solved.current_a,
        supply_v=supply_v,
        box_v=solved.box_v,
        vehicle_v=solved.box_v,
        drop_v=drop_v,
        drop_share=drop_v / at.open_circuit_v,
        channels=channels,
        thruster_v=thruster_v,
        thrust_n=thrust,
        thrust_lost=lost,
        thrust_lost_share=1.0 - left / whole if whole else None,
        is_limited=solved.is_limited,
        is_unique=solved.is_unique,
    )
