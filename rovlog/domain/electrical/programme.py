"""The worst case of current as a linear programme: shares of knots in place of each curve.

Each curve (a channel's current, or the clip of a demand that shares its control with others) is
written as shares of its knots that sum to 1. A linear programme may mix any knots, so it gives the
least concave curve above each; narrowing which knots it may use closes the gap (see `branching`).
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from rovlog.domain.electrical.curves import Curve
from rovlog.domain.electrical.reach import Reach
from rovlog.values import dataclass

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Array = NDArray[Any]

FLAT = 1e-12
"""No unit. A command whose range is narrower than this does not move."""


@dataclass(frozen=True, slots=True)
class Problem:
    """What to make greatest: the sum of the channels' currents over all that the controls reach.

    u = mixing . clip(rows y + trims) + direct y, then saturation; arrays of shape (channels,
    demands), (demands, variables), (demands,), (channels, variables).
    """

    lowest: Array
    highest: Array
    rows: Array
    trims: Array
    mixing: Array
    direct: Array
    curves: tuple[Curve, ...]
    is_scaled: bool

    def demand_ranges(self) -> tuple[Array, Array]:
        """Least and greatest of each demand before it is clipped."""
        import numpy as np

        a, b = self.rows * self.lowest, self.rows * self.highest
        return self.trims + np.minimum(a, b).sum(axis=1), self.trims + np.maximum(a, b).sum(axis=1)

    def demands(self, y: Array) -> Array:
        """Demands after trim and clip, shape (…, demands), for free numbers of shape (…, variables)."""
        import numpy as np

        demands: Array = np.clip(y @ self.rows.T + self.trims, -1.0, 1.0)
        return demands

    def commands(self, y: Array) -> Array:
        """Commands after saturation, shape (…, channels), for free numbers of shape (…, variables)."""
        import numpy as np

        u: Array = self.demands(y) @ self.mixing.T + y @ self.direct.T
        if self.is_scaled:
            u /= np.maximum(1.0, np.abs(u).max(axis=-1, keepdims=True, initial=0.0))
            return u
        return u.clip(-1.0, 1.0)

    def current(self, y: Array) -> Array:
        """Sum of the curves, shape (…), ampere."""
        import numpy as np

        u = self.commands(y)
        total = np.zeros(u.shape[:-1])
        for c, curve in enumerate(self.curves):
            total = total + np.interp(u[..., c], curve.knots, curve.values)
        return total


def shrinks_freely(problem: Problem) -> bool:
    """True where anything the controls can ask for, shrunk toward rest, can be asked for as well."""
    low, high = problem.demand_ranges()
    rests = bool((problem.lowest <= 0.0).all() and (problem.highest >= 0.0).all())
    clips = bool(((low < -1.0 - FLAT) | (high > 1.0 + FLAT)).any())
    return rests and not clips and not problem.trims.any()


def problem_of(
    space: Reach, shares: Mapping[str, Mapping[int, float]], curves: tuple[Curve, ...], is_scaled: bool
) -> Problem:
    """Arrays from a reach and a thruster map."""
    import numpy as np

    mixing = [[shares.get(d, {}).get(c, 0.0) for d in space.demands] for c in space.channels]
    size = len(space.variables)
    return Problem(
        np.array(space.lowest, dtype=float),
        np.array(space.highest, dtype=float),
        np.array(space.rows, dtype=float).reshape(len(space.demands), size),
        np.array(space.trims, dtype=float),
        np.array(mixing, dtype=float).reshape(len(space.channels), len(space.demands)),
        np.array(space.direct, dtype=float).reshape(len(space.channels), size),
        curves,
        is_scaled,
    )


@dataclass(frozen=True, slots=True)
class Ridge:
    """One curve of the programme: a channel's current (`is_current`) or the clip of a shared demand.

    `index` is the channel's or demand's place in the problem's arrays; `part` the curve over the
    range its argument can take.
    """

    is_current: bool
    index: int
    part: Curve


@dataclass(frozen=True, slots=True)
class Programme:
    """What all narrowed programmes of one problem have in common, and how to read their answers.

    Columns are, in this order: one unit column a row (held at 0; their reduced costs are the
    multipliers), the free numbers with the shrink and its slacks, then the shares of knots.
    """

    problem: Problem
    right: Array
    ridges: tuple[Ridge, ...]
    constant: float
    first_free: int
    to_variables: Array
    shrink: int | None

    def variables(self, x: Array) -> Array:
        """The free numbers y behind a point x of the programme."""
        import numpy as np

        size = self.to_variables.shape[1]
        y = self.to_variables @ x[self.first_free : self.first_free + size]
        if self.shrink is not None:
            y = y / x[self.shrink] if x[self.shrink] > FLAT else self.problem.lowest
        within: Array = np.clip(y, self.problem.lowest, self.problem.highest)
        return within
