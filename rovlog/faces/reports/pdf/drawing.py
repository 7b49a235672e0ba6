"""A drawing on a PDF page: the same shapes as the SVG, scaled to the width there is."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from reportlab.lib.colors import HexColor
from reportlab.pdfbase.pdfmetrics import stringWidth
from reportlab.platypus import Flowable

from rovlog.faces.reports.drawings.shapes import COLOURS, Circle, Drawing, Line, Polygon, Shape, Text
from rovlog.faces.reports.pdf.letters import BOLD, PLAIN, Letters
from rovlog.faces.reports.plain import clean

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas


class DrawnFlowable(Flowable):
    """A drawing in the flow of a page, `share` of the width it is offered, never higher than `most_high`."""

    def __init__(self, drawing: Drawing, letters: Letters, share: float, most_high: float) -> None:
        """Take the drawing; sizes are in points."""
        super().__init__()
        self._drawing, self._letters = drawing, letters
        self._share, self._most_high = share, most_high
        self._scale = 1.0

    def wrap(self, available_width: float, available_height: float) -> tuple[float, float]:
        """The size it takes, points."""
        d = self._drawing
        self._scale = min(available_width * self._share / d.width, self._most_high / d.height)
        return d.width * self._scale, d.height * self._scale

    def draw(self) -> None:
        """Draw on the canvas, whose origin is the lower left corner."""
        canvas: Canvas = self.canv
        canvas.saveState()
        canvas.translate(0, self._drawing.height * self._scale)
        canvas.scale(self._scale, -self._scale)
        for shape in self._drawing.shapes:
            _draw(canvas, shape, self._letters)
        canvas.restoreState()


def _draw(canvas: Canvas, shape: Shape, letters: Letters) -> None:
    match shape:
        case Line(points, shade, width, dash):
            canvas.setStrokeColor(HexColor(COLOURS[shade]))
            canvas.setLineWidth(width)
            canvas.setDash([5, 4] if dash else [])
            _path(canvas, points, is_closed=False, fill=0, stroke=1)
            canvas.setDash([])
        case Polygon(points, fill, edge, width):
            canvas.setFillColor(HexColor(COLOURS[fill]))
            if edge:
                canvas.setStrokeColor(HexColor(COLOURS[edge]))
                canvas.setLineWidth(width)
            _path(canvas, points, is_closed=True, fill=1, stroke=1 if edge else 0)
        case Circle((x, y), radius, fill, edge, width):
            if fill:
                canvas.setFillColor(HexColor(COLOURS[fill]))
            if edge:
                canvas.setStrokeColor(HexColor(COLOURS[edge]))
                canvas.setLineWidth(width)
            canvas.circle(x, y, radius, stroke=1 if edge else 0, fill=1 if fill else 0)
        case Text():
            draw_text(canvas, shape, letters)


def _path(canvas: Canvas, points: Any, *, is_closed: bool, fill: int, stroke: int) -> None:
    path = canvas.beginPath()
    path.moveTo(*points[0])
    for point in points[1:]:
        path.lineTo(*point)
    if is_closed:
        path.close()
    canvas.drawPath(path, stroke=stroke, fill=fill)


def draw_text(canvas: Canvas, text: Text, letters: Letters) -> None:
    own = BOLD if text.bold else PLAIN
    runs = [(face or own, run) for face, run in letters.runs(clean(text.text))]
    size = text.size * 0.92
    whole = sum(stringWidth(run, face, size) for face, run in runs)
    x, y = text.at
    x -= {"start": 0.0, "middle": whole / 2, "end": whole}[text.anchor]
    canvas.saveState()
    canvas.translate(x, y)
    canvas.scale(1, -1)
    canvas.setFillColor(HexColor(COLOURS[text.shade]))
    along = 0.0
    for face, run in runs:
        canvas.setFont(face, size)
        canvas.drawString(along, 0, run)
        along += stringWidth(run, face, size)
    canvas.restoreState()
