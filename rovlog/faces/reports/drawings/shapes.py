"""Shapes of a drawing, in units of their own: what the SVG and the PDF writer both can draw.

x grows to the right and y downwards; a drawing is scaled as a whole to the width it is given. Shades
are words, so that a drawing stays readable in grey: no meaning hangs on colour alone.
"""

from __future__ import annotations

from typing import Literal

from rovlog.values import dataclass, field

Shade = Literal["ink", "soft", "faint", "paper", "mark", "warn", "band", "wash"]

COLOURS: dict[Shade, str] = {
    "ink": "#111111",
    "soft": "#5a6066",
    "faint": "#c9ced3",
    "paper": "#ffffff",
    "mark": "#0b4f7a",
    "warn": "#9c1f12",
    "band": "#f3d9a4",
    "wash": "#e6eef3",
}
"""A colour for each shade; ink, mark and warn keep at least 7:1 on paper (WCAG 2.2, 1.4.6)."""

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Line:
    """A line through points; `dash` makes it broken."""

    points: tuple[Point, ...]
    shade: Shade = "ink"
    width: float = 1.0
    dash: bool = False


@dataclass(frozen=True, slots=True)
class Polygon:
    """A closed figure, filled, with an edge where `edge` is given."""

    points: tuple[Point, ...]
    fill: Shade = "ink"
    edge: Shade | None = None
    width: float = 1.0


@dataclass(frozen=True, slots=True)
class Circle:
    """A circle about a point."""

    centre: Point
    radius: float
    fill: Shade | None = None
    edge: Shade | None = "ink"
    width: float = 1.0


@dataclass(frozen=True, slots=True)
class Text:
    """A line of text. `at` is the point on its base line; `anchor` says which end stands there."""

    at: Point
    text: str
    size: float = 11.0
    anchor: Literal["start", "middle", "end"] = "start"
    bold: bool = False
    shade: Shade = "ink"


Shape = Line | Polygon | Circle | Text


@dataclass(frozen=True, slots=True)
class Drawing:
    """A drawing: its size in its own units, its shapes from back to front, and what it shows in words.

    `is_crisp`: edges fall on whole dots, as a code to be read by a machine wants it.
    """

    width: float
    height: float
    shapes: tuple[Shape, ...]
    title: str
    says: tuple[str, ...] = field(default=())
    is_crisp: bool = False


def rectangle(x: float, y: float, width: float, height: float) -> tuple[Point, ...]:
    """The corners of a rectangle, from its upper left one."""
    return ((x, y), (x + width, y), (x + width, y + height), (x, y + height))


def text_width(text: str, size: float) -> float:
    """About how wide a line of text is in a sans serif letter, in the drawing's units."""
    return 0.56 * size * len(text)
