"""A small dense linear programme, solved exactly: two-phase simplex, Bland's rule against cycling.

The programmes here have at most a dozen rows and a few dozen columns, so plain Python answers
in about a millisecond, sooner than a numerical library would be imported.
"""

from __future__ import annotations

from collections.abc import Sequence

SMALLEST_PIVOT = 1e-9
"""No unit: rows are scaled to a largest entry of 1, so smaller entries are rounding."""

STEPS_BEFORE_BLAND = 60
"""Steepest steps are quicker; Bland's rule takes over where they may be going in circles."""


def maximise(
    gains: Sequence[float], rows: Sequence[Sequence[float]], sides: Sequence[float]
) -> tuple[float, list[float]] | None:
    """The greatest gains . x with rows x = sides and x >= 0, and such an x; None where there is no x.

    Args:
        gains: one per column, any unit; the columns must be bounded by the rows.
        rows: equality rows, same length as `gains`.
        sides: right-hand sides, >= 0.

    Source: Bland (1977), New finite pivoting rules for the simplex method, Math. Oper. Res. 2,
        103-107: the rule cannot cycle, and these programmes are degenerate at the start.
    """
    width, height = len(gains), len(rows)
    if not width:
        return None if any(sides) else (0.0, [])
    tableau: list[list[float]] = []
    for row, side in zip(rows, sides, strict=True):
        largest = max((abs(v) for v in row), default=0.0) or 1.0
        tableau.append([v / largest for v in row] + [side / largest])
    # A basis number of `width` or more stands for the artificial variable of a row. Such variables
    # never come back, so their columns are not kept.
    basis = list(range(width, width + height))
    _climb(tableau, basis, [sum(row[j] for row in tableau) for j in range(width + 1)])
    if any(tableau[i][-1] > SMALLEST_PIVOT for i, j in enumerate(basis) if j >= width):
        return None
    _drive_out_artificials(tableau, basis, width)
    largest_gain = max((abs(g) for g in gains), default=0.0)
    if largest_gain:
        prices = [g / largest_gain for g in gains] + [0.0]
        for row, j in zip(tableau, basis, strict=True):
            factor = prices[j]
            prices = [p - factor * v for p, v in zip(prices, row, strict=True)]
        _climb(tableau, basis, prices)
    x = [0.0] * width
    for i, j in enumerate(basis):
        if j < width:
            x[j] = max(0.0, tableau[i][-1])
    return sum(g * v for g, v in zip(gains, x, strict=True)), x


def _climb(tableau: list[list[float]], basis: list[int], prices: list[float]) -> None:
    """Pivot until no column improves; `prices` is what each column would still add to the gain."""
    width = len(prices) - 1
    steps = 0
    for j in basis:
        if j < width:
            prices[j] = 0.0
    while True:
        if steps < STEPS_BEFORE_BLAND:
            entering = max(range(width), key=prices.__getitem__)
        else:
            entering = next((j for j in range(width) if prices[j] > SMALLEST_PIVOT), 0)
        if prices[entering] <= SMALLEST_PIVOT:
            return
        ratios = [
            (row[-1] / row[entering], basis[i], i)
            for i, row in enumerate(tableau)
            if row[entering] > SMALLEST_PIVOT
        ]
        if not ratios:
            raise ArithmeticError("the programme has no bound")
        least = min(ratios)[0]
        # Bland: among the rows that tie, the one whose variable has the smallest number leaves.
        leaving = min((j, i) for ratio, j, i in ratios if ratio <= least + 1e-12)[1]
        _pivot(tableau, basis, leaving, entering)
        factor = prices[entering]
        prices[:] = [p - factor * v for p, v in zip(prices, tableau[leaving], strict=True)]
        prices[entering] = 0.0
        steps += 1


def _drive_out_artificials(tableau: list[list[float]], basis: list[int], width: int) -> None:
    for i in range(len(basis) - 1, -1, -1):
        if basis[i] < width:
            continue
        size, largest = max((abs(v), j) for j, v in enumerate(tableau[i][:-1]))
        if size > SMALLEST_PIVOT:
            _pivot(tableau, basis, i, largest)
        else:
            # The row says nothing that the others do not say.
            del tableau[i], basis[i]


def _pivot(tableau: list[list[float]], basis: list[int], i: int, j: int) -> None:
    pivot_row = tableau[i]
    size = pivot_row[j]
    pivot_row[:] = [v / size for v in pivot_row]
    for k, row in enumerate(tableau):
        factor = row[j]
        if k != i and factor:
            row[:] = [v - factor * p for v, p in zip(row, pivot_row, strict=True)]
            row[j] = 0.0
    basis[i] = j
