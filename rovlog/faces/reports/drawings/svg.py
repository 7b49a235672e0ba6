"""A drawing as inline SVG: no script, no style from elsewhere, every text escaped."""

from __future__ import annotations

from html import escape

from rovlog.faces.reports.drawings.shapes import COLOURS, Circle, Drawing, Line, Point, Polygon, Shape, Text
from rovlog.faces.reports.plain import clean


def svg(drawing: Drawing) -> str:
    """The drawing as one svg element; its title and what it says are read out by a screen reader."""
    title = escape(clean(". ".join((drawing.title, *drawing.says))))
    crisp = ' shape-rendering="crispEdges"' if drawing.is_crisp else ""
    body = "".join(_shape(s) for s in drawing.shapes)
    return (
        f'<svg role="img" viewBox="0 0 {_n(drawing.width)} {_n(drawing.height)}" '
        f'preserveAspectRatio="xMidYMid meet" xmlns="http://www.w3.org/2000/svg"{crisp}>'
        f"<title>{title}</title>{body}</svg>"
    )


def _shape(shape: Shape) -> str:
    match shape:
        case Line(points, shade, width, dash):
            dashes = ' stroke-dasharray="5 4"' if dash else ""
            return (
                f'<polyline points="{_points(points)}" fill="none" stroke="{COLOURS[shade]}" '
                f'stroke-width="{_n(width)}"{dashes}/>'
            )
        case Polygon(points, fill, edge, width):
            stroke = f' stroke="{COLOURS[edge]}" stroke-width="{_n(width)}"' if edge else ""
            return f'<polygon points="{_points(points)}" fill="{COLOURS[fill]}"{stroke}/>'
        case Circle((x, y), radius, fill, edge, width):
            inside = COLOURS[fill] if fill else "none"
            stroke = f' stroke="{COLOURS[edge]}" stroke-width="{_n(width)}"' if edge else ""
            return f'<circle cx="{_n(x)}" cy="{_n(y)}" r="{_n(radius)}" fill="{inside}"{stroke}/>'
        case Text((x, y), text, size, anchor, bold, shade):
            weight = ' font-weight="bold"' if bold else ""
            return (
                f'<text x="{_n(x)}" y="{_n(y)}" font-size="{_n(size)}" text-anchor="{anchor}"{weight} '
                f'fill="{COLOURS[shade]}">{escape(clean(text))}</text>'
            )


def _points(points: tuple[Point, ...]) -> str:
    return " ".join(f"{_n(x)},{_n(y)}" for x, y in points)


def _n(value: float) -> str:
    return f"{value:.2f}".rstrip("0").rstrip(".") or "0"
