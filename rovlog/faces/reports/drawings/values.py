"""Values over dives, with their limits: one mark and one word a series, so that grey paper is enough."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from rovlog.faces.reports.drawings.axes import Axes, frame, round_ticks
from rovlog.faces.reports.drawings.shapes import Circle, Drawing, Line, Point, Polygon, Shape, Text
from rovlog.values import dataclass

WIDTH, HEIGHT = 640.0, 250.0


@dataclass(frozen=True, slots=True)
class Series:
    """One row of values: (dive's number, value) in order. `steps` draws it as held until the next."""

    name: str
    values: tuple[tuple[int, float], ...]
    steps: bool = False


@dataclass(frozen=True, slots=True)
class Limit:
    """A limit as a line across, with its words."""

    name: str
    value: float


def values_over_dives(
    title: str, unit: str, series: Sequence[Series], limits: Sequence[Limit] = (), *, zero: bool = True
) -> Drawing | None:
    """The values as a drawing; None where there is nothing to draw."""
    points = [p for s in series for p in s.values]
    if not points:
        return None
    numbers = [n for n, _ in points]
    heights = [v for _, v in points] + [limit.value for limit in limits] + ([0.0] if zero else [])
    low, high = min(heights), max(heights)
    pad = (high - low or 1.0) * 0.08
    bottom = low if zero and low == 0 else low - pad
    axes = Axes(52, 28, 440, HEIGHT - 74, (min(numbers) - 0.5, bottom), (max(numbers) + 0.5, high + pad))
    dives = [t for t in round_ticks(min(numbers), max(numbers), 12) if t == int(t)]
    shapes = frame(axes, "dive", unit, dives, round_ticks(bottom, high + pad, 5))
    taken: list[float] = []
    for limit in limits:
        start, end = axes.at(axes.low[0], limit.value), axes.at(axes.high[0], limit.value)
        shapes.append(Line((start, end), "warn", 1.6, True))
        shapes.append(Text((end[0] + 8, free(end[1] + 4, taken)), limit.name, 10.5, "start", False, "warn"))
    for number, one in enumerate(series):
        shapes += _series(axes, one, number, taken)
    says = tuple(
        f"{s.name}: {len(s.values)} values, the last {s.values[-1][1]:.3g}" for s in series if s.values
    )
    return Drawing(WIDTH, HEIGHT, tuple(shapes), title, says)


def free(y: float, taken: list[float]) -> float:
    """The nearest height to `y` at which no word stands yet; it is then taken."""
    steps = (0, 13, -13, 26, -26, 39, -39, 52, -52, 65, -65)
    found = next((y + s for s in steps if all(abs(y + s - t) >= 12 for t in taken)), y)
    taken.append(found)
    return found


def _series(axes: Axes, series: Series, number: int, taken: list[float]) -> list[Shape]:
    if not series.values:
        return []
    places = [axes.at(n, v) for n, v in series.values]
    line = places
    if series.steps:
        line = [p for a, b in pairwise(places) for p in (a, (b[0], a[1]))] + places[-1:]
    shapes: list[Shape] = [Line(tuple(line), "soft", 1.1)] if len(line) > 1 else []
    shapes += [mark(p, number) for p in places]
    y = free(places[-1][1] + 4, taken)
    x = axes.left + axes.width + 14
    shapes += [mark((x, y - 4), number), Text((x + 9, y), series.name, 10.5)]
    return shapes


def mark(place: Point, number: int) -> Shape:
    """A series' own mark: disc, ring, square, triangle, by its number."""
    x, y = place
    match number % 4:
        case 0:
            return Circle(place, 3.6, "mark", None)
        case 1:
            return Circle(place, 3.6, "paper", "ink", 1.6)
        case 2:
            return Polygon(((x - 3.4, y - 3.4), (x + 3.4, y - 3.4), (x + 3.4, y + 3.4), (x - 3.4, y + 3.4)))
        case _:
            return Polygon(((x, y - 4.4), (x + 4.4, y + 3.6), (x - 4.4, y + 3.6)), "warn")
