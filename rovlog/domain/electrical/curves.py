"""Current of a channel as a curve of its command: piecewise linear, one curve for all thrusters on it."""

from __future__ import annotations

from bisect import bisect_right

from rovlog.domain.allocation.thrust import table, thrust_and_current
from rovlog.domain.ranges import require_finite
from rovlog.domain.vehicle import Configuration
from rovlog.values import dataclass


@dataclass(frozen=True, slots=True)
class Curve:
    """A continuous curve, linear between `knots` (ascending); beyond the ends it stays flat."""

    knots: tuple[float, ...]
    values: tuple[float, ...]

    def at(self, x: float) -> float:
        """The value at x."""
        if x <= self.knots[0]:
            return self.values[0]
        if x >= self.knots[-1]:
            return self.values[-1]
        upper = bisect_right(self.knots, x)
        a, b = self.knots[upper - 1], self.knots[upper]
        share = (x - a) / (b - a)
        return self.values[upper - 1] + share * (self.values[upper] - self.values[upper - 1])

    def over(self, lowest: float, highest: float) -> Curve:
        """The same curve between two places, both of which become knots."""
        inner = [k for k in self.knots if lowest < k < highest]
        ends = [lowest, highest] if highest > lowest else [lowest]
        knots = sorted({*inner, *ends})
        return Curve(tuple(knots), tuple(self.at(k) for k in knots))

    def greatest(self, lowest: float, highest: float) -> tuple[float, float]:
        """Where between two places the curve is highest, and its value there."""
        part = self.over(lowest, highest)
        value = max(part.values)
        return part.knots[part.values.index(value)], value


def channel_current_curve(configuration: Configuration, channel: int) -> Curve:
    """Supply current of one channel against its command, ampere; command -1 to 1, no unit.

    The sum over all thrusters wired to the channel, each with its polarity, at rated voltage.

    Raises:
        OutOfRangeError: a table holds a number that is not finite.
    """
    on_channel = [
        (configuration.models[t.model], t.sign) for t in configuration.thrusters if t.channel == channel
    ]
    knots = {-1.0, 0.0, 1.0}
    for model, sign in on_channel:
        knots.update(sign * p.command for p in table(model))
    ordered = sorted(knots)
    values = [sum(thrust_and_current(m, s * k)[1] for m, s in on_channel) for k in ordered]
    for value in values:
        require_finite(f"current_a of the thrusters on channel {channel}", value)
    return Curve(tuple(ordered), tuple(values))


def standing_current_a(configuration: Configuration) -> float:
    """All standing loads together, ampere.

    Raises:
        OutOfRangeError: a load is not a finite number.
    """
    loads = configuration.electrical.standing_loads
    for load in loads:
        require_finite(f"current_a of the standing load {load.load}", load.current_a)
    return sum(load.current_a for load in loads)
