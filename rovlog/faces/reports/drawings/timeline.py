"""The time line of one dive: power and water as bars, marks and faults with their words and times."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime, timedelta

from rovlog.faces.reports.drawings.shapes import (
    Circle,
    Drawing,
    Line,
    Polygon,
    Shape,
    Text,
    rectangle,
    text_width,
)
from rovlog.values import dataclass

WIDTH = 640.0
LEFT, RIGHT = 14.0, 626.0
Place = Callable[[datetime], float]
"""Where a time falls across the drawing."""


@dataclass(frozen=True, slots=True)
class Tick:
    """One thing on the line. `kind` is mark, fault, trim or event; `is_memory` for a time from memory."""

    at: datetime
    text: str
    kind: str = "mark"
    is_memory: bool = False


@dataclass(frozen=True, slots=True)
class Bar:
    """A stretch with its words; `is_open` where nobody marked its end."""

    name: str
    start: datetime
    end: datetime
    is_open: bool = False


def time_line(ticks: Sequence[Tick], bars: Sequence[Bar]) -> Drawing | None:
    """The dive from its first tick to its last; None without two different times."""
    times = [t.at for t in ticks] + [b.start for b in bars] + [b.end for b in bars]
    if not times or min(times) == max(times):
        return None
    start, span = min(times), (max(times) - min(times)).total_seconds()

    def at(when: datetime) -> float:
        return LEFT + 40 + (RIGHT - LEFT - 80) * (when - start).total_seconds() / span

    placed = _rows(sorted(ticks, key=lambda t: t.at), at)
    above = 16.0 * (max((row for _, row in placed), default=0) + 1)
    base = above + 20
    shapes: list[Shape] = []
    for number, bar in enumerate(bars):
        shapes += _bar(bar, at, base + 8 + 20 * number)
    foot = base + 8 + 20 * len(bars) + 6
    shapes.append(Line(((LEFT, base), (RIGHT, base)), "ink", 1.6))
    for tick, row in placed:
        shapes += _tick(tick, at(tick.at), base, above - 16 * row)
    shapes += _hours(start, span, at, foot)
    says = tuple(f"{t.at:%H:%M} {t.text}" for t in sorted(ticks, key=lambda t: t.at))
    return Drawing(WIDTH, foot + 22, tuple(shapes), "Time line of the dive", says)


def _rows(ticks: Sequence[Tick], at: Place) -> list[tuple[Tick, int]]:
    """Each tick with a row above the line in which its words have room."""
    ends: list[float] = []
    placed = []
    for tick in ticks:
        x = at(tick.at)
        wide = text_width(_said(tick), 10.5)
        left = min(max(x - wide / 2, LEFT), RIGHT - wide)
        row = next((n for n, end in enumerate(ends) if left > end + 8), len(ends))
        ends[row : row + 1] = [left + wide]
        placed.append((tick, row))
    return placed


def _said(tick: Tick) -> str:
    return f"{tick.at:%H:%M}{'~' if tick.is_memory else ''} {tick.text}"


def _tick(tick: Tick, x: float, base: float, y: float) -> list[Shape]:
    words = _said(tick)
    wide = text_width(words, 10.5)
    middle = min(max(x, LEFT + wide / 2), RIGHT - wide / 2)
    is_fault = tick.kind == "fault"
    shapes: list[Shape] = [
        Line(((x, base), (x, y + 3)), "warn" if is_fault else "faint", 1),
        Text((middle, y), words, 10.5, "middle", is_fault, "warn" if is_fault else "ink"),
    ]
    if is_fault:
        shapes.append(Polygon(((x, base - 7), (x + 6, base + 4), (x - 6, base + 4)), "warn"))
    elif tick.kind == "trim":
        shapes.append(Polygon(((x, base - 5), (x + 5, base), (x, base + 5), (x - 5, base)), "mark"))
    elif tick.kind == "event":
        shapes.append(Circle((x, base), 4, "paper", "ink", 1.6))
    else:
        shapes.append(Circle((x, base), 4, "ink", None))
    return shapes


def _bar(bar: Bar, at: Place, y: float) -> list[Shape]:
    x0, x1 = at(bar.start), at(bar.end)
    words = bar.name + (", end not marked" if bar.is_open else "")
    return [
        Polygon(rectangle(x0, y, max(2.0, x1 - x0), 14), "wash", "soft", 0.8),
        Text((x0 + 5, y + 11), words, 10.5),
    ]


def _hours(start: datetime, span: float, at: Place, y: float) -> list[Shape]:
    step = next((m for m in (1, 2, 5, 10, 15, 30, 60, 120, 240, 720) if span / (60 * m) <= 9), 1440)
    first = start.replace(second=0, microsecond=0, minute=0)
    shapes: list[Shape] = []
    for n in range(int(span / 60 / step) + 70):
        when = first + timedelta(minutes=step * n)
        if not start <= when <= start + timedelta(seconds=span):
            continue
        x = at(when)
        shapes.append(Line(((x, y), (x, y + 4)), "soft", 1))
        shapes.append(Text((x, y + 16), f"{when:%H:%M}", 10, "middle", False, "soft"))
    return shapes
