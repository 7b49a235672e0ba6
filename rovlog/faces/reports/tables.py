"""Tables with a line of headings: what a face hands in decides how they are drawn."""

from __future__ import annotations

from collections.abc import Callable, Sequence

Rows = Sequence[Sequence[str]]
Tabler = Callable[[Sequence[str], Rows], list[str]]
"""Headings and rows in, lines out. A column whose cells all begin with a digit or sign holds numbers."""


def plain_table(headings: Sequence[str], rows: Rows) -> list[str]:
    """Columns two blanks apart, numbers to the right, headings first; no line is ever cut."""
    every = [list(headings), *(list(row) for row in rows)]
    widths = [max(len(row[c]) for row in every) for c in range(len(headings))]
    right = numeric(headings, rows)
    return [
        (
            "  "
            + "  ".join(
                cell.rjust(w) if c in right else cell.ljust(w)
                for c, (cell, w) in enumerate(zip(row, widths, strict=True))
            )
        ).rstrip()
        for row in every
    ]


def numeric(headings: Sequence[str], rows: Rows) -> frozenset[int]:
    """The columns, counted from 0, that hold numbers alone (empty cells and dashes aside)."""
    return frozenset(
        c
        for c in range(len(headings))
        if rows and all(row[c][:1].isdigit() or row[c][:1] in ("-", "+", "−", "") for row in rows)
    )
