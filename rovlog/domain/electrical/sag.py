"""The operating point under load: voltages from the source to each motor, current, thrust that is left."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from rovlog.domain.allocation.thrust import thrust_and_current
from rovlog.domain.electrical.curves import standing_current_a
from rovlog.domain.electrical.motor import Driven, motor_table
from rovlog.domain.electrical.tether import loop_resistance_ohm
from rovlog.domain.ranges import require_finite, require_within
from rovlog.domain.vehicle import Configuration

LEAST_COMMAND = 1e-9
"""No unit. A channel below this is at rest."""

SCAN_STEPS = 240
"""Steps of the search where a motor's current falls with voltage and several points may exist."""


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


@dataclass(frozen=True, slots=True)
class Source:
    """The source and what lies between it and the box, volt, ohm and ampere."""

    open_circuit_v: float
    internal_ohm: float
    path_ohm: float
    standing_a: float
    limit_a: float | None

    @property
    def unloaded_v(self) -> float:
        """Voltage at the box with the standing loads alone."""
        return self.open_circuit_v - (self.internal_ohm + self.path_ohm) * self.standing_a


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
    is what driver and pair let through, its voltage and thrust are none.

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
    solved = _Balance(at, drivers(configuration, commands)).solve()
    if isinstance(solved, Sag):
        return solved
    return Sag(_described(configuration, at, solved))


@dataclass(frozen=True, slots=True)
class _Solved:
    box_v: float
    current_a: float
    channels: dict[int, tuple[Driven, float | None, float]]
    is_limited: bool
    is_unique: bool


class _Balance:
    """The box's voltage at which what the drivers draw is what the source gives."""

    def __init__(self, at: Source, driven: tuple[Driven, ...]) -> None:
        self.at = at
        self.still = tuple(d for d in driven if self._stands_still(d))
        self.turning = tuple(d for d in driven if d not in self.still)

    def _stands_still(self, d: Driven) -> bool:
        """Too small a command to turn the motors, though full command would."""
        if d.effective_voltages(self.at.unloaded_v) or d.duty * self.at.unloaded_v >= d.needed_v(0.0):
            return False
        return d.needed_v(0.0) <= self.at.unloaded_v

    def channels(self, box_v: float) -> dict[int, tuple[Driven, float | None, float]] | None:
        """Effective voltage and motor current of each driver; None where a driver has no point."""
        found: dict[int, tuple[Driven, float | None, float]] = {}
        for d in self.turning:
            voltages = d.effective_voltages(box_v)
            if not voltages:
                return None
            found[d.channel] = (d, voltages[0], d.current_a(voltages[0]))
        for d in self.still:
            found[d.channel] = (d, None, d.duty * box_v / d.resistance_ohm)
        return found

    def current_a(self, box_v: float) -> float | None:
        """Total current at a voltage of the box, standing loads included."""
        channels = self.channels(box_v)
        if channels is None:
            return None
        return self.at.standing_a + sum(d.duty * current for d, _, current in channels.values())

    def solve(self) -> _Solved | Sag:
        """The point of highest voltage, or why there is none."""
        at = self.at
        ohm = at.internal_ohm + at.path_ohm

        def free(v: float) -> float | None:
            current = self.current_a(v)
            return None if current is None else at.open_circuit_v - ohm * current - v

        found = self._highest(free, at.unloaded_v)
        if isinstance(found, Sag) or at.limit_a is None:
            return found if isinstance(found, Sag) else self._solved(found, False)
        limit = at.limit_a
        if (self.current_a(found[0]) or 0.0) <= limit:
            return self._solved(found, False)

        def limited(v: float) -> float | None:
            current = self.current_a(v)
            return None if current is None else limit - current

        held = self._highest(limited, found[0])
        return held if isinstance(held, Sag) else self._solved(held, True)

    def _solved(self, found: tuple[float, bool], is_limited: bool) -> _Solved:
        box_v, is_unique = found
        channels = self.channels(box_v)
        current = self.current_a(box_v)
        assert channels is not None
        assert current is not None
        return _Solved(box_v, current, channels, is_limited, is_unique)

    def _highest(self, excess: Callable[[float], float | None], top: float) -> tuple[float, bool] | Sag:
        """The highest voltage up to `top` at which `excess` falls through 0, and if it is the only one."""
        lowest = max([d.needed_v(0.0) / d.duty for d in self.turning], default=0.0)
        highest = min([d.needed_v(d.highest_v) / d.duty for d in self.turning], default=top)
        if not any(d.falls for d in self.turning):
            if lowest > top:
                return self._none(top)
            high = min(top, highest)
            at_high, at_low = excess(high), excess(lowest)
            if at_high is not None and at_high > 1e-12:
                return _beyond() if high < top else (high, True)
            if at_low is not None and at_low < 0.0:
                return self._none(top)
            return _halved(excess, lowest, high), True
        return self._scanned(excess, top)

    def _scanned(self, excess: Callable[[float], float | None], top: float) -> tuple[float, bool] | Sag:
        places = [top * (SCAN_STEPS - n) / SCAN_STEPS for n in range(SCAN_STEPS)]
        values = [excess(v) for v in places]
        first = next((n for n, value in enumerate(values) if value is not None), None)
        if first is None:
            return self._none(top)
        start = values[first]
        assert start is not None
        if start > 1e-12 and self._is_beyond(top):
            return _beyond()
        found = []
        for (v0, e0), (v1, e1) in zip(
            zip(places, values, strict=True), zip(places[1:], values[1:], strict=True), strict=False
        ):
            if e0 is None or e1 is None or (e0 > 0) == (e1 > 0):
                continue
            place = _halved(excess, v1, v0)
            rest = excess(place)
            if rest is not None and abs(rest) < 1e-6:  # a jump between two branches is no balance
                found.append(place)
        if abs(start) <= 1e-12:
            found.insert(0, places[first])
        return (found[0], len(found) == 1) if found else self._none(top)

    def _is_beyond(self, top: float) -> bool:
        return any(d.duty * top > d.needed_v(d.highest_v) for d in self.turning)

    def _none(self, top: float) -> Sag:
        weak = [d.channel for d in self.turning if not d.effective_voltages(top)]
        if self._is_beyond(top) and weak:
            return _beyond()
        if weak:
            names = ", ".join(str(c) for c in weak)
            return Sag(
                None, f"no operating point: channel {names} cannot get the current its table asks for", True
            )
        return Sag(None, "no operating point: the supply cannot carry the load", True)


def _beyond() -> Sag:
    return Sag(None, "a thruster would see more than 1.25 times its rated voltage, beyond its table")


def _halved(excess: Callable[[float], float | None], low: float, high: float) -> float:
    """Where `excess` falls through 0 between two voltages, to the last digit.

    False position with the kept end's value halved (Illinois), halving where a value is missing.
    """
    at_low, at_high = excess(low), excess(high)
    side = 0
    for _ in range(200):
        if high - low <= 1e-14 * max(1.0, high):
            break
        if at_low is None or at_high is None or at_low == at_high:
            middle = (low + high) / 2
        else:
            middle = low + (high - low) * at_low / (at_low - at_high)
            if not low < middle < high:
                middle = (low + high) / 2
        value = excess(middle)
        if value == 0.0:
            return middle
        if value is None or value > 0:
            low, at_low = middle, value
            if side == 1 and at_high is not None:
                at_high /= 2
            side = 1
        else:
            high, at_high = middle, value
            if side == -1 and at_low is not None:
                at_low /= 2
            side = -1
    return (low + high) / 2


def _described(configuration: Configuration, at: Source, solved: _Solved) -> OperatingPoint:
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
