"""The history of trims: what was set on each dive, the sign in words on the axis."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from rovlog.domain.drift.words import NEGATIVE_WAY, POSITIVE_WAY
from rovlog.faces.reports.drawings.shapes import Drawing
from rovlog.faces.reports.drawings.values import Series, values_over_dives


def trim_history(rows: Sequence[tuple[int, Mapping[str, float]]]) -> Drawing | None:
    """Trims by dive as a drawing, held from dive to dive; None where no trim was ever set."""
    demands = [d for d in POSITIVE_WAY if any(trim.get(d) for _, trim in rows)]
    series = [
        Series(f"{d}: + {POSITIVE_WAY[d]}", tuple((n, float(t.get(d, 0.0))) for n, t in rows), steps=True)
        for d in demands
    ]
    drawing = values_over_dives("Trim in the water, by dive", "share of full demand", series)
    if drawing is None:
        return None
    says = tuple(f"{d}: positive is {POSITIVE_WAY[d]}, negative {NEGATIVE_WAY[d]}" for d in demands)
    return Drawing(drawing.width, drawing.height, drawing.shapes, drawing.title, (*drawing.says, *says))
