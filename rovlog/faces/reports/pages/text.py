"""A page as lines for the terminal, 80 columns wide."""

from __future__ import annotations

from rovlog.faces.reports.columns import WIDTH, wrapped
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
from rovlog.faces.reports.plain import clean

NARROWEST = 16
"""Letters: a column is not cut narrower than this to make a table fit the terminal."""


def page_text(page: Page) -> str:
    """The page in words; a drawing is told by its caption and what it says."""
    lines = [f"{clean(page.kind).upper()}: {clean(page.title)}"]
    lines += wrapped(clean(page.subtitle)) if page.subtitle else []
    for block in (*page.top, *page.blocks):
        lines += _block(block)
    lines += ["", *wrapped(clean(page.foot))] if page.foot else []
    return "\n".join(line.rstrip() for line in lines) + "\n"


def _block(block: Block) -> list[str]:
    match block:
        case Heading(text, is_part):
            head = clean(text)
            return ["", head] if is_part else ["", head, "-" * min(len(head), WIDTH)]
        case Paragraph(text, tone):
            mark = {"stop": "! ", "fine": "ok: "}.get(tone, "")
            return [
                "",
                *(row for line in clean(text, lines=True).split("\n") for row in wrapped(mark + line)),
            ]
        case Pairs(rows):
            return ["", *_pairs(rows)]
        case Grid():
            return ["", *_grid(block)]
        case Points(items, numbered):
            marks = [f"{n}. " if numbered else "- " for n in range(1, len(items) + 1)]
            told = [wrapped(m + clean(i), hanging=len(m)) for m, i in zip(marks, items, strict=True)]
            return ["", *(line for row in told for line in row)]
        case Plain(text):
            return ["", *(row for line in clean(text, lines=True).split("\n") for row in _plain(line))]
        case Picture(drawing, caption):
            said = [clean(x) for x in (caption or drawing.title, *drawing.says) if x]
            return ["", *(line for s in said for line in wrapped(s, 2, 4))]
        case Beside(left, right):
            return _block(left) + _block(right)
        case Together(blocks):
            return [line for inner in blocks for line in _block(inner)]
        case Signatures(roles):
            width = max(map(len, roles), default=0)
            return ["", *(f"{clean(r).ljust(width)}  ______________________________" for r in roles)]
        case Blanks():
            return ["", *_blanks(block, 0)]
        case Step():
            return ["", *_step(block)]


def _step(step: Step) -> list[str]:
    """An item of a list, its caution first, its rules below it."""
    lines = wrapped(clean(step.caution)) if step.caution else []
    joint = ":" if step.challenge[-1:].isalnum() else ""
    said = clean(f"{step.challenge}{joint} {step.response}" if step.response else step.challenge)
    lines += wrapped(f"{clean(step.code).ljust(5)} {said}", hanging=6)
    for number, point in enumerate(step.points, start=1):
        lines += wrapped(f"{number}. {clean(point)}", 6, 9)
    lines += wrapped(clean(step.notes), 6, 6) if step.notes else []
    return [*lines, *(line for row in step.rows for line in _blanks(row, 6))]


def _blanks(blanks: Blanks, indent: int) -> list[str]:
    """Words and rules, as many side by side as fit a line."""
    fields = [clean(blanks.words)] if blanks.words else []
    for blank in blanks.fields:
        if blank.options:
            fields += [clean(blank.words)] if blank.words else []
            fields += [f"[ ] {clean(option)}" for option in blank.options]
        else:
            rule = "_" * round(8 * blank.room)
            fields.append(" ".join(x for x in (clean(blank.words), rule, clean(blank.after)) if x))
    lines: list[str] = []
    for field in fields:
        if lines and len(lines[-1]) + 2 + len(field) <= WIDTH:
            lines[-1] += "  " + field
        else:
            lines += wrapped(field, indent, indent + 2)
    return lines


def _plain(line: str) -> list[str]:
    """A line with its columns kept; one that is too long goes on below its own beginning."""
    if len(line) <= WIDTH:
        return [line]
    bare = line.lstrip(" ")
    indent = min(len(line) - len(bare), WIDTH // 2)
    return wrapped(bare, indent, indent + 3)


def _pairs(rows: tuple[tuple[str, str], ...]) -> list[str]:
    width = min(28, max((len(clean(name)) for name, _ in rows), default=0))
    lines = []
    for name, value in rows:
        head = clean(name).ljust(width) + "  "
        body = [row for line in clean(value, lines=True).split("\n") for row in wrapped(line, 0, 0)]
        text = " ".join(body) if "\n" not in value else ""
        if text:
            lines += wrapped(head + text, hanging=width + 2)
        else:
            lines += [(head if n == 0 else " " * len(head)) + row for n, row in enumerate(body)]
    return lines


def _grid(grid: Grid) -> list[str]:
    if not grid.rows:
        return ["  none"]
    head, *rows = ([clean(c) for c in row] for row in (grid.head, *grid.rows))
    widths = [max(len(r[c]) for r in (head, *rows)) for c in range(len(head))]
    room = WIDTH - 2 * (len(widths) - 1)
    while sum(widths) > room and max(widths) > NARROWEST:
        widths[widths.index(max(widths))] -= 1
    if sum(widths) <= room:
        lines = []
        for row in (head, *rows):
            cells = [wrapped_cell(c, w) for c, w in zip(row, widths, strict=True)]
            for k in range(max(map(len, cells))):
                parts = [
                    (cell[k] if k < len(cell) else "").rjust(w)
                    if n in grid.numbers
                    else (cell[k] if k < len(cell) else "").ljust(w)
                    for n, (cell, w) in enumerate(zip(cells, widths, strict=True))
                ]
                lines.append("  ".join(parts).rstrip())
        return lines
    # Too wide for columns: each row as its own little list, so that nothing is cut.
    lines = []
    for row in rows:
        lines += wrapped(row[0])
        for name, cell in zip(head[1:], row[1:], strict=True):
            lines += wrapped(f"{name}: {cell}", 2, 4) if cell else []
    return lines


def wrapped_cell(text: str, width: int) -> list[str]:
    """A cell's text in lines of at most `width` characters."""
    import textwrap

    return textwrap.wrap(text, width, break_on_hyphens=False) or [""]
