"""A frame with two axes, ticks at round numbers, and where a value falls in it."""

from __future__ import annotations

import math

from rovlog.faces.reports.drawings.shapes import Line, Point, Shape, Text
from rovlog.values import dataclass


@dataclass(frozen=True, slots=True)
class Axes:
    """A frame at (left, top) of a size, over the values from low to high of each axis; log where said."""

    left: float
    top: float
    width: float
    height: float
    low: tuple[float, float]
    high: tuple[float, float]
    is_log: bool = False

    def at(self, x: float, y: float) -> Point:
        """Where a value falls; one outside the axes falls on their edge."""
        return (
            self.left + self.width * self._share(x, 0),
            self.top + self.height * (1.0 - self._share(y, 1)),
        )

    def _share(self, value: float, axis: int) -> float:
        low, high = self.low[axis], self.high[axis]
        if self.is_log:
            value, low, high = math.log(max(value, 1e-12)), math.log(low), math.log(high)
        return min(1.0, max(0.0, (value - low) / (high - low))) if high > low else 0.5


def round_ticks(low: float, high: float, most: int = 6) -> list[float]:
    """Round numbers from low to high, at most about `most` of them."""
    span = high - low
    if span <= 0:
        return [low]
    raw = span / most
    power = 10.0 ** math.floor(math.log10(raw))
    step = next(m * power for m in (1, 2, 5, 10) if m * power >= raw)
    first = math.ceil(low / step - 1e-9)
    return [round(n * step, 10) for n in range(first, math.floor(high / step + 1e-9) + 1)]


def frame(axes: Axes, x_words: str, y_words: str, x_ticks: list[float], y_ticks: list[float]) -> list[Shape]:
    """The frame with its ticks and the words of both axes."""
    right, bottom = axes.left + axes.width, axes.top + axes.height
    shapes: list[Shape] = []
    for tick in y_ticks:
        _, y = axes.at(axes.low[0], tick)
        shapes.append(Line(((axes.left, y), (right, y)), "faint", 0.7))
        shapes.append(Text((axes.left - 6, y + 4), f"{tick:g}", 10.5, "end", False, "soft"))
    for tick in x_ticks:
        x, _ = axes.at(tick, axes.low[1])
        shapes.append(Line(((x, bottom), (x, bottom + 4)), "ink", 1))
        shapes.append(Text((x, bottom + 16), f"{tick:g}", 10.5, "middle", False, "soft"))
    shapes.append(Line(((axes.left, axes.top), (axes.left, bottom), (right, bottom)), "ink", 1.2))
    shapes.append(Text((axes.left - 34, axes.top - 9), y_words, 11, "start", True))
    shapes.append(Text((right, bottom + 30), x_words, 11, "end", True))
    return shapes
