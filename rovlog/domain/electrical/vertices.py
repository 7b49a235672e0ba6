"""Small worst cases by listing every place where the greatest current can be.

Between the places where its curve bends downward (a saturating channel, a dent in a table) each
channel's current is convex, so the sum is greatest at a corner: a place where as many such bends
and ends of the free numbers meet as there are free numbers.
"""

from __future__ import annotations

from itertools import combinations
from math import comb
from typing import TYPE_CHECKING, Any

from rovlog.domain.electrical.curves import Curve
from rovlog.domain.electrical.programme import FLAT, Problem, shrinks_freely

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Array = NDArray[Any]

MOST_VERTICES = 30000
"""Above so many places the search by bounds is quicker."""


def vertices(problem: Problem) -> Array | None:
    """Places (rows of free numbers) among which the greatest current is; None where there are too many.

    With `scale` the same holds for what is left after scaling, as long as everything reachable can
    be shrunk and is still reachable; elsewhere, and where a shared demand clips, None.
    """
    if problem.is_scaled and not shrinks_freely(problem):
        return None
    low, high = problem.demand_ranges()
    if bool(((low < -1.0 - FLAT) | (high > 1.0 + FLAT)).any()):
        return None
    mix = problem.mixing @ problem.rows + problem.direct
    offset = problem.mixing @ problem.trims
    bends = [_bends(curve, problem.is_scaled) for curve in problem.curves]
    bends = _reached(problem, mix, offset, bends)
    size = len(problem.lowest)
    most = max((len(b) for b in bends), default=0)
    bending = [c for c, b in enumerate(bends) if b]
    count = sum(
        comb(len(bending), s) * most**s * comb(size, s) * 2 ** (size - s)
        for s in range(min(size, len(bending)) + 1)
    )
    if count > MOST_VERTICES:
        return None
    return _meetings(problem, mix, offset, bends, bending)


def _bends(curve: Curve, is_scaled: bool) -> list[float]:
    """Commands at which the curve, cut flat at its ends, turns downward; with `scale` the ends as well."""
    found = []
    for n, knot in enumerate(curve.knots):
        if n in (0, len(curve.knots) - 1) and is_scaled:
            found.append(knot)
            continue
        before = 0.0 if n == 0 else _slope(curve, n - 1)
        after = 0.0 if n == len(curve.knots) - 1 else _slope(curve, n)
        if after < before:
            found.append(knot)
    return found


def _slope(curve: Curve, n: int) -> float:
    return (curve.values[n + 1] - curve.values[n]) / (curve.knots[n + 1] - curve.knots[n])


def _reached(problem: Problem, mix: Array, offset: Array, bends: list[list[float]]) -> list[list[float]]:
    """The bends that a channel's command can really come to."""
    import numpy as np

    a, b = mix * problem.lowest, mix * problem.highest
    low, high = offset + np.minimum(a, b).sum(axis=1), offset + np.maximum(a, b).sum(axis=1)
    return [[k for k in row if low[c] - FLAT <= k <= high[c] + FLAT] for c, row in enumerate(bends)]


def _meetings(
    problem: Problem, mix: Array, offset: Array, bends: list[list[float]], bending: list[int]
) -> Array:
    """Corners: some free numbers at their ends, the others where as many channels bend."""
    import numpy as np

    size, most = len(problem.lowest), max((len(b) for b in bends), default=0)
    slack = 1e-9 * np.maximum(1.0, problem.highest - problem.lowest)
    low, high = problem.lowest - slack, problem.highest + slack
    # levels[n, k]: what the free numbers must give channel bending[n] for its bend k; no bend is NaN
    levels = np.full((len(bending), most), np.nan)
    for n, c in enumerate(bending):
        levels[n, : len(bends[c])] = np.array(bends[c]) - offset[c]
    found = [np.where(_ends(size), problem.highest, problem.lowest)]
    for s in range(1, min(size, len(bending)) + 1):
        groups = np.array(list(combinations(range(len(bending)), s)))
        picks = np.stack(np.meshgrid(*[np.arange(most)] * s, indexing="ij"), axis=-1).reshape(-1, s)
        for open_ in (list(o) for o in combinations(range(size), s)):
            held = [j for j in range(size) if j not in open_]
            square = mix[bending][:, open_][groups]
            sound = np.abs(np.linalg.det(square)) > FLAT
            chosen = groups[sound]
            ends = np.where(_ends(size - s), problem.highest[held], problem.lowest[held])
            rest = ends @ mix[bending][:, held][chosen].transpose(0, 2, 1)  # group, end, channel
            wanted = levels[chosen[:, None, :], picks[None, :, :]]  # group, bend, channel
            inverse = np.linalg.inv(square[sound]).transpose(0, 2, 1)[:, None]
            solved = (wanted[:, :, None, :] - rest[:, None, :, :]) @ inverse  # group, bend, end, open
            inside = ((solved >= low[open_]) & (solved <= high[open_])).all(axis=-1)
            points = np.empty((int(inside.sum()), size))
            points[:, open_] = solved[inside]
            points[:, held] = np.broadcast_to(ends, (*inside.shape, len(held)))[inside]
            found.append(points)
    within: Array = np.clip(np.concatenate(found), problem.lowest, problem.highest)
    return within


def _ends(count: int) -> Array:
    import numpy as np

    picks: Array = (np.arange(2**count)[:, None] >> np.arange(count)) & 1 == 1
    return picks
