"""How a narrowed programme is split: where a mix of knots lies furthest off its curve."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from rovlog.domain.electrical.programme import Programme
from rovlog.domain.electrical.simplex import Tableau

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Array = NDArray[Any]

NEAR = 1e-9
"""No unit. A curve is not split closer than this to a knot it already has."""

ON_CURVE = 1e-12
"""Ampere. A mix this near to its curve lies on it."""


def split(programme: Programme, t: Tableau) -> list[Tableau]:
    """Parts that together hold everything of this one; none where nothing is left to narrow."""
    gaps = [_gap(programme, t, n) for n in range(len(programme.ridges))]
    for n in sorted(range(len(gaps)), key=lambda n: -gaps[n][0]):
        if gaps[n][0] <= ON_CURVE:
            break
        parts = _halves(t, n, gaps[n][1])
        if parts:
            return parts
    if programme.shrink is not None and t.lower[programme.shrink] < 1.0:
        parts = _saturated(programme, t)
        if parts:
            return parts
    return _widest(programme, t)


def _gap(programme: Programme, t: Tableau, n: int) -> tuple[float, float]:
    """How far the mix lies off curve n (ampere; a demand's share counts alike), and where."""
    import numpy as np

    part = programme.ridges[n].part
    shares = t.owner == n
    weights = t.x[shares]
    total = float(weights.sum())
    if total <= 0.0:
        return 0.0, 0.0
    place = float(weights @ t.place[shares]) / total
    mixed = float(weights @ np.interp(t.place[shares], part.knots, part.values)) / total
    return abs(mixed - float(np.interp(place, part.knots, part.values))) * total, place


def _open_knots(t: Tableau, n: int) -> tuple[Array, Array]:
    """Columns of the knots curve n may still use, and the knots, ascending."""
    import numpy as np

    columns = np.flatnonzero((t.owner == n) & (t.upper > 0))
    columns = columns[np.argsort(t.place[columns], kind="stable")]
    return columns, t.place[columns]


def _halves(t: Tableau, n: int, place: float) -> list[Tableau]:
    """Curve n below and above a place; at 0 first, where thrusters turn round and curves bend most."""
    import numpy as np

    columns, knots = _open_knots(t, n)
    if len(knots) < 2:
        return []
    # A weighted mean of the knots may lie beyond the last one by rounding.
    place = min(max(place, float(knots[0])), float(knots[-1]))
    if knots[0] < 0.0 < knots[-1] and 0.0 in knots:
        place = 0.0
    nearest = int(np.abs(knots - place).argmin())
    if abs(knots[nearest] - place) < NEAR:
        if nearest in (0, len(knots) - 1):
            nearest = len(knots) // 2
        if nearest in (0, len(knots) - 1):
            return []
        place = float(knots[nearest])
    else:
        upper = int(np.searchsorted(knots, place))
        share = (place - knots[upper - 1]) / (knots[upper] - knots[upper - 1])
        t = t.copy()
        t.add_between(int(columns[upper - 1]), int(columns[upper]), float(share))
        place = float(t.place[-1])
    left, right = t.copy(), t.copy()
    left.narrow(n, float(knots[0]), place)
    right.narrow(n, place, float(knots[-1]))
    return [left, right]


def _saturated(programme: Programme, t: Tableau) -> list[Tableau]:
    """With a shrink: either nothing is shrunk, or some channel is at full command."""
    assert programme.shrink is not None
    whole = t.copy()
    whole.lower[programme.shrink] = 1.0
    parts = [whole]
    for n, ridge in enumerate(programme.ridges):
        _, knots = _open_knots(t, n)
        if not ridge.is_current or len(knots) < 2:
            if ridge.is_current and len(knots) == 1 and abs(knots[0]) == 1.0:
                return []  # a channel is already held at full command: nothing is left to decide
            continue
        for end in (-1.0, 1.0):
            if end in knots:
                part = t.copy()
                part.narrow(n, end, end)
                parts.append(part)
    return parts


def _widest(programme: Programme, t: Tableau) -> list[Tableau]:
    """The curve with the widest range left, halved: for a programme that was left unsolved."""
    spans = []
    for n in range(len(programme.ridges)):
        _, knots = _open_knots(t, n)
        spans.append((float(knots[-1] - knots[0]), n, float(knots[0] + knots[-1]) / 2))
    width, n, middle = max(spans)
    return _halves(t, n, middle) if width > NEAR else []
