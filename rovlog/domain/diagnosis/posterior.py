"""Bayes over explanations, and the groups of them that no considered push tells apart."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from rovlog.domain.diagnosis.edits import OTHER, Explanation
from rovlog.values import dataclass

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Signs = NDArray[np.int8]


@dataclass(frozen=True, slots=True)
class Group:
    """Explanations that every considered push shows alike, and their posterior together.

    `edits` is the most probable of them (of equals the one with fewer edits), `same_as` the others,
    most probable first. `members` are their places among all explanations; () for `other`.
    """

    edits: Explanation
    posterior: float
    same_as: tuple[Explanation, ...]
    members: tuple[int, ...]


def posteriors(priors: Sequence[float], likelihoods: Sequence[float]) -> list[float]:
    """Bayes' rule for some hypotheses: prior times likelihood over their sum, no unit."""
    joint = [p * q for p, q in zip(priors, likelihoods, strict=True)]
    total = sum(joint)
    return [j / total for j in joint]


def log_likelihoods(predicted: Signs, seen: Signs, was_seen: NDArray[np.bool_], misreport: float) -> Floats:
    """Logarithm of the probability of all reports under each explanation; shape (explanations,).

    A report is right with probability 1 - misreport, else one of the two other words; reports are
    independent.

    Args:
        predicted: -1, 0, 1; shape (explanations, observations, thrusters).
        seen: what was reported; shape (observations, thrusters).
        was_seen: False where the thruster was unseen; same shape.
        misreport: 0 to 0.5.
    """
    import numpy as np

    is_wrong = (predicted != seen) & was_seen
    wrong = is_wrong.sum(axis=(1, 2)).astype(float)
    right = float(was_seen.sum()) - wrong
    with np.errstate(divide="ignore", invalid="ignore"):
        total = np.where(right > 0, right * np.log1p(-misreport), 0.0)
        return total + np.where(wrong > 0, wrong * np.log(misreport / 2.0), 0.0)


def updated(priors: Floats, other: float, log_likelihood: Floats, reports: int) -> tuple[Floats, float]:
    """Posterior of every explanation and of `other`, whose reports are uniform over three words."""
    import numpy as np

    with np.errstate(divide="ignore"):
        joint = np.append(np.log(priors) + log_likelihood, np.log(other) - reports * np.log(3.0))
    greatest = joint.max()
    if not np.isfinite(greatest):
        # Reports that cannot happen (misreport 0, other 0): nothing is left but what was not thought of.
        return np.zeros_like(priors), 1.0
    weights = np.exp(joint - greatest)
    weights /= weights.sum()
    return weights[:-1], float(weights[-1])


def groups(
    explanations: Sequence[Explanation], weights: Floats, other: float, predicted: Signs
) -> tuple[Group, ...]:
    """Groups by equal predictions on all considered pushes, most probable first, `other` among them.

    `predicted` has shape (explanations, considered pushes, thrusters).
    """
    import numpy as np

    of: dict[bytes, list[int]] = {}
    rows = predicted.reshape(len(explanations), -1)
    for index, row in enumerate(rows):
        of.setdefault(row.tobytes(), []).append(index)
    # Rounded, so that two equal probabilities do not change places by the last bit.
    rank = np.lexsort((np.arange(len(explanations)), -np.round(weights, 12)))
    place = np.empty(len(explanations), dtype=int)
    place[rank] = np.arange(len(explanations))
    found = []
    for members in of.values():
        ordered = sorted(members, key=lambda m: place[m])
        total = float(weights[members].sum())
        names = [explanations[m] for m in ordered]
        found.append(Group(names[0], total, tuple(names[1:]), tuple(ordered)))
    found.append(Group(OTHER, other, (), ()))
    return tuple(sorted(found, key=lambda g: (-round(g.posterior, 12), len(g.edits))))
