"""Each block of a page as reportlab's flowables; every text goes through the letters, none is markup."""

from __future__ import annotations

from typing import Any, Literal

from reportlab.lib.colors import HexColor
from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import Flowable, HRFlowable, KeepTogether, Spacer, Table, TableStyle
from reportlab.platypus import Paragraph as Set

from rovlog.faces.reports.drawings.shapes import COLOURS
from rovlog.faces.reports.pages.layout import Layout, size_in
from rovlog.faces.reports.pages.model import (
    Beside,
    Blanks,
    Block,
    Grid,
    Heading,
    Page,
    Pairs,
    Paragraph,
    Picture,
    Plain,
    Points,
    Signatures,
    Step,
    Together,
)
from rovlog.faces.reports.pages.widths import column_shares
from rovlog.faces.reports.pdf.drawing import DrawnFlowable
from rovlog.faces.reports.pdf.letters import BOLD, PLAIN, Letters
from rovlog.values import dataclass, replace

INK, SOFT, FAINT = (HexColor(COLOURS[s]) for s in ("ink", "soft", "faint"))

PLAIN_SIZE = 7.2
"""Points of the letters in which the terminal's own lines are set: 80 of them fit a line."""


@dataclass(frozen=True, slots=True)
class Setting:
    """What a block is set with: letters, and the width and height there are, points. `is_one_page`: the
    page is made smaller as a whole until it fits, and nothing in it may ask for a page of its own."""

    letters: Letters
    width: float
    height: float
    is_one_page: bool = False
    layout: Layout = Layout()

    def size(self, points: float) -> float:
        """The size in which letters of a usual size are set here, points."""
        return size_in(self.layout, points)


def style_of(setting: Setting, size: float, *, bold: bool = False, **more: Any) -> ParagraphStyle:
    """A style of a usual size in points, as large as this document is set."""
    points = setting.size(size)
    own = {"bulletFontName": PLAIN, "bulletFontSize": points, **more}
    return ParagraphStyle(
        f"{points}{bold}{sorted(more)}",
        fontName=BOLD if bold else PLAIN,
        fontSize=points,
        leading=points * 1.36,
        textColor=own.pop("colour", INK),
        splitLongWords=1,
        **own,
    )


def head(page: Page, setting: Setting) -> list[Flowable]:
    """The page's kind, title and subtitle over a rule."""
    small = page.form == "label"
    rows: list[Flowable] = [
        _set(setting, page.kind, style_of(setting, 7 if small else 9, colour=SOFT)),
        _set(setting, page.title, style_of(setting, 14 if small else 19, bold=True, spaceAfter=2)),
    ]
    if page.subtitle:
        rows.append(_set(setting, page.subtitle, style_of(setting, 7 if small else 9.5)))
    rows.append(
        HRFlowable(width="100%", thickness=1.6, color=INK, spaceBefore=3, spaceAfter=4 if small else 9)
    )
    return rows


def _set(setting: Setting, text: str, style: ParagraphStyle) -> Set:
    return Set(setting.letters.markup(text, lines=True), style)


def told(block: Block, setting: Setting) -> list[Flowable]:
    """One block as flowables."""
    match block:
        case Heading(text, is_part):
            size, before = (10, 7) if is_part else (12, 12)
            style = style_of(setting, size, bold=True, spaceBefore=before, spaceAfter=3, keepWithNext=1)
            return [_set(setting, text, style)]
        case Paragraph(text, tone):
            return [_paragraph(setting, text, tone)]
        case Pairs(rows, large):
            return [_pairs(setting, rows, large)]
        case Grid():
            return [_grid(setting, block)]
        case Points(items, numbered, large):
            return _points(setting, items, numbered, large)
        case Plain(text):
            return _plain(setting, text)
        case Picture():
            drawn = _picture(setting, block)
            return drawn if setting.is_one_page else [KeepTogether(drawn)]
        case Beside(left, right):
            return [_beside(setting, left, right)]
        case Together(blocks):
            # One thing kept together inside another would break behind a heading.
            flat = replace(setting, is_one_page=True)
            every = [flowable for inner in blocks for flowable in told(inner, flat)]
            return every if setting.is_one_page else [KeepTogether(every)]
        case Signatures(roles):
            return [_signatures(setting, roles)]
        case Blanks():
            from rovlog.faces.reports.pdf.steps import blanks

            return [blanks(setting, block)]
        case Step():
            from rovlog.faces.reports.pdf.steps import step

            return step(setting, block)


def _paragraph(setting: Setting, text: str, tone: str) -> Flowable:
    if tone in ("stop", "fine"):
        return framed(setting, text, 9.4, "warn" if tone == "stop" else "mark")
    sizes = {"lead": 11.5, "quiet": 7.8}
    style = style_of(setting, sizes.get(tone, 9.4), spaceAfter=4, colour=SOFT if tone == "quiet" else INK)
    return _set(setting, text, style)


def framed(setting: Setting, text: str, size: float, shade: Literal["warn", "mark"] = "warn") -> Flowable:
    """A framed text with a broad bar on its left, `size` in points."""
    body = _set(setting, text, style_of(setting, size, spaceAfter=4))
    colour = HexColor(COLOURS[shade])
    box = Table([[body]], colWidths=[setting.width])
    box.setStyle(
        TableStyle(
            [
                ("BOX", (0, 0), (-1, -1), 1, colour),
                ("LINEBEFORE", (0, 0), (0, -1), 6, colour, "butt"),
                ("LEFTPADDING", (0, 0), (-1, -1), 12),
                ("BOTTOMPADDING", (0, 0), (-1, -1), 2),
            ]
        )
    )
    box.spaceBefore = box.spaceAfter = 4
    return box


def _pairs(setting: Setting, rows: tuple[tuple[str, str], ...], large: bool) -> Flowable:
    size = 12.5 if large else 9.0
    bold, plain = style_of(setting, size, bold=True), style_of(setting, size)
    letters = max((len(name) for name, _ in rows), default=1)
    first = min(setting.width * 0.4, max(setting.width * 0.24, 0.66 * size * letters + 10))
    body = [[_set(setting, n, bold), _set(setting, v, plain)] for n, v in rows]
    return _ruled(body, [first, setting.width - first])


def _grid(setting: Setting, grid: Grid) -> Flowable:
    if not grid.rows:
        return _set(setting, "none", style_of(setting, 9))
    numbers = {c: style_of(setting, 8.4, alignment=2) for c in grid.numbers}
    heads = [
        style_of(setting, 8.4, bold=True, alignment=2 if n in grid.numbers else 0)
        for n in range(len(grid.head))
    ]
    body = [[_set(setting, h, s) for h, s in zip(grid.head, heads, strict=True)]]
    usual = style_of(setting, 8.4)
    body += [[_set(setting, c, numbers.get(n, usual)) for n, c in enumerate(row)] for row in grid.rows]
    return _ruled(body, [setting.width * share for share in column_shares(grid)], has_head=True)


def _ruled(body: list[list[Any]], widths: list[float], *, has_head: bool = False) -> Flowable:
    table = Table(body, colWidths=widths, repeatRows=1 if has_head else 0, splitInRow=1)
    rules: list[Any] = [
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
        ("LINEBELOW", (0, 0), (-1, -1), 0.4, FAINT),
        ("LEFTPADDING", (0, 0), (-1, -1), 0),
        ("RIGHTPADDING", (0, 0), (-1, -1), 7),
        ("TOPPADDING", (0, 0), (-1, -1), 2),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 2.5),
    ]
    if has_head:
        rules.append(("LINEBELOW", (0, 0), (-1, 0), 1, INK))
    table.setStyle(TableStyle(rules))
    table.spaceBefore, table.spaceAfter = 2, 6
    return table


def _points(setting: Setting, items: tuple[str, ...], numbered: bool, large: bool) -> list[Flowable]:
    style = style_of(setting, 13 if large else 9.2, leftIndent=20 if large else 15, spaceAfter=2)
    found: list[Flowable] = []
    for number, item in enumerate(items, start=1):
        mark = f"{number}." if numbered else "•"
        found.append(Set(setting.letters.markup(item, lines=True), style, bulletText=mark))
    return [*found, Spacer(1, 5)]


def _plain(setting: Setting, text: str) -> list[Flowable]:
    """Lines with their columns kept, in a typeface of one width; letters it lacks are taken elsewhere."""
    lines: list[Flowable] = []
    for row in text.rstrip("\n").split("\n"):
        line = row.lstrip(" ")
        indent = (len(row) - len(line)) * 0.6 * PLAIN_SIZE
        style = ParagraphStyle(
            f"plain{indent}",
            fontName="Courier",
            fontSize=PLAIN_SIZE,
            leading=9.4,
            textColor=INK,
            leftIndent=indent + 14,
            firstLineIndent=-14,
        )
        # The built-in Courier has Latin-1 only: what lies outside is set in the page's own letters.
        runs = []
        for face, run in setting.letters.runs(line):
            for is_latin, part in _by_latin(run):
                said = setting.letters.escaped(part).replace("  ", "\u00a0\u00a0")
                runs.append(said if is_latin and not face else f'<font name="{face or PLAIN}">{said}</font>')
        lines.append(Set("".join(runs) or "\u00a0", style))
    return [*lines, Spacer(1, 6)]


def _by_latin(text: str) -> list[tuple[bool, str]]:
    parts: list[tuple[bool, str]] = []
    for character in text:
        is_latin = ord(character) < 0x100
        if parts and parts[-1][0] == is_latin:
            parts[-1] = (is_latin, parts[-1][1] + character)
        else:
            parts.append((is_latin, character))
    return parts


def _picture(setting: Setting, picture: Picture) -> list[Flowable]:
    drawing = picture.drawing
    drawn = DrawnFlowable(
        drawing, setting.letters, picture.share, setting.height * (0.85 if setting.width < 200 else 0.55)
    )
    words = _set(setting, picture.caption or drawing.title, style_of(setting, 8, colour=SOFT, spaceAfter=8))
    return [Spacer(1, 4), drawn, Spacer(1, 2), words]


def _beside(setting: Setting, left: Block, right: Block) -> Flowable:
    half = Setting(
        setting.letters, (setting.width - 16) / 2, setting.height, is_one_page=True, layout=setting.layout
    )
    table = Table([[told(left, half), told(right, half)]], colWidths=[half.width + 16, half.width])
    table.setStyle(
        TableStyle(
            [
                ("VALIGN", (0, 0), (-1, -1), "TOP"),
                ("LEFTPADDING", (0, 0), (-1, -1), 0),
                ("RIGHTPADDING", (0, 0), (0, 0), 16),
                ("RIGHTPADDING", (1, 0), (1, 0), 0),
            ]
        )
    )
    return table


def _signatures(setting: Setting, roles: tuple[str, ...]) -> Flowable:
    rows = [[_set(setting, role, style_of(setting, 9.2, bold=True)), ""] for role in roles]
    table = Table(rows, colWidths=[110, setting.width - 110], rowHeights=[26] * len(rows))
    table.setStyle(
        TableStyle(
            [
                ("LINEBELOW", (1, 0), (1, -1), 0.7, INK),
                ("VALIGN", (0, 0), (-1, -1), "BOTTOM"),
                ("LEFTPADDING", (0, 0), (-1, -1), 0),
            ]
        )
    )
    return table
