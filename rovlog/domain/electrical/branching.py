"""Branch and bound for the worst case: narrow the curves until the bound and a real point meet."""

from __future__ import annotations

import heapq
from typing import TYPE_CHECKING, Any

from rovlog.domain.electrical.programme import Problem, Programme
from rovlog.domain.electrical.programme_rows import programme_of
from rovlog.domain.electrical.simplex import Tableau
from rovlog.domain.electrical.splitting import split
from rovlog.values import dataclass

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Array = NDArray[Any]

GAP = 1e-9
"""No unit. Bound and found value are one when they differ by no more than this share of the value."""

MOST_NODES = 20000
"""After so many narrowed programmes the search gives up and says what it can prove."""


@dataclass(frozen=True, slots=True)
class Greatest:
    """The greatest value: `value` is reached at `variables`, and nothing exceeds `bound`."""

    value: float
    bound: float
    variables: Array
    nodes: int

    @property
    def is_exact(self) -> bool:
        """True where the search closed the gap."""
        return self.bound <= self.value + GAP * max(1.0, abs(self.value))


def greatest(problem: Problem, *, most_nodes: int = MOST_NODES) -> Greatest:
    """The greatest sum of currents over everything the controls can reach.

    Exact: the search ends when the bound of every part not yet ruled out is within `GAP` of a
    point that was really evaluated. Bounds are computed from the multipliers alone (any
    multipliers give a bound that holds), so a programme left unsolved costs time, never truth.

    Source: spatial branch and bound over the linear relaxation of separable functions (Falk and
        Soland 1969, Management Science 15, 550-569); bounds from arbitrary multipliers as in
        Neumaier and Shcherbina (2004), Mathematical Programming 99, 283-296.
    """
    return _Search(problem, most_nodes).run()


@dataclass(slots=True)
class _Node:
    bound: float
    tableau: Tableau


class _Search:
    def __init__(self, problem: Problem, most_nodes: int) -> None:
        self.problem = problem
        self.most_nodes = most_nodes
        self.value = float("-inf")
        self.variables = problem.lowest
        self.left_open = float("-inf")
        self.count = 0
        self.programme: Programme
        self.programme, self.root = programme_of(problem)
        self._try_corners()

    def run(self) -> Greatest:
        if self.programme.ridges:
            self.root.maximise()
            self._search()
        return Greatest(self.value, max(self.value, self.left_open), self.variables, self.count)

    def _search(self) -> None:
        """Best bound first, until the best bound left is no better than the best point found."""
        waiting = [(-float("inf"), 0, _Node(float("inf"), self.root))]
        serial = 1
        while waiting:
            node = heapq.heappop(waiting)[2]
            if node.bound <= self._enough():
                return
            if self.count >= self.most_nodes:
                self.left_open = max(self.left_open, node.bound)
                return
            for part in self._parts(node):
                heapq.heappush(waiting, (-part.bound, serial, part))
                serial += 1

    def _enough(self) -> float:
        return self.value + GAP * max(1.0, abs(self.value))

    def _try_corners(self) -> None:
        """Corners and the middle: often the answer, and a floor that rules much out early."""
        import numpy as np

        p = self.problem
        size = len(p.lowest)
        picks = (np.arange(2 ** min(size, 10))[:, None] >> np.arange(size)) & 1
        self._try(np.where(picks == 1, p.highest, p.lowest).reshape(len(picks), size))
        self._try(((p.lowest + p.highest) / 2)[None, :])

    def _try(self, points: Array) -> None:
        currents = self.problem.current(points)
        best = int(currents.argmax())
        if currents[best] > self.value:
            self.value, self.variables = float(currents[best]), points[best]

    def _parts(self, node: _Node) -> list[_Node]:
        """Solve a node: nothing if that settles it, else the parts that are still open."""
        self.count += 1
        if node.tableau.mend() is False:
            return []
        node.bound = min(node.bound, self._bound(node.tableau))
        self._try(self.programme.variables(node.tableau.x)[None, :])
        if node.bound <= self._enough():
            return []
        parts = [_Node(min(node.bound, self._bound(t)), t) for t in split(self.programme, node.tableau)]
        if not parts:  # nothing left to narrow: say so rather than drop it
            self.left_open = max(self.left_open, node.bound)
        return [part for part in parts if part.bound > self._enough()]

    def _bound(self, t: Tableau) -> float:
        """What nothing in this node exceeds, from its multipliers, whatever they are."""
        import numpy as np

        programme = self.programme
        multipliers = -t.reduced[: len(programme.right)]
        reduced = t.costs - multipliers @ t.matrix
        is_share = t.owner >= 0
        free = np.maximum(reduced * t.lower, reduced * t.upper)[~is_share]
        best = np.full(len(programme.ridges), -np.inf)
        allowed = is_share & (t.upper > 0)
        np.maximum.at(best, t.owner[allowed], reduced[allowed])
        if programme.shrink is not None:  # shares of a demand's clip sum to the shrink, not to 1
            is_clip = np.array([not r.is_current for r in programme.ridges])
            best[is_clip] = np.maximum(best[is_clip], 0.0)
        fixed = float(multipliers @ programme.right) + programme.constant
        return fixed + float(free.sum()) + float(best.sum())
