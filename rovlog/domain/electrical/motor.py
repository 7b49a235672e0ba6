"""What a motor does at a voltage: thrust and current of one thruster, and of all on one driver."""

from __future__ import annotations

import itertools
from bisect import bisect_right
from collections.abc import Sequence
from math import sqrt

from rovlog.domain.allocation.thrust import GREATEST_COMMAND, table
from rovlog.domain.ranges import require_within
from rovlog.domain.vehicle import ThrusterModel
from rovlog.values import dataclass

SLACK_V = 1e-9
"""Volt. A voltage this near to the end of a segment belongs to it."""


@dataclass(frozen=True, slots=True)
class MotorTable:
    """One thruster turning one way: thrust and supply-average current by share of rated voltage.

    `shares` ascend from 0 to 1.25, the last segment carried on; `thrust_n` is signed as the
    thruster pushes; `current_a` is the table's (average from a supply at rated voltage).
    """

    thruster: str
    rated_v: float
    shares: tuple[float, ...]
    thrust_n: tuple[float, ...]
    current_a: tuple[float, ...]

    def segment(self, c: float) -> int:
        """Index of the segment's upper end at share c of rated voltage."""
        return min(max(bisect_right(self.shares, c), 1), len(self.shares) - 1)

    def line(self, upper: int) -> tuple[float, float]:
        """The current on a segment as a + b c, ampere."""
        c0, c1 = self.shares[upper - 1], self.shares[upper]
        i0, i1 = self.current_a[upper - 1], self.current_a[upper]
        b = (i1 - i0) / (c1 - c0)
        return (0.0, b) if c0 == 0.0 else (i0 - b * c0, b)

    def motor_current_a(self, v: float) -> float:
        """Current through the motor at an effective voltage: I(c) / c; at 0 the first segment's slope."""
        c = v / self.rated_v
        a, b = self.line(self.segment(c))
        return b if a == 0.0 else a / c + b

    def thrust_at_n(self, v: float) -> float:
        """Thrust at an effective voltage, newton."""
        c = v / self.rated_v
        upper = self.segment(c)
        c0, c1 = self.shares[upper - 1], self.shares[upper]
        share = (c - c0) / (c1 - c0)
        return self.thrust_n[upper - 1] + share * (self.thrust_n[upper] - self.thrust_n[upper - 1])

    @property
    def falls(self) -> bool:
        """True where the motor's current I / c falls as the voltage rises."""
        pairs = zip(self.shares[1:], self.current_a[1:], strict=True)
        ratios = [i / c for c, i in pairs]
        return any(b < a - 1e-9 * abs(a) for a, b in itertools.pairwise(ratios))


def motor_table(thruster: str, model: ThrusterModel, way: int) -> MotorTable:
    """The half of a model's table for one way of turning, `way` +1 or -1 as the thruster sees it.

    Raises:
        OutOfRangeError: a current at command 0, a rated voltage that is not positive, a number
            that is not finite.
    """
    require_within(f"rated_v of {model.model}", model.rated_v, 1e-6, 1e4)
    half = sorted((abs(p.command), p.thrust_n, p.current_a) for p in table(model) if p.command * way >= 0)
    for command, thrust, current in half:
        require_within(f"thrust_n of {model.model} at command {command:g}", thrust, -1e6, 1e6)
        require_within(f"current_a of {model.model} at command {command:g}", current, 0.0, 1e5)
    require_within(f"current_a of {model.model} at command 0", half[0][2], 0.0, 0.0)
    (c0, t0, i0), (c1, t1, i1) = half[-2], half[-1]
    reach = (GREATEST_COMMAND - c1) / (c1 - c0)
    half.append((GREATEST_COMMAND, t1 + reach * (t1 - t0), max(0.0, i1 + reach * (i1 - i0))))
    shares, thrust_n, current_a = zip(*half, strict=True)
    return MotorTable(thruster, model.rated_v, shares, thrust_n, current_a)


@dataclass(frozen=True, slots=True)
class Driven:
    """One driver with its pair and the thrusters on it; `resistance_ohm` is driver and pair together."""

    channel: int
    command: float
    motors: tuple[MotorTable, ...]
    resistance_ohm: float

    @property
    def duty(self) -> float:
        """The size of the command."""
        return abs(self.command)

    @property
    def highest_v(self) -> float:
        """The highest effective voltage all the tables reach to."""
        return GREATEST_COMMAND * min(m.rated_v for m in self.motors)

    def current_a(self, v: float) -> float:
        """Current of all motors on the driver at one effective voltage, ampere."""
        return sum(m.motor_current_a(v) for m in self.motors)

    def needed_v(self, v: float) -> float:
        """What the driver must put out for the motors to see v: v + I (R driver + R pair)."""
        return v + self.resistance_ohm * self.current_a(v)

    @property
    def falls(self) -> bool:
        """True where any motor's current falls with voltage, so that several points may exist."""
        return any(m.falls for m in self.motors)

    def effective_voltages(self, box_v: float) -> list[float]:
        """All effective voltages at which motors, pair and driver balance, highest first.

        On each segment the current of a motor is A / v + B, so the balance is a quadratic in v:
        v^2 + (R B - |u| V) v + R A = 0; nothing is searched for and none is missed.
        """
        given = self.duty * box_v
        ends = sorted(
            {c * m.rated_v for m in self.motors for c in m.shares if c * m.rated_v <= self.highest_v}
        )
        found: list[float] = []
        for low, high in itertools.pairwise(ends):
            lines = [m.line(m.segment((low + high) / 2 / m.rated_v)) for m in self.motors]
            a = sum(a * m.rated_v for (a, _), m in zip(lines, self.motors, strict=True))
            b = sum(b for _, b in lines)
            for v in _roots(self.resistance_ohm * b - given, self.resistance_ohm * a):
                if low - SLACK_V <= v <= high + SLACK_V and all(
                    abs(v - other) > 10 * SLACK_V for other in found
                ):
                    found.append(min(max(v, low), high))
        return sorted(found, reverse=True)


def _roots(p: float, q: float) -> Sequence[float]:
    """Real solutions of v^2 + p v + q = 0, without cancellation; of v + p = 0 where q is 0."""
    if q == 0.0:
        return (-p,)
    inside = p * p / 4 - q
    if inside < 0:
        return ()
    far = -p / 2 - sqrt(inside) if p > 0 else -p / 2 + sqrt(inside)
    return (far, q / far) if far else (0.0,)
