"""Rows and columns of the worst-case programme, and the feasible point it starts from."""

from __future__ import annotations

from bisect import bisect_right
from typing import TYPE_CHECKING, Any

from rovlog.domain.electrical.curves import Curve
from rovlog.domain.electrical.programme import FLAT, Problem, Programme, Ridge, shrinks_freely
from rovlog.domain.electrical.simplex import Tableau
from rovlog.values import dataclass

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Array = NDArray[Any]

CLIP = Curve((-1.0, 1.0), (-1.0, 1.0))
"""The clip of a demand to +-1."""


@dataclass(frozen=True, slots=True)
class FreeColumns:
    """The columns that are no shares: the free numbers y, or with a shrink their shrunk parts.

    `to_y` turns them into y (shrunk y where there is a shrink), `to_one` and `one` into the
    constant 1 (or the shrink itself); `start` is feasible, within `low` and `high`.
    """

    to_y: Array
    to_one: Array
    one: float
    start: Array
    low: Array
    high: Array
    has_shrink: bool


def programme_of(problem: Problem) -> tuple[Programme, Tableau]:
    """The programme of a problem and its tableau at a feasible start, not yet solved.

    With `scale` the free numbers are carried shrunk by 1 / max(1, max |u|), which keeps all rows
    linear (Charnes and Cooper 1962, Naval Research Logistics Quarterly 9, 181-186); the shrink is
    a column of its own unless everything reachable can be shrunk and is still reachable.
    """
    return _Rows(problem).programme()


def free_columns(problem: Problem, has_shrink: bool) -> FreeColumns:
    """The free columns of a problem, with or without a shrink."""
    import numpy as np

    size = len(problem.lowest)
    if not has_shrink:
        start = np.zeros(size) if problem.is_scaled else problem.lowest.copy()
        return FreeColumns(np.eye(size), np.zeros(size), 1.0, start, problem.lowest, problem.highest, False)
    span = problem.highest - problem.lowest
    return FreeColumns(
        np.hstack([np.eye(size), problem.lowest[:, None], np.zeros((size, size))]),
        np.eye(2 * size + 1)[size],
        0.0,
        np.zeros(2 * size + 1),
        np.zeros(2 * size + 1),
        np.concatenate([span, [1.0], span]),
        True,
    )


class _Rows:
    """Gathers one programme; used once."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.demand_low, self.demand_high = problem.demand_ranges()
        self.is_clipped = (self.demand_low < -1.0 - FLAT) | (self.demand_high > 1.0 + FLAT)
        self.free = free_columns(problem, problem.is_scaled and not shrinks_freely(problem))
        self.ridges, self.constant = self._ridges()
        cone = len(problem.lowest) if self.free.has_shrink else 0
        self.count = 2 * len(self.ridges) + cone
        self.owner, self.place, self.height = self._shares()

    def programme(self) -> tuple[Programme, Tableau]:
        import numpy as np

        columns = len(self.owner)
        matrix = np.zeros((self.count, columns))
        matrix[:, : self.count] = np.eye(self.count)
        right = np.zeros(self.count)
        for n, ridge in enumerate(self.ridges):
            self._fill(matrix, right, n, ridge)
        size = len(self.problem.lowest)
        shrink = self.count + size if self.free.has_shrink else None
        if shrink is not None:
            for j in range(size):
                row = matrix[2 * len(self.ridges) + j]
                row[self.count + j], row[shrink], row[shrink + 1 + j] = 1.0, -self.free.high[j], 1.0
        tableau = self._tableau(matrix, right)
        programme = Programme(
            self.problem, right, self.ridges, self.constant, self.count, self.free.to_y, shrink
        )
        return programme, tableau

    def _ridges(self) -> tuple[tuple[Ridge, ...], float]:
        """The curves that move, and the current of those that do not."""
        import numpy as np

        p, clipped = self.problem, self.is_clipped
        ridges = [
            Ridge(False, int(k), CLIP.over(float(self.demand_low[k]), float(self.demand_high[k])))
            for k in np.flatnonzero(clipped)
        ]
        low, high = _range(p.mixing[:, ~clipped] @ p.rows[~clipped] + p.direct, p.lowest, p.highest)
        offset = p.mixing[:, ~clipped] @ p.trims[~clipped]
        ends = (np.clip(end[clipped], -1.0, 1.0) for end in (self.demand_low, self.demand_high))
        clip_low, clip_high = _range(p.mixing[:, clipped], *ends)
        low, high = low + offset + clip_low, high + offset + clip_high
        if p.is_scaled:
            low, high = np.clip(low, -1.0, 0.0), np.clip(high, 0.0, 1.0)
        constant = 0.0
        for c, curve in enumerate(p.curves):
            if high[c] - low[c] > FLAT:
                ridges.append(Ridge(True, c, curve.over(float(low[c]), float(high[c]))))
            else:
                constant += curve.at(float(low[c]))
        return tuple(ridges), constant

    def _shares(self) -> tuple[Array, Array, Array]:
        """For each column the ridge it is a share of (-1: none), its knot and the curve's value there."""
        import numpy as np

        other = self.count + len(self.free.start)
        owners = [np.full(other, -1)] + [np.full(len(r.part.knots), n) for n, r in enumerate(self.ridges)]
        places = [np.zeros(other)] + [np.array(r.part.knots) for r in self.ridges]
        heights = [np.zeros(other)] + [np.array(r.part.values) for r in self.ridges]
        return np.concatenate(owners), np.concatenate(places), np.concatenate(heights)

    def _fill(self, matrix: Array, right: Array, n: int, ridge: Ridge) -> None:
        """Two rows for a curve: its argument equals the mix of its knots; the shares' sum."""
        p, linear = self.problem, ~self.is_clipped
        link, total = matrix[2 * n], matrix[2 * n + 1]
        free = slice(self.count, self.count + len(self.free.start))
        own = self.owner == n
        total[own] = 1.0
        if ridge.is_current:
            weights = p.mixing[ridge.index, linear]
            link[free] = (weights @ p.rows[linear] + p.direct[ridge.index]) @ self.free.to_y
            trim = float(weights @ p.trims[linear])
            for m, other in enumerate(self.ridges):
                if not other.is_current:
                    shares = self.owner == m
                    link[shares] = p.mixing[ridge.index, other.index] * self.height[shares]
            right[2 * n + 1] = 1.0
        else:
            link[free] = p.rows[ridge.index] @ self.free.to_y
            trim = float(p.trims[ridge.index])
            total[free] -= self.free.to_one
            right[2 * n + 1] = self.free.one
        link[free] += trim * self.free.to_one
        link[own] -= self.place[own]
        right[2 * n] = -trim * self.free.one

    def _tableau(self, matrix: Array, right: Array) -> Tableau:
        """The tableau at the start: each curve between the two knots about its argument."""
        import numpy as np

        x = np.zeros(matrix.shape[1])
        x[self.count : self.count + len(self.free.start)] = self.free.start
        basis: list[int] = []
        for n, ridge in enumerate(self.ridges):
            weight = 1.0 if ridge.is_current else self.free.one
            own = np.flatnonzero(self.owner == n)
            argument = float(matrix[2 * n] @ x - right[2 * n])
            knots = ridge.part.knots
            upper = min(max(bisect_right(knots, argument), 1), len(knots) - 1)
            share = (argument - knots[upper - 1] * weight) / (knots[upper] - knots[upper - 1])
            x[own[upper - 1]], x[own[upper]] = weight - share, share
            basis += [int(own[upper - 1]), int(own[upper])]
        if self.free.has_shrink:
            slack = self.count + len(self.problem.lowest) + 1
            basis += list(range(slack, slack + len(self.problem.lowest)))
        order = np.array(basis, dtype=int)
        body = np.linalg.solve(matrix[:, order], matrix) if self.count else matrix
        is_current = np.array([r.is_current for r in self.ridges] + [False])
        costs = np.where(is_current[self.owner], self.height, 0.0)
        lower, upper_bounds = np.zeros(len(x)), np.ones(len(x))
        upper_bounds[: self.count] = 0.0
        free = slice(self.count, self.count + len(self.free.start))
        lower[free], upper_bounds[free] = self.free.low, self.free.high
        is_basic = np.zeros(len(x), dtype=bool)
        is_basic[order] = True
        return Tableau(
            matrix,
            costs,
            self.owner,
            self.place,
            body,
            costs - costs[order] @ body,
            x,
            lower,
            upper_bounds,
            order,
            is_basic,
        )


def _range(matrix: Array, lowest: Array, highest: Array) -> tuple[Array, Array]:
    """Least and greatest of matrix . y over a box."""
    import numpy as np

    a, b = matrix * lowest, matrix * highest
    return np.minimum(a, b).sum(axis=1), np.maximum(a, b).sum(axis=1)
