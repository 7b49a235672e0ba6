"""Tables for the terminal: drawn here where each row fits into a line, by rich where cells have to wrap."""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence
from unicodedata import combining, east_asian_width

from rovlog.faces.reports.tables import Rows, numeric

NARROWEST = 80
USUAL = 100
"""Columns of a table that goes to no terminal."""


def terminal_table(headings: Sequence[str], rows: Rows) -> list[str]:
    """A table as lines without colour, as wide as the terminal allows; long cells wrap inside theirs."""
    width = max(NARROWEST, _columns()) - 2
    drawn = _drawn(headings, rows, width)
    if drawn is None:
        # rich takes as long to import as a whole command: only for what needs its care.
        from rovlog.faces.cli.rich_table import rich_table

        return rich_table(headings, rows, width)
    return drawn


def _columns() -> int:
    """The terminal's columns, as `shutil.get_terminal_size` tells them; that module imports four packers."""
    said = os.environ.get("COLUMNS", "")
    if said.isdecimal() and int(said):
        return int(said)
    try:
        return os.get_terminal_size(sys.__stdout__.fileno()).columns or USUAL if sys.__stdout__ else USUAL
    except (ValueError, OSError):
        return USUAL


def _drawn(headings: Sequence[str], rows: Rows, width: int) -> list[str] | None:
    """The same lines that rich draws, None where a cell has to wrap or is not as wide as it is long."""
    every = [list(headings), *(list(row) for row in rows)]
    if not headings or not all(_is_simple(cell) for row in every for cell in row):
        return None
    widths = [max(len(row[c]) for row in every) for c in range(len(headings))]
    whole = sum(widths) + 3 * (len(widths) - 1)
    if whole > width or not all(widths):
        return None
    right = numeric(headings, rows)
    lines = [
        "   ".join(
            cell.rjust(w) if c in right else cell.ljust(w)
            for c, (cell, w) in enumerate(zip(row, widths, strict=True))
        )
        for row in every
    ]
    lines.insert(1, "─" * whole)
    return ["  " + line.rstrip() for line in lines]


def _is_simple(cell: str) -> bool:
    """Whether each character takes one column and none asks for a new line."""
    if cell.isascii():
        return cell.isprintable()
    return cell.isprintable() and not any(combining(c) or east_asian_width(c) in "WF" for c in cell)
