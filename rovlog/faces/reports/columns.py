"""Plain-text layout for a terminal of 80 columns: wrapped sentences and small tables."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence

WIDTH = 80
"""Columns of the narrowest terminal we write for."""


def wrapped(text: str, indent: int = 0, hanging: int | None = None) -> list[str]:
    """A sentence in lines of at most WIDTH columns; later lines are indented by `hanging`."""
    later = indent if hanging is None else hanging
    lines = textwrap.wrap(
        text, WIDTH, initial_indent=" " * indent, subsequent_indent=" " * later, break_on_hyphens=False
    )
    return lines or [""]


def table(rows: Sequence[Sequence[str]], indent: int = 0, numbers: Sequence[int] = ()) -> list[str]:
    """Rows in columns two blanks apart; the last column is cut where the line would be too long.

    `numbers` are the columns, counted from 0, that are set to the right.
    """
    if not rows:
        return []
    widths = [max(len(row[c]) for row in rows) for c in range(len(rows[0]))]
    lines = []
    for row in rows:
        cells = [
            cell.rjust(w) if c in numbers else cell.ljust(w)
            for c, (cell, w) in enumerate(zip(row, widths, strict=True))
        ]
        line = (" " * indent + "  ".join(cells)).rstrip()
        lines.append(line if len(line) <= WIDTH else line[: WIDTH - 1] + "…")
    return lines
