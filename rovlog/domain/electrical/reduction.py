"""Making the worst case smaller before it is searched: channels that move alike, groups that never meet."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from rovlog.domain.electrical.branching import Greatest, greatest
from rovlog.domain.electrical.curves import Curve
from rovlog.domain.electrical.programme import FLAT, Problem
from rovlog.domain.electrical.vertices import vertices
from rovlog.values import replace

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Array = NDArray[Any]


def greatest_in_parts(problem: Problem) -> Greatest:
    """As `greatest`, with channels that move alike joined, and with `clip` each group apart.

    With `clip` a thruster that shares no demand with another cannot change what it draws, so the
    greatest of the sum is the sum of the greatest; with `scale` every channel shrinks every other.
    """
    import numpy as np

    joined = join_parallel(problem)
    groups = [np.arange(len(problem.lowest))] if problem.is_scaled else _groups(joined)
    variables = np.clip(0.0, problem.lowest, problem.highest)
    value = bound = 0.0
    nodes = 0
    for group in groups:
        part = _part(joined, group)
        found = _listed(part) or greatest(part)
        variables[group] = found.variables
        value, bound, nodes = value + found.value, bound + found.bound, nodes + found.nodes
    still = [c for c in range(len(joined.curves)) if not problem.is_scaled and not _moves(joined)[c].any()]
    for c in still:
        resting = float(joined.curves[c].at(float(np.clip(_offset(joined)[c], -1.0, 1.0))))
        value, bound = value + resting, bound + resting
    return Greatest(value, bound, variables, nodes)


def _listed(part: Problem) -> Greatest | None:
    """The greatest by listing all corners, where they are few."""
    places = vertices(part)
    if places is None:
        return None
    currents = part.current(places)
    best = int(currents.argmax())
    return Greatest(float(currents[best]), float(currents[best]), places[best], len(places))


def join_parallel(problem: Problem) -> Problem:
    """Channels with the same or the opposite mix made one, their currents added."""
    import numpy as np

    mix = np.hstack([problem.mixing, problem.direct])
    kept: list[int] = []
    curves: list[Curve] = []
    for c, curve in enumerate(problem.curves):
        for n, other in enumerate(kept):
            if np.array_equal(mix[c], mix[other]):
                curves[n] = _added(curves[n], curve, 1)
                break
            if np.array_equal(mix[c], -mix[other]):
                curves[n] = _added(curves[n], curve, -1)
                break
        else:
            kept.append(c)
            curves.append(curve)
    return replace(problem, mixing=problem.mixing[kept], direct=problem.direct[kept], curves=tuple(curves))


def _added(a: Curve, b: Curve, sign: int) -> Curve:
    knots = sorted({*a.knots, *(sign * k for k in b.knots)})
    return Curve(tuple(knots), tuple(a.at(k) + b.at(sign * k) for k in knots))


def _moves(problem: Problem) -> Array:
    """Which variable moves which channel, shape (channels, variables)."""
    import numpy as np

    moves: Array = (np.abs(problem.mixing) @ np.abs(problem.rows) + np.abs(problem.direct)) > FLAT
    return moves


def _offset(problem: Problem) -> Array:
    """Commands of the channels with all variables at 0: what trims alone ask for."""
    import numpy as np

    offset: Array = problem.mixing @ np.clip(problem.trims, -1.0, 1.0)
    return offset


def _groups(problem: Problem) -> list[Array]:
    """Variables that meet in a channel or in a demand, each group as an array of places."""
    import numpy as np

    moves = np.vstack([_moves(problem), np.abs(problem.rows) > FLAT])
    group = np.arange(moves.shape[1])
    for row in moves:
        together = np.flatnonzero(row)
        if len(together) > 1:
            group[np.isin(group, group[together])] = group[together].min()
    moving = _moves(problem).any(axis=0)
    # Not np.unique, which imports numpy.ma: a tenth of numpy itself.
    return [np.flatnonzero(group == g) for g in sorted(set(group[moving].tolist()))]


def _part(problem: Problem, variables: Array) -> Problem:
    """The problem of some variables alone, with the demands and channels they move."""
    import numpy as np

    if problem.is_scaled:
        return problem
    demands = np.flatnonzero((np.abs(problem.rows[:, variables]) > FLAT).any(axis=1))
    channels = np.flatnonzero(_moves(problem)[:, variables].any(axis=1))
    return Problem(
        problem.lowest[variables],
        problem.highest[variables],
        problem.rows[np.ix_(demands, variables)],
        problem.trims[demands],
        problem.mixing[np.ix_(channels, demands)],
        problem.direct[np.ix_(channels, variables)],
        tuple(problem.curves[c] for c in channels),
        False,
    )
