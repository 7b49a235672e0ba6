"""A page as PDF: the same blocks as the HTML, on A4 or Letter, the same bytes for the same page."""

from __future__ import annotations

from collections.abc import Sequence
from io import BytesIO
from typing import TYPE_CHECKING, Any

from rovlog.faces.reports.pages.layout import Layout
from rovlog.faces.reports.pages.model import Page
from rovlog.values import dataclass

if TYPE_CHECKING:
    from reportlab.platypus import Flowable, PageTemplate

MARGIN = 42.0
"""Points on each side: about 15 mm, and within what prints on Letter too."""

BETWEEN = 20.0
"""Points between two columns."""

MOST_HEAD = 0.6
"""A head that takes more of the first sheet than this has sheets of its own before the columns begin."""

PLAIN_LAYOUT = Layout()


@dataclass(frozen=True, slots=True)
class Sheet:
    """One sheet of paper, points: its size, the margin on every side, and what the foot takes of it."""

    width: float
    high: float
    margin: float
    foot: float

    @property
    def inner_width(self) -> float:
        """Between the margins."""
        return self.width - 2 * self.margin

    @property
    def inner_high(self) -> float:
        """Between the upper margin and the foot."""
        return self.high - 2 * self.margin - self.foot


def page_pdf(page: Page, typefaces: Sequence[str] = (), layout: Layout = PLAIN_LAYOUT) -> bytes:
    """The whole file. `typefaces` are files on this machine to take letters from that ours lacks."""
    from reportlab.platypus import BaseDocTemplate, FrameBreak, KeepInFrame, NextPageTemplate, PageBreak

    from rovlog.faces.reports.pdf.blocks import Setting, head, told
    from rovlog.faces.reports.pdf.foot import Foot, counting_canvas
    from rovlog.faces.reports.pdf.letters import letters

    width, high = _size(page, layout)
    margin = 14.0 if page.form == "label" else MARGIN
    own = letters(tuple(typefaces))
    foot = Foot(page, own, width - 2 * margin, layout)
    sheet = Sheet(width, high, margin, foot.high)
    whole = Setting(own, sheet.inner_width, sheet.inner_high - 8, page.form != "sheet", layout)
    columns = layout.columns if page.form == "sheet" else 1
    narrow = Setting(
        own, (sheet.inner_width - (columns - 1) * BETWEEN) / columns, whole.height, whole.is_one_page, layout
    )
    out = BytesIO()
    document = BaseDocTemplate(
        out,
        pagesize=(width, high),
        leftMargin=margin,
        rightMargin=margin,
        topMargin=margin,
        bottomMargin=margin,
        title=f"{page.title}, {page.kind}",
        author="rovlog",
        invariant=1,
    )
    story = head(page, whole)
    top = [flowable for block in page.top for flowable in told(block, whole)]
    body = [flowable for block in page.blocks for flowable in told(block, narrow)]
    if columns == 1:
        document.addPageTemplates([_template("sheet", sheet, 1, 0.0)])
        story += top + body
    else:
        begin = _high_of([*story, *top], sheet.inner_width)
        is_long = begin > MOST_HEAD * sheet.inner_high
        first = _template("first", sheet, 1, 0.0) if is_long else _template("first", sheet, 2, begin)
        document.addPageTemplates([first, _template("sheet", sheet, 2, 0.0)])
        between = [NextPageTemplate("sheet"), PageBreak()] if is_long else [FrameBreak()]
        story = [*story, *top, *between, *body]
    if page.form != "sheet":
        # A card or a label is one page, whatever stands on it: it is set smaller until it fits.
        story = [KeepInFrame(whole.width, sheet.inner_high - 2, story, mode="shrink", hAlign="LEFT")]
    document.build(story, canvasmaker=counting_canvas(foot, margin))
    return out.getvalue()


def _size(page: Page, layout: Layout) -> tuple[float, float]:
    """Width and height, points; a label is a quarter of a sheet, lying."""
    from reportlab.lib.pagesizes import A4, letter

    width, high = letter if layout.paper == "letter" else A4
    return (high / 2, width / 2) if page.form == "label" else (width, high)


def _template(name: str, sheet: Sheet, columns: int, begin: float) -> PageTemplate:
    """A sheet of columns; with `begin` points of its height for a head across all of them."""
    from reportlab.platypus import Frame, PageTemplate

    def frame(x: float, y: float, width: float, high: float) -> Any:
        return Frame(x, y, width, high, leftPadding=0, rightPadding=0, topPadding=0, bottomPadding=0)

    wide = (sheet.inner_width - (columns - 1) * BETWEEN) / columns
    low = sheet.margin + sheet.foot
    frames = [
        frame(sheet.margin + n * (wide + BETWEEN), low, wide, sheet.inner_high - begin)
        for n in range(columns)
    ]
    if begin:
        frames.insert(0, frame(sheet.margin, low + sheet.inner_high - begin, sheet.inner_width, begin))
        return PageTemplate(id=name, frames=frames, autoNextPageTemplate="sheet")
    return PageTemplate(id=name, frames=frames)


def _high_of(story: Sequence[Flowable], width: float) -> float:
    """The height these take one below the other, points, with the room they keep between them."""
    from reportlab.pdfgen.canvas import Canvas

    total, canvas = 0.0, Canvas(BytesIO())
    for flowable in story:
        _, high = flowable.wrapOn(canvas, width, 10_000)
        total += high + flowable.getSpaceBefore() + flowable.getSpaceAfter()
    return total + 4
