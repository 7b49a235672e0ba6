"""A small linear programme kept as a tableau: solved once, then mended after each tightened bound.

Bounded variables, dense, for some dozens of rows: the worst case of current needs hundreds of such
programmes that differ in a few bounds, each a few pivots from the last.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from rovlog.values import dataclass

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Array = NDArray[Any]

TOLERANCE = 1e-9
"""No unit. Slack on bounds and reduced costs; all rows are scaled near 1."""

MOST_PIVOTS = 400
"""After so many pivots a programme is left unsolved; its caller then keeps a bound it can prove."""


@dataclass(slots=True)
class Tableau:
    """The greatest of costs . x with the rows matrix . x fixed and lower <= x <= upper.

    `owner` and `place` say of each column which curve it is a share of (-1: none) and at which
    knot. `body` is the inverse of the basis times `matrix`, shape (rows, columns); `reduced` the
    reduced costs; `x` the values of all columns; `basis` the basic column of each row.
    """

    matrix: Array
    costs: Array
    owner: Array
    place: Array
    body: Array
    reduced: Array
    x: Array
    lower: Array
    upper: Array
    basis: Array
    is_basic: Array

    def copy(self) -> Tableau:
        """A copy that may be narrowed and solved apart; what never changes in place is shared."""
        return Tableau(
            self.matrix,
            self.costs,
            self.owner,
            self.place,
            self.body.copy(),
            self.reduced,
            self.x.copy(),
            self.lower.copy(),
            self.upper.copy(),
            self.basis.copy(),
            self.is_basic.copy(),
        )

    def add_between(self, a: int, b: int, share: float) -> None:
        """Add a column that is the mix (1 - share) of column a and share of column b."""
        import numpy as np

        mixed = [(1.0 - share) * v[..., a] + share * v[..., b] for v in (self.matrix, self.body)]
        self.matrix = np.hstack([self.matrix, mixed[0][:, None]])
        self.body = np.hstack([self.body, mixed[1][:, None]])
        for name in ("costs", "place", "reduced"):
            old = getattr(self, name)
            setattr(self, name, np.append(old, (1.0 - share) * old[a] + share * old[b]))
        self.owner = np.append(self.owner, self.owner[a])
        self.x, self.lower = np.append(self.x, 0.0), np.append(self.lower, 0.0)
        self.upper, self.is_basic = np.append(self.upper, 1.0), np.append(self.is_basic, False)

    def narrow(self, ridge: int, lowest: float, highest: float) -> None:
        """Let a curve use only the knots between two places, both of which are knots."""
        outside = (self.owner == ridge) & ((self.place < lowest) | (self.place > highest))
        self.upper[outside] = 0.0

    def maximise(self) -> bool:
        """Primal simplex from a feasible start; False when it did not finish."""
        import numpy as np

        for _ in range(MOST_PIVOTS):
            d = self.reduced
            up = np.where((self.x < self.upper - TOLERANCE) & ~self.is_basic, d, 0.0)
            down = np.where((self.x > self.lower + TOLERANCE) & ~self.is_basic, -d, 0.0)
            gain = np.maximum(up, down)
            q = int(gain.argmax())
            if gain[q] <= TOLERANCE:
                return True
            sign = 1.0 if d[q] > 0 else -1.0
            column = self.body[:, q] * sign
            basic = self.x[self.basis]
            room = np.full(len(column), np.inf)
            falls, rises = column > TOLERANCE, column < -TOLERANCE
            room[falls] = (basic - self.lower[self.basis])[falls] / column[falls]
            room[rises] = (self.upper[self.basis] - basic)[rises] / -column[rises]
            own = self.upper[q] - self.x[q] if sign > 0 else self.x[q] - self.lower[q]
            p = int(room.argmin())
            step = max(0.0, min(float(room[p]), float(own)))
            self.x[self.basis] = basic - column * step
            self.x[q] += sign * step
            if room[p] < own:
                self._pivot(p, q)
        return False

    def mend(self) -> bool | None:
        """Dual simplex after bounds were tightened: True solved, False infeasible, None not finished."""
        import numpy as np

        self._pull_in()
        for _ in range(MOST_PIVOTS):
            basic = self.x[self.basis]
            low, high = self.lower[self.basis], self.upper[self.basis]
            off = np.maximum(low - basic, basic - high)
            p = int(off.argmax())
            if off[p] <= TOLERANCE:
                return True
            target = low[p] if basic[p] < low[p] else high[p]
            row = self.body[p] if target > basic[p] else -self.body[p]
            # a column helps if it may move against the sign of `row`
            may = np.where(row < -TOLERANCE, self.x < self.upper - TOLERANCE, False)
            may |= np.where(row > TOLERANCE, self.x > self.lower + TOLERANCE, False)
            may &= ~self.is_basic
            if not may.any():
                return False
            ratio = np.full(len(row), np.inf)
            ratio[may] = np.abs(self.reduced[may] / row[may])
            least = ratio.min()
            near = np.where(ratio <= least + TOLERANCE, np.abs(row), 0.0)
            q = int(near.argmax())
            step = (basic[p] - target) / self.body[p, q]
            self.x[self.basis] = basic - self.body[:, q] * step
            self.x[q] += step
            self.x[self.basis[p]] = target
            self._pivot(p, q)
        return None

    def _pull_in(self) -> None:
        """Move columns outside the basis back between their bounds."""
        import numpy as np

        wanted = np.minimum(np.maximum(self.x, self.lower), self.upper)
        moved = np.flatnonzero((wanted != self.x) & ~self.is_basic)
        if len(moved):
            self.x[self.basis] -= self.body[:, moved] @ (wanted[moved] - self.x[moved])
            self.x[moved] = wanted[moved]

    def _pivot(self, p: int, q: int) -> None:
        row = self.body[p] / self.body[p, q]
        column = self.body[:, q].copy()
        column[p] = 0.0
        self.body -= column[:, None] * row
        self.body[p] = row
        self.reduced = self.reduced - self.reduced[q] * row
        self.is_basic[self.basis[p]] = False
        self.is_basic[q] = True
        self.basis[p] = q
