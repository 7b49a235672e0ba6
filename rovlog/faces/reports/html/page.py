"""A page as one self-contained HTML file: its style inside it, no script, no outside address."""

from __future__ import annotations

from html import escape

from rovlog.faces.reports.drawings.svg import svg
from rovlog.faces.reports.html.style import STYLE, style_of
from rovlog.faces.reports.pages.layout import Layout
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
from rovlog.faces.reports.plain import clean

PLAIN_LAYOUT = Layout()

POLICY = "default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'"
"""The content policy: nothing may be fetched, run or sent; only the style in the file itself counts."""


def page_html(page: Page, layout: Layout = PLAIN_LAYOUT) -> str:
    """The whole file. What came from the records stands in it as text, never as markup."""
    title = f"{page.title}, {page.kind}"
    subtitle = f"<p>{said(page.subtitle)}</p>" if page.subtitle else ""
    foot = f"<footer>{said(page.foot)}</footer>" if page.foot else ""
    top = "\n".join(map(_block, page.top))
    body = "\n".join(map(_block, page.blocks))
    marks = " ".join((page.form, *(["two"] if layout.columns == 2 and page.form == "sheet" else [])))
    return (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        f'<meta http-equiv="Content-Security-Policy" content="{POLICY}">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        '<meta name="referrer" content="no-referrer">\n'
        f"<title>{said(title)}</title>\n<style>{STYLE}{style_of(layout)}</style>\n</head>\n"
        f'<body class="{marks}">\n<header><p class="kind">{said(page.kind)}</p>'
        f"<h1>{said(page.title)}</h1>{subtitle}</header>\n{top}<main>\n{body}\n</main>\n{foot}\n</body>\n</html>\n"
    )


def said(text: str) -> str:
    """Text from a record as HTML text: shown, never read as markup; line ends stay."""
    return escape(clean(text, lines=True))


def _block(block: Block) -> str:
    match block:
        case Heading(text, is_part):
            tag = "h3" if is_part else "h2"
            return f"<{tag}>{said(text)}</{tag}>"
        case Paragraph(text, tone):
            return f'<p class="{tone}">{said(text)}</p>' if tone != "normal" else f"<p>{said(text)}</p>"
        case Pairs(rows, large):
            body = "".join(
                f'<tr><th scope="row">{said(name)}</th><td>{said(value)}</td></tr>' for name, value in rows
            )
            return f'<table class="pairs{" large" if large else ""}"><tbody>{body}</tbody></table>'
        case Grid():
            return _grid(block)
        case Points(items, numbered, large):
            tag = "ol" if numbered else "ul"
            body = "".join(f"<li>{said(i)}</li>" for i in items)
            size = ' class="large"' if large else ""
            return f"<{tag}{size}>{body}</{tag}>"
        case Plain(text):
            return "<pre>" + "".join(_line(row) for row in text.rstrip("\n").split("\n")) + "</pre>"
        case Picture(drawing, caption, share):
            width = f' style="width:{100 * share:.0f}%"' if share < 1 else ""
            words = said(caption or drawing.title)
            return f"<figure{width}>{svg(drawing)}<figcaption>{words}</figcaption></figure>"
        case Beside(left, right):
            return f'<div class="beside"><div>{_block(left)}</div><div>{_block(right)}</div></div>'
        case Together(blocks):
            return f'<div class="together">{"".join(map(_block, blocks))}</div>'
        case Signatures(roles):
            return "".join(f'<div class="sign"><b>{said(r)}</b><span></span></div>' for r in roles)
        case Blanks():
            return _blanks(block)
        case Step():
            return _step(block)


def _step(step: Step) -> str:
    parts = [f'<p class="stop">{said(step.caution)}</p>'] if step.caution else []
    joint = ":" if step.challenge[-1:].isalnum() else ""
    response = f"{joint} {said(step.response)}" if step.response else ""
    parts.append(
        f'<p><span class="code">{said(step.code)}</span> <b>{said(step.challenge)}</b>{response}</p>'
    )
    if step.points:
        parts.append(_block(Points(step.points, numbered=True)))
    parts += [f'<p class="quiet">{said(step.notes)}</p>'] if step.notes else []
    return f'<div class="step">{"".join(parts)}{"".join(map(_blanks, step.rows))}</div>'


def _blanks(blanks: Blanks) -> str:
    parts = [f"<span>{said(blanks.words)}</span>"] if blanks.words else []
    for blank in blanks.fields:
        words = f"{said(blank.words)} " if blank.words else ""
        if blank.options:
            boxes = "".join(f'<span class="choice"><i></i> {said(o)}</span> ' for o in blank.options)
            parts.append(f"<span>{words}{boxes}</span>")
        else:
            rule = f'<i style="min-width:{4.5 * blank.room:.1f}em"></i>'
            after = f" {said(blank.after)}" if blank.after else ""
            parts.append(f'<span class="blank">{words}{rule}{after}</span>')
    return f'<div class="blanks">{" ".join(parts)}</div>'


def _line(text: str) -> str:
    """One line of plain text; what is too long for the page goes on below its own beginning."""
    bare = text.lstrip(" ")
    indent = len(text) - len(bare)
    return f'<span class="line" style="--indent:{indent}ch">{escape(clean(bare)) or "&nbsp;"}</span>'


def _grid(grid: Grid) -> str:
    if not grid.rows:
        return "<p>none</p>"

    def mark(column: int) -> str:
        return ' class="number"' if column in grid.numbers else ""

    head = "".join(f'<th scope="col"{mark(n)}>{said(c)}</th>' for n, c in enumerate(grid.head))
    rows = "".join(
        "<tr>" + "".join(f"<td{mark(n)}>{said(c)}</td>" for n, c in enumerate(row)) + "</tr>"
        for row in grid.rows
    )
    columns = "".join(f'<col style="width:{100 * share:.1f}%">' for share in column_shares(grid))
    group = f"<colgroup>{columns}</colgroup>"
    return f'<table class="grid">{group}<thead><tr>{head}</tr></thead><tbody>{rows}</tbody></table>'
