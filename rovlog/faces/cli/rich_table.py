"""Tables whose cells wrap, drawn by rich; text from files stays text and colours are left to the terminal."""

from __future__ import annotations

import io
from collections.abc import Sequence

from rovlog.faces.reports.tables import Rows, numeric


def rich_table(headings: Sequence[str], rows: Rows, width: int) -> list[str]:
    """A table as lines without colour, at most so many columns wide; long cells wrap inside theirs."""
    from rich import box
    from rich.console import Console
    from rich.table import Table
    from rich.text import Text

    table = Table(box=box.SIMPLE, pad_edge=False, show_edge=False)
    right = numeric(headings, rows)
    for c, heading in enumerate(headings):
        table.add_column(Text(heading), justify="right" if c in right else "left")
    for row in rows:
        table.add_row(*(Text(cell) for cell in row))
    out = io.StringIO()
    Console(file=out, width=width, color_system=None, highlight=False, emoji=False).print(table)
    return ["  " + line.rstrip() for line in out.getvalue().rstrip("\n").split("\n")]
