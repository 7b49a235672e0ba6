"""How wide each column of a table is, as a share of the whole: HTML and PDF set the same table."""

from __future__ import annotations

from rovlog.faces.reports.pages.model import Grid

LETTER = 0.0108
"""Share of a page's width that a letter of a table takes, about."""

GAP = 0.022
"""Share of a page's width between two columns."""


def column_shares(grid: Grid) -> tuple[float, ...]:
    """Shares that add up to 1: no column narrower than its longest word if there is room."""
    rows = (grid.head, *grid.rows)
    columns = range(len(grid.head))
    words = [max(max((len(w) for w in row[c].split()), default=1) for row in rows) for c in columns]
    whole = [max(len(row[c]) for row in rows) for c in columns]
    least = [min(LETTER * n + GAP, 0.4) for n in words]
    wish = [max(0.0, min(LETTER * n + GAP, 0.9) - m) for n, m in zip(whole, least, strict=True)]
    spare = max(0.0, 1.0 - sum(least))
    scale = spare / sum(wish) if sum(wish) else 0.0
    found = [m + w * scale for m, w in zip(least, wish, strict=True)]
    total = sum(found)
    return tuple(f / total for f in found)
