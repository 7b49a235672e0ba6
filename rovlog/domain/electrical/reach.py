"""What the controls can ask for: intervals that move freely, and how demands and channels follow them."""

from __future__ import annotations

from collections.abc import Mapping

from rovlog.domain.allocation.channels import channel_numbers
from rovlog.domain.allocation.demand import CHANNEL_PREFIX, channel_of, clipped
from rovlog.domain.allocation.gamepad import require_control
from rovlog.domain.ranges import require_finite, require_within
from rovlog.domain.vehicle import Configuration, ControlEntry
from rovlog.values import dataclass

Shape = tuple[float, float]
"""Dead band and cubic share: entries of one control with the same shape move together."""


@dataclass(frozen=True, slots=True)
class Lever:
    """One control's shaped value, before full stick and reversal; no unit.

    `drives` says how much of each demand or channel a value of 1 asks for. A control whose
    entries differ in shape is several levers, which is what makes the answer an upper bound.
    """

    control: str
    shape: Shape
    lowest: float
    drives: Mapping[str, float]

    def position(self, value: float) -> float:
        """The raw position of the control that gives this shaped value."""
        dead_band, cubic_share = self.shape
        size = _unshaped(min(1.0, abs(value)), cubic_share)
        if size == 0.0:
            return 0.0
        raw = dead_band + (1.0 - dead_band) * size
        return -raw if value < 0 else raw


@dataclass(frozen=True, slots=True)
class Reach:
    """All demands and direct channels that the controls can give, trims at their defaults.

    A free number y within `lowest` and `highest` for each of `variables` (names, for reading);
    demand k is `sum(rows[k][j] y_j) + trims[k]`, then clipped; channel c is given
    `direct[c][j] y_j` besides. A demand that only controls of its own drive is itself a free
    number, already clipped. `levers` are the controls behind it all; `free_levers` those that feed
    several things at once, whose own values are the last of the variables.
    """

    variables: tuple[str, ...]
    lowest: tuple[float, ...]
    highest: tuple[float, ...]
    demands: tuple[str, ...]
    rows: tuple[tuple[float, ...], ...]
    trims: tuple[float, ...]
    channels: tuple[int, ...]
    direct: tuple[tuple[float, ...], ...]
    levers: tuple[Lever, ...]
    free_levers: tuple[Lever, ...]
    is_upper_bound: bool


def levers(configuration: Configuration) -> tuple[Lever, ...]:
    """The controls of the scheme in force as levers, entries of one shape joined.

    Raises:
        OutOfRangeError: a dead band, cubic share or full stick outside its range, named.
        UsageError: a control that no hand controller has.
    """
    joined: dict[tuple[str, Shape], dict[str, float]] = {}
    for entry in configuration.steering_scheme.entries:
        _require_sound(entry)
        key = (entry.control, (entry.dead_band, entry.cubic_share))
        drives = joined.setdefault(key, {})
        share = -entry.full_stick if entry.is_reversed else entry.full_stick
        drives[entry.drives] = drives.get(entry.drives, 0.0) + share
    return tuple(
        Lever(control, shape, require_control(control, 0.0).lowest, drives)
        for (control, shape), drives in joined.items()
    )


def _require_sound(entry: ControlEntry) -> None:
    require_within(f"dead_band of {entry.control}", entry.dead_band, 0.0, 0.999999)
    require_within(f"cubic_share of {entry.control}", entry.cubic_share, 0.0, 1.0)
    require_finite(f"full_stick of {entry.control}", entry.full_stick)


def reach(configuration: Configuration) -> Reach:
    """Everything the controls can ask of the thruster map, trims at their defaults.

    Raises:
        OutOfRangeError: a share, trim, dead band, cubic share or full stick that is no sound number.
    """
    _require_finite_map(configuration)
    all_levers = levers(configuration)
    counted = _what_counts(configuration)
    controls = [lever.control for lever in all_levers if counted & set(lever.drives)]
    shared = [lever for lever in all_levers if len(counted & set(lever.drives)) > 1]
    tied = {name for lever in shared for name in lever.drives if name in counted}
    own = sorted(counted - tied)
    free = [lever for lever in all_levers if counted & set(lever.drives) & tied]
    variables = [*own, *(lever.control for lever in free)]
    lowest, highest = [], []
    for name in own:
        low, high = _interval(configuration, all_levers, name)
        lowest.append(low)
        highest.append(high)
    lowest += [lever.lowest for lever in free]
    highest += [1.0] * len(free)
    demands = tuple(sorted(n for n in counted if channel_of(n) is None))
    trims = configuration.trim_defaults
    channels = channel_numbers(configuration)

    def row(name: str) -> tuple[float, ...]:
        if name in tied:
            return (0.0,) * len(own) + tuple(lever.drives.get(name, 0.0) for lever in free)
        return tuple(float(name == other) for other in own) + (0.0,) * len(free)

    return Reach(
        tuple(variables),
        tuple(lowest),
        tuple(highest),
        demands,
        tuple(row(d) for d in demands),
        tuple(trims.get(d, 0.0) if d in tied else 0.0 for d in demands),
        channels,
        tuple(row(CHANNEL_PREFIX + str(c)) for c in channels),
        all_levers,
        tuple(free),
        len(set(controls)) < len(controls),
    )


def _what_counts(configuration: Configuration) -> set[str]:
    """Demands the map gives to a channel, and channels driven directly."""
    mapped = {d for d, row in configuration.thruster_map.shares.items() if any(row.values())}
    direct = {e.drives for e in configuration.steering_scheme.entries if channel_of(e.drives) is not None}
    return mapped | direct


def _interval(configuration: Configuration, all_levers: tuple[Lever, ...], name: str) -> tuple[float, float]:
    low = high = 0.0
    for lever in all_levers:
        share = lever.drives.get(name, 0.0)
        low += min(share * lever.lowest, share)
        high += max(share * lever.lowest, share)
    if channel_of(name) is not None:
        return low, high
    trim = configuration.trim_defaults.get(name, 0.0)
    return clipped(low + trim), clipped(high + trim)


def _require_finite_map(configuration: Configuration) -> None:
    for demand, row in configuration.thruster_map.shares.items():
        for channel, share in row.items():
            require_finite(f"share of {demand} on channel {channel}", share)
    for demand, trim in configuration.trim_defaults.items():
        require_finite(f"trim of {demand}", trim)


def _unshaped(value: float, cubic_share: float) -> float:
    """The x in 0 to 1 with (1 - c) x + c x^3 = value: bisection, since c may be anything from 0 to 1."""
    if cubic_share == 0.0 or value in (0.0, 1.0):
        return value
    low, high = 0.0, 1.0
    for _ in range(60):
        x = (low + high) / 2
        if (1.0 - cubic_share) * x + cubic_share * x**3 < value:
            low = x
        else:
            high = x
    return high


def sticks_for(space: Reach, wanted: Mapping[str, float], trims: Mapping[str, float]) -> dict[str, float]:
    """Positions of all controls that give the demands and direct channels wanted.

    Only for demands that have controls of their own (see `Reach`): each control is moved from
    rest no further than needed, in the order of the box's table.

    Args:
        space: what the controls can reach.
        wanted: demand after trim, or "channel-n", each within its interval.
        trims: the default trims.
    """
    positions: dict[str, float] = {}
    for name, value in wanted.items():
        rest = value - trims.get(name, 0.0)
        for lever in space.levers:
            share = lever.drives.get(name, 0.0)
            if share == 0.0 or abs(rest) < 1e-15:
                continue
            part = min(1.0, max(lever.lowest, rest / share))
            rest -= part * share
            positions[lever.control] = lever.position(part)
    return positions
