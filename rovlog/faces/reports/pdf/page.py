"""A page as PDF: the same blocks as the HTML, on A4, the same bytes for the same page."""

from __future__ import annotations

from collections.abc import Sequence
from io import BytesIO
from typing import Any

from rovlog.faces.reports.pages.model import Page

MARGIN = 42.0
"""Points on each side: about 15 mm, and within what prints on Letter too."""


def page_pdf(page: Page, typefaces: Sequence[str] = ()) -> bytes:
    """The whole file. `typefaces` are files on this machine to take letters from that ours lacks."""
    from reportlab.lib.pagesizes import A4, A6, landscape
    from reportlab.platypus import BaseDocTemplate, Frame, KeepInFrame, PageTemplate

    from rovlog.faces.reports.pdf.blocks import Setting, head, told
    from rovlog.faces.reports.pdf.letters import letters

    size = landscape(A6) if page.form == "label" else A4
    margin = 14.0 if page.form == "label" else MARGIN
    setting = Setting(
        letters(tuple(typefaces)),
        size[0] - 2 * margin,
        size[1] - 2 * margin - 30,
        is_one_page=page.form != "sheet",
    )
    out = BytesIO()
    document = BaseDocTemplate(
        out,
        pagesize=size,
        leftMargin=margin,
        rightMargin=margin,
        topMargin=margin,
        bottomMargin=margin,
        title=f"{page.title}, {page.kind}",
        author="rovlog",
        invariant=1,
    )
    foot_high = 14.0 if page.form == "label" else 22.0
    frame = Frame(
        margin,
        margin + foot_high,
        size[0] - 2 * margin,
        size[1] - 2 * margin - foot_high,
        leftPadding=0,
        rightPadding=0,
        topPadding=0,
        bottomPadding=0,
    )

    def sheet(canvas: Any, doc: Any) -> None:
        _foot(canvas, doc.page, page, setting, size[0], margin)

    document.addPageTemplates([PageTemplate(id="sheet", frames=[frame], onPage=sheet)])
    story = head(page, setting)
    for block in page.blocks:
        story += told(block, setting)
    if page.form != "sheet":
        # A card or a label is one page, whatever stands on it: it is set smaller until it fits.
        high = size[1] - 2 * margin - foot_high - 2
        story = [KeepInFrame(setting.width, high, story, mode="shrink", hAlign="LEFT")]
    document.build(story)
    return out.getvalue()


def _foot(canvas: Any, number: int, page: Page, setting: Any, width: float, margin: float) -> None:
    from rovlog.faces.reports.drawings.shapes import Text
    from rovlog.faces.reports.pdf.drawing import draw_text

    canvas.saveState()
    canvas.setLineWidth(0.5)
    canvas.line(margin, margin + 12, width - margin, margin + 12)
    canvas.scale(1, -1)
    size = 6.0 if page.form == "label" else 7.5
    foot = page.foot.splitlines()[0] if page.foot else ""
    beside = 0 if page.form == "label" else 190
    room = int((width - 2 * margin - beside) / (0.56 * size))
    foot = foot if len(foot) <= room else foot[: room - 1] + "…"
    draw_text(canvas, Text((margin, -margin - 2), foot, size), setting.letters)
    if page.form != "label":
        draw_text(
            canvas,
            Text((width - margin, -margin - 2), f"{page.title[:40]}, page {number}", size, "end"),
            setting.letters,
        )
    canvas.restoreState()
