"""Warming at a steady load: a first-order fit, and the time until a limit is reached."""

from __future__ import annotations

from collections.abc import Sequence
from math import exp, log, sqrt

from rovlog.domain.ranges import require_finite, require_within
from rovlog.problems import OutOfRangeError
from rovlog.values import dataclass

SHORTEST_S, LONGEST_S = 1.0, 1e6
"""Seconds. Time constants are looked for between these."""


@dataclass(frozen=True, slots=True)
class Warming:
    """T(t) = start + rise (1 - exp(-t / time_constant)); degrees C, kelvin, seconds.

    `scatter_k` is the root-mean-square distance of the readings from the curve. `is_settled` is
    True where the readings go on long enough (one time constant) to tell where the curve ends.
    """

    start_c: float
    rise_k: float
    time_constant_s: float
    scatter_k: float
    is_settled: bool

    @property
    def end_c(self) -> float:
        """Where the temperature settles, degrees C."""
        return self.start_c + self.rise_k

    def at_c(self, t_s: float) -> float:
        """Temperature at a time from the start, degrees C."""
        return self.start_c + self.rise_k * (1.0 - exp(-t_s / self.time_constant_s))

    def time_to_s(self, limit_c: float) -> float | None:
        """Seconds from the start until a temperature is reached; None where it never is.

        Raises:
            OutOfRangeError: the limit is not finite.
        """
        require_finite("temperature limit", limit_c)
        if limit_c <= self.start_c:
            return 0.0
        if self.end_c <= limit_c:
            return None
        return -self.time_constant_s * log(1.0 - (limit_c - self.start_c) / self.rise_k)


def warming(readings: Sequence[tuple[float, float]]) -> Warming:
    """First-order warming fitted to readings of (seconds, degrees C) by least squares.

    For each time constant start and rise follow from a straight-line fit; the time constant
    itself is found by golden section on its logarithm.

    Raises:
        OutOfRangeError: fewer than three times, or a reading that is no sound number.
    """
    for n, (t, temperature) in enumerate(readings, start=1):
        require_within(f"time of reading {n}", t, 0.0, 1e7)
        require_within(f"temperature of reading {n}", temperature, -60.0, 400.0)
    if len({t for t, _ in readings}) < 3:
        raise OutOfRangeError("fewer than three times were read", "log temperature at three times or more")
    low, high = log(SHORTEST_S), log(LONGEST_S)
    grid = [low + (high - low) * n / 60 for n in range(61)]
    best = min(range(61), key=lambda n: _fit(readings, exp(grid[n]))[2])
    low, high = grid[max(0, best - 1)], grid[min(60, best + 1)]
    golden = (sqrt(5.0) - 1.0) / 2.0
    for _ in range(60):
        a, b = high - golden * (high - low), low + golden * (high - low)
        if _fit(readings, exp(a))[2] < _fit(readings, exp(b))[2]:
            high = b
        else:
            low = a
    time_constant = exp((low + high) / 2)
    start, rise, squares = _fit(readings, time_constant)
    last = max(t for t, _ in readings)
    return Warming(start, rise, time_constant, sqrt(squares / len(readings)), last >= time_constant)


def _fit(readings: Sequence[tuple[float, float]], time_constant_s: float) -> tuple[float, float, float]:
    """Start, rise and sum of squares of the straight line in 1 - exp(-t / time constant)."""
    xs = [1.0 - exp(-t / time_constant_s) for t, _ in readings]
    ys = [temperature for _, temperature in readings]
    mean_x, mean_y = sum(xs) / len(xs), sum(ys) / len(ys)
    spread = sum((x - mean_x) ** 2 for x in xs)
    if spread < 1e-18:
        return mean_y, 0.0, sum((y - mean_y) ** 2 for y in ys)
    rise = sum((x - mean_x) * (y - mean_y) for x, y in zip(xs, ys, strict=True)) / spread
    start = mean_y - rise * mean_x
    return start, rise, sum((y - start - rise * x) ** 2 for x, y in zip(xs, ys, strict=True))
