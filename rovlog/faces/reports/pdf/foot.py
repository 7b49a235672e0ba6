"""The foot of every sheet: what stands on each, whose report it is, and page n of m; nothing is cut."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Literal

from reportlab.lib.styles import ParagraphStyle
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import Paragraph as Set

from rovlog.faces.reports.pages.layout import Layout, size_in
from rovlog.faces.reports.pdf.letters import PLAIN, Letters

if TYPE_CHECKING:
    from rovlog.faces.reports.pages.model import Page

SHARE = 0.64
"""How much of the width the foot's own words take; the page's number and title have the rest."""


class Foot:
    """What stands below each sheet; `high` is the room it takes above the lower margin, points."""

    def __init__(self, page: Page, letters: Letters, width: float, layout: Layout) -> None:
        """Take the page and the width between the margins, points."""
        self._page, self._letters, self._width = page, letters, width
        self._is_label = page.form == "label"
        self._size = size_in(layout, 6.0 if self._is_label else 7.5) * 0.92
        if layout.is_large:
            self._size = size_in(layout, 7.5)
        lines = max(p.wrap(w, 10_000)[1] for p, w in self._parts(1000, 1000))
        self.high = lines + (4.0 if self._is_label else 12.0)

    def draw(self, canvas: Canvas, margin: float, number: int, total: int) -> None:
        """Draw it on one sheet."""
        top = margin + self.high - (3.0 if self._is_label else 10.0)
        canvas.setLineWidth(0.5)
        canvas.line(margin, top, margin + self._width, top)
        x = margin
        for said, width in self._parts(number, total):
            _, high = said.wrap(width, 10_000)
            said.drawOn(canvas, x, top - 2 - high)
            x += width

    def _parts(self, number: int, total: int) -> list[tuple[Set, float]]:
        """The words with the width each has; a label is one page and has no number."""
        wide = self._width if self._is_label else self._width * SHARE
        parts = [(self._said(self._page.foot, 0), wide)]
        if not self._is_label:
            last = f"{self._page.title}\npage {number} of {total}"
            parts.append((self._said(last, 2), self._width - wide))
        return parts

    def _said(self, text: str, alignment: Literal[0, 2]) -> Set:
        style = ParagraphStyle(
            "foot",
            fontName=PLAIN,
            fontSize=self._size,
            leading=self._size * 1.25,
            alignment=alignment,
            splitLongWords=1,
        )
        return Set(self._letters.markup(text, lines=True), style)


def counting_canvas(foot: Foot, margin: float) -> type[Canvas]:
    """A canvas that draws the feet when it is saved: only then is it known how many pages there are."""

    class Counting(Canvas):
        def __init__(self, *words: Any, **named: Any) -> None:
            super().__init__(*words, **named)
            self._held: list[dict[str, Any]] = []

        def showPage(self) -> None:  # noqa: N802 - the library's own name
            self._held.append(dict(self.__dict__))
            canvas: Any = self
            canvas._startPage()

        def save(self) -> None:
            held = self._held
            for number, state in enumerate(held, start=1):
                self.__dict__.update(state)
                foot.draw(self, margin, number, len(held))
                super().showPage()
            super().save()

    return Counting
