"""A QR code as a drawing."""

from __future__ import annotations

from rovlog.faces.reports.drawings.shapes import Drawing, Polygon, Shape, rectangle

QUIET = 4
"""Modules of white round the code that a reader needs (ISO/IEC 18004)."""


def qr_code(text: str) -> Drawing:
    """The code of a text, error correction M or better; rows of dark modules as bars."""
    import segno

    rows = [list(row) for row in segno.make(text, error="m", micro=False).matrix]
    size = len(rows) + 2 * QUIET
    shapes: list[Shape] = [Polygon(rectangle(0, 0, size, size), "paper")]
    for y, row in enumerate(rows):
        start = None
        for x, dark in enumerate([*row, 0]):
            if dark and start is None:
                start = x
            elif not dark and start is not None:
                shapes.append(Polygon(rectangle(start + QUIET, y + QUIET, x - start, 1.02), "ink"))
                start = None
    return Drawing(size, size, tuple(shapes), "QR code: " + text, is_crisp=True)
