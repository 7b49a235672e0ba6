"""Plan and side view of a vehicle's thrusters, to scale, with channel numbers and which way each pushes.

The plan is seen from above with the bow up the page; the side view is seen from starboard with the bow to
the right. An arrow shows the push when the thruster's channel is commanded forward (+1), its polarity
counted; a push towards or away from the reader is a ring with a dot or a cross, and a word.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from rovlog.faces.reports.drawings.shapes import (
    Circle,
    Drawing,
    Line,
    Point,
    Polygon,
    Shape,
    Text,
    text_width,
)
from rovlog.values import dataclass

if TYPE_CHECKING:
    from rovlog.domain.vehicle import Configuration, Thruster, Vector

WIDTH, MOST_HIGH = 640.0, 400.0
ROOM = 165.0
"""Width kept on either side for the labels."""

ARROW = 46.0
"""Length of an arrow that lies in the plane of the drawing."""

LONG_WAYS = (("ahead", "astern"), ("to starboard", "to port"), ("down", "up"))
"""Words for a push along x, y, z of the body, positive first."""


@dataclass(frozen=True, slots=True)
class _View:
    title: str
    across: int
    along: int
    across_sign: float
    along_sign: float
    towards: int
    towards_sign: float
    ends: tuple[str, str, str, str]


PLAN = _View("Thrusters from above", 1, 0, 1.0, -1.0, 2, -1.0, ("bow", "stern", "port", "starboard"))
SIDE = _View("Thrusters from starboard", 0, 2, 1.0, 1.0, 1, 1.0, ("up", "down", "stern", "bow"))
"""`across` and `along` are the body axes to the right and down the page; `towards` the one to the reader."""


def plan_view(configuration: Configuration) -> Drawing:
    """The thrusters from above, bow up."""
    return _drawn(configuration, PLAN)


def side_view(configuration: Configuration) -> Drawing:
    """The thrusters from starboard, bow to the right."""
    return _drawn(configuration, SIDE)


def push_words(thruster: Thruster) -> str:
    """Which way a thruster pushes at +1 on its channel: "ahead and to starboard"."""
    push = [thruster.sign * e for e in thruster.thrust_direction]
    largest = max(abs(p) for p in push)
    said = [LONG_WAYS[n][0 if p > 0 else 1] for n, p in enumerate(push) if abs(p) > 0.2 * largest]
    return " and ".join(said)


def _drawn(configuration: Configuration, view: _View) -> Drawing:
    thrusters = configuration.thrusters
    wide = max((abs(t.position_m[view.across]) for t in thrusters), default=0.1)
    tall = max((abs(t.position_m[view.along]) for t in thrusters), default=0.1)
    scale = min(((WIDTH - 2 * ROOM) / 2 - 20) / max(wide, 0.02), (MOST_HIGH / 2 - 62) / max(tall, 0.02))
    rows = max(sum(t.position_m[view.across] * view.across_sign < 0 for t in thrusters), len(thrusters) / 2)
    height = min(MOST_HIGH, max(2 * tall * scale + 190, 28 * rows + 70))
    origin = (WIDTH / 2, height / 2 - 6)

    def at(position: Vector) -> Point:
        return (
            origin[0] + view.across_sign * position[view.across] * scale,
            origin[1] + view.along_sign * position[view.along] * scale,
        )

    shapes: list[Shape] = _axes(view, origin, height)
    groups: dict[Point, list[Thruster]] = {}
    for thruster in thrusters:
        place = at(thruster.position_m)
        same = next((p for p in groups if abs(p[0] - place[0]) + abs(p[1] - place[1]) < 1), place)
        groups.setdefault(same, []).append(thruster)
    for place, mine in groups.items():
        for thruster in mine:
            shapes += _arrow(place, thruster, view)
        shapes.append(Circle(place, 10, "paper", "ink", 1.6))
        numbers = "/".join(str(c) for c in dict.fromkeys(t.channel for t in mine))
        shapes.append(Text((place[0], place[1] + 4), numbers, 11 if len(numbers) < 3 else 8, "middle", True))
    shapes += _labels(groups, origin[0], height)
    shapes += _scale_bar(scale, height)
    says = tuple(
        f"channel {t.channel}: {t.thruster}, pushes {push_words(t)}"
        + ("" if t.sign > 0 else ", polarity reversed")
        for t in sorted(thrusters, key=lambda t: t.channel)
    )
    return Drawing(WIDTH, height, tuple(shapes), view.title, says)


def _axes(view: _View, origin: Point, height: float) -> list[Shape]:
    up, down, left, right = view.ends
    x, y = origin
    wide, high = WIDTH / 2 - ROOM + 8, height / 2 - 40
    return [
        Line(((x - wide, y), (x + wide, y)), "faint", 1, True),
        Line(((x, y - high), (x, y + high)), "faint", 1, True),
        Text((x, y - high - 6), up, 12, "middle", True, "soft"),
        Text((x, y + high + 15), down, 12, "middle", True, "soft"),
        Text((x - wide + 2, y + 36), left, 12, "start", True, "soft"),
        Text((x + wide - 2, y + 36), right, 12, "end", True, "soft"),
    ]


def _arrow(place: Point, thruster: Thruster, view: _View) -> list[Shape]:
    push = [thruster.sign * e for e in thruster.thrust_direction]
    dx, dy = view.across_sign * push[view.across], view.along_sign * push[view.along]
    length = (dx * dx + dy * dy) ** 0.5
    if length < 0.3:
        return _ring(place, view.towards_sign * push[view.towards] > 0)
    dx, dy = dx / length, dy / length
    start, size = 10.0, ARROW * min(1.0, length)
    tip = (place[0] + dx * size, place[1] + dy * size)
    base = (tip[0] - dx * 12, tip[1] - dy * 12)
    head = (tip, (base[0] - dy * 6, base[1] + dx * 6), (base[0] + dy * 6, base[1] - dx * 6))
    return [
        Line(((place[0] + dx * start, place[1] + dy * start), base), "mark", 3.2),
        Polygon(head, "mark"),
    ]


def _ring(place: Point, is_towards: bool) -> list[Shape]:
    """A ring round the thruster: a dot above it for a push to the reader, a cross for one away."""
    x, y = place[0], place[1] - 23
    ring: list[Shape] = [Circle((x, y), 8, "paper", "mark", 2)]
    if is_towards:
        return [*ring, Circle((x, y), 2.6, "mark", None)]
    d = 5.2
    return [
        *ring,
        Line(((x - d, y - d), (x + d, y + d)), "mark", 1.8),
        Line(((x - d, y + d), (x + d, y - d)), "mark", 1.8),
    ]


def _labels(groups: dict[Point, list[Thruster]], middle: float, height: float) -> list[Shape]:
    left = [(p, t) for p, t in groups.items() if p[0] < middle - 1]
    right = [(p, t) for p, t in groups.items() if p[0] > middle + 1]
    for pair in sorted(((p, t) for p, t in groups.items() if abs(p[0] - middle) <= 1), key=lambda r: r[0][1]):
        (left if len(left) <= len(right) else right).append(pair)
    return _column(left, 4, "start", height) + _column(right, WIDTH - 4, "end", height)


def _column(
    rows: Sequence[tuple[Point, list[Thruster]]], x: float, anchor: str, height: float
) -> list[Shape]:
    shapes: list[Shape] = []
    lowest = 14.0
    ordered = sorted(rows, key=lambda r: r[0][1])
    sizes = [28.0 * len(t) + 6 for _, t in ordered]
    for number, (place, thrusters) in enumerate(ordered):
        rest = sum(sizes[number:])
        y = max(lowest, min(place[1] - 10, height - 14 - rest))
        edge = x
        for thruster in thrusters:
            name = f"{thruster.channel}  {thruster.thruster}"
            way = push_words(thruster) + ("" if thruster.sign > 0 else ", reversed")
            size = min(11.5, 11.5 * (ROOM - 8) / max(1.0, text_width(name, 11.5)))
            shapes.append(Text((x, y), name, size, "start" if anchor == "start" else "end", True))
            shapes.append(
                Text((x, y + 13), way, 10.5, "start" if anchor == "start" else "end", False, "soft")
            )
            wide = max(text_width(name, size), text_width(way, 10.5)) + 4
            edge = max(edge, x + wide) if anchor == "start" else min(edge, x - wide)
            y += 28
        anchor_y = y - 28 * len(thrusters) - 4
        away = -11 if place[0] > edge else 11
        shapes.insert(0, Line(((edge, anchor_y), (place[0] + away, place[1])), "faint", 1))
        lowest = y + 6
    return shapes


def _scale_bar(scale: float, height: float) -> list[Shape]:
    length_m = next((m for m in (0.5, 0.2, 0.1, 0.05, 0.02, 0.01) if m * scale <= 130), 0.01)
    x, y, wide = WIDTH / 2 - length_m * scale / 2, height - 8.0, length_m * scale
    return [
        Line(((x, y - 4), (x, y), (x + wide, y), (x + wide, y - 4)), "ink", 1.4),
        Text((x + wide + 6, y), f"{length_m * 1000:g} mm", 10.5),
    ]
