"""Where what the drivers draw is what the source gives: the voltage at the box, solved for."""

from __future__ import annotations

from collections.abc import Callable

from rovlog.domain.electrical.motor import Driven
from rovlog.values import dataclass

SCAN_STEPS = 240
"""Steps of the search where a motor's current falls with voltage and several points may exist."""


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


@dataclass(frozen=True, slots=True)
class NoPoint:
    """Why there is no operating point. `may_not_carry`: the supply or the wires are too weak."""

    reason: str
    may_not_carry: bool = False


@dataclass(frozen=True, slots=True)
class Solved:
    """The voltage at the box, the total current, and of each driver its motors' voltage and current."""

    box_v: float
    current_a: float
    channels: dict[int, tuple[Driven, float | None, float]]
    is_limited: bool
    is_unique: bool


class Balance:
    """The box's voltage at which what the drivers draw is what the source gives."""

    def __init__(self, at: Source, driven: tuple[Driven, ...]) -> None:
        self.at = at
        self.driven = driven
        self.turning = tuple(d for d in driven if not self._stands_still(d, at.unloaded_v))

    def _stands_still(self, d: Driven, box_v: float) -> bool:
        """Too small a command to turn the motors at this voltage of the box, though full command would."""
        needed = d.needed_v(0.0)
        return d.duty * box_v < needed <= box_v and not d.effective_voltages(box_v)

    def channels(self, box_v: float) -> dict[int, tuple[Driven, float | None, float]] | None:
        """Effective voltage and motor current of each driver; None where a driver has no point.

        A motor that stands still takes what its resistance lets through. Where it begins to turn the
        two currents meet, so that a small trim does not end the search as the voltage sags past it.
        """
        found: dict[int, tuple[Driven, float | None, float]] = {}
        for d in self.driven:
            voltages = d.effective_voltages(box_v)
            if voltages:
                found[d.channel] = (d, voltages[0], d.current_a(voltages[0]))
            elif self._stands_still(d, box_v):
                found[d.channel] = (d, None, d.duty * box_v / d.resistance_ohm)
            else:
                return None
        return found

    def _starved(self, box_v: float, is_limited: bool) -> list[int]:
        """Channels whose motors stand still at this voltage because the supply is too weak to turn them.

        At so large a command the motors turn on an unloaded supply, and here full command would not turn
        them either: what they would draw pulls the supply further down. Nothing balances then; a trim
        that a heavy load beside it brings to a standstill is another thing.
        """
        return [d.channel for d in self.turning
                if self._stands_still(d, box_v) and not self._could_turn(d, box_v, is_limited)]  # fmt: skip

    def _could_turn(self, d: Driven, box_v: float, is_limited: bool) -> bool:
        """Whether full command would turn motors that stand still, all other drivers left as they are."""
        at = self.at
        more_a = d.current_a(0.0) - d.duty * d.duty * box_v / d.resistance_ohm
        if is_limited and at.limit_a is not None:
            return (self.current_a(box_v) or 0.0) + more_a <= at.limit_a
        return box_v - (at.internal_ohm + at.path_ohm) * more_a >= d.needed_v(0.0)

    def current_a(self, box_v: float) -> float | None:
        """Total current at a voltage of the box, standing loads included."""
        channels = self.channels(box_v)
        if channels is None:
            return None
        return self.at.standing_a + sum(d.duty * current for d, _, current in channels.values())

    def solve(self) -> Solved | NoPoint:
        """The point of highest voltage, or why there is none."""
        at = self.at
        ohm = at.internal_ohm + at.path_ohm

        def free(v: float) -> float | None:
            current = self.current_a(v)
            return None if current is None else at.open_circuit_v - ohm * current - v

        found = self._highest(free, at.unloaded_v, False)
        if isinstance(found, NoPoint) or at.limit_a is None:
            return found if isinstance(found, NoPoint) else self._at(found, False)
        limit = at.limit_a
        if (self.current_a(found[0]) or 0.0) <= limit:
            return self._at(found, False)

        def limited(v: float) -> float | None:
            current = self.current_a(v)
            return None if current is None else limit - current

        held = self._highest(limited, found[0], True)
        return held if isinstance(held, NoPoint) else self._at(held, True)

    def _at(self, found: tuple[float, bool], is_limited: bool) -> Solved:
        box_v, is_unique = found
        channels = self.channels(box_v)
        current = self.current_a(box_v)
        assert channels is not None
        assert current is not None
        return Solved(box_v, current, channels, is_limited, is_unique)

    def _highest(
        self, excess: Callable[[float], float | None], top: float, is_limited: bool
    ) -> tuple[float, bool] | NoPoint:
        """The highest voltage up to `top` at which `excess` falls through 0, and if it is the only one."""
        lowest = max([d.needed_v(0.0) for d in self.driven], default=0.0)
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
            place = _halved(excess, lowest, high)
            starved = self._starved(place, is_limited)
            return _cannot_get(starved) if starved else (place, True)
        return self._scanned(excess, top, is_limited)

    def _scanned(
        self, excess: Callable[[float], float | None], top: float, is_limited: bool
    ) -> tuple[float, bool] | NoPoint:
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
        fed = [place for place in found if not self._starved(place, is_limited)]
        if found and not fed:
            return _cannot_get(self._starved(found[0], is_limited))
        return (fed[0], len(fed) == 1) if fed else self._none(top)

    def _is_beyond(self, top: float) -> bool:
        return any(d.duty * top > d.needed_v(d.highest_v) for d in self.turning)

    def _none(self, top: float) -> NoPoint:
        weak = [d.channel for d in self.turning if not d.effective_voltages(top)]
        if self._is_beyond(top) and weak:
            return _beyond()
        if weak:
            return _cannot_get(weak)
        return NoPoint("no operating point: the supply cannot carry the load", True)


def _cannot_get(channels: list[int]) -> NoPoint:
    names = ", ".join(str(c) for c in channels)
    return NoPoint(f"no operating point: channel {names} cannot get the current its table asks for", True)


def _beyond() -> NoPoint:
    return NoPoint("a thruster would see more than 1.25 times its rated voltage, beyond its table")


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
