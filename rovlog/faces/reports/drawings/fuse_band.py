"""The currents of a vehicle against the band of times in which its fuse opens."""

from __future__ import annotations

from collections.abc import Sequence

from rovlog.domain.electrical.fuse import OPENING_S
from rovlog.faces.reports.drawings.axes import Axes, frame
from rovlog.faces.reports.drawings.shapes import Circle, Drawing, Line, Polygon, Shade, Shape, Text

WIDTH, HEIGHT = 640.0, 320.0
LONGEST_S = 3600.0
"""The top of the axis; what takes longer than an hour is drawn at the edge."""


def fuse_band(
    rating_a: float,
    continuous_a: float,
    currents: Sequence[tuple[str, float]],
    measured: Sequence[float] = (),
) -> Drawing:
    """Current across, time up, both on log axes; each current a line with its word.

    Args:
        rating_a: the fuse's rating, ampere.
        continuous_a: what it may carry for ever, ampere.
        currents: (words, ampere) of what the vehicle draws.
        measured: clamp readings, ampere, drawn as ticks along the axis.
    """
    largest = max([rating_a * 6, *(a for _, a in currents)])
    least = max(0.5, min([continuous_a, *(a for _, a in currents), *measured, rating_a]) * 0.7)
    axes = Axes(60, 30, 400, HEIGHT - 78, (least, 0.02), (largest * 1.1, LONGEST_S), is_log=True)
    shapes: list[Shape] = [_band(axes, rating_a)]
    shapes += frame(axes, "current, A", "time, s", _ticks(least, largest), [0.1, 1, 10, 100, 1000])
    shapes += _words(axes, rating_a)
    lines = [(f"{continuous_a:.1f} A for ever", continuous_a, True)]
    lines += [(f"{words} {a:.1f} A", a, False) for words, a in currents]
    for row, (words, current, is_limit) in enumerate(sorted(lines, key=lambda line: line[1])):
        top, bottom = axes.at(current, LONGEST_S), axes.at(current, 0.02)
        shade: Shade = "warn" if is_limit else "mark"
        shapes.append(Line((bottom, top), shade, 1.8, is_limit))
        y = axes.top + 12 + 17 * row
        shapes.append(Line(((top[0], y - 4), (axes.left + axes.width + 8, y - 4)), "soft", 0.7))
        shapes.append(Circle((top[0], y - 4), 3, shade, None))
        shapes.append(Text((axes.left + axes.width + 12, y), words, 10.5, "start", not is_limit))
    for current in measured:
        x, y = axes.at(current, 0.02)
        shapes.append(Polygon(((x, y), (x - 4, y + 8), (x + 4, y + 8)), "ink"))
    says = tuple(f"{words} {a:.1f} A" for words, a in currents)
    return Drawing(WIDTH, HEIGHT, tuple(shapes), f"Current against the {rating_a:g} A fuse", says)


def _band(axes: Axes, rating_a: float) -> Polygon:
    """From the shortest to the longest opening time, to the right edge at the last point's times."""
    right = axes.high[0]
    least = [axes.at(rating_a * s, t) for s, t, _ in OPENING_S] + [axes.at(right, 0.02)]
    most = [axes.at(rating_a * s, t if t is not None else LONGEST_S) for s, _, t in OPENING_S]
    most.append(axes.at(right, OPENING_S[-1][2] or LONGEST_S))
    return Polygon((*least, *reversed(most)), "band")


def _words(axes: Axes, rating_a: float) -> list[Shape]:
    at = axes.at(rating_a * 1.75, 1.1)
    return [Text(at, "opens somewhere in this band", 10.5, "start", False, "ink")]


def _ticks(low: float, high: float) -> list[float]:
    every = [m * 10.0**p for p in range(-1, 4) for m in (1, 2, 5)]
    return [t for t in every if low <= t <= high * 1.1]
