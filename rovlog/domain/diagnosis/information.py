"""Bits: what is not known, and what a push is expected to tell of it."""

from __future__ import annotations

from collections.abc import Sequence
from math import log2
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

MOST_THRUSTERS = 10
"""Outcomes are counted one by one (3 to this power); more thrusters are looked at ten at a time."""


def entropy_bits(probabilities: Sequence[float]) -> float:
    """Shannon's entropy of a distribution, bits; terms of 0 count nothing (Shannon 1948, section 6)."""
    return -sum(p * log2(p) for p in probabilities if p > 0.0)


def noise_bits(misreport: float) -> float:
    """Entropy of one reported thruster when what it does is known: right, or one of two wrong words."""
    return entropy_bits([1.0 - misreport, misreport / 2.0, misreport / 2.0])


def expected_bits(
    seen: NDArray[np.int8], weights: NDArray[np.float64], other: float, misreport: float
) -> NDArray[np.float64]:
    """Information each push is expected to give on which explanation holds, bits; shape (pushes,).

    The mutual information of explanation and report, exact over all reports of all thrusters with
    none unseen: entropy of the report less its entropy once the explanation is known (Cover and
    Thomas, Elements of Information Theory, 2nd ed. 2006, section 2.4).

    Args:
        seen: predicted directions -1, 0, 1; shape (explanations, pushes, thrusters).
        weights: probability of each explanation; shape (explanations,).
        other: probability of `other`, whose reports are uniform; with it the weights sum to 1.
        misreport: probability that a thruster's report is wrong.
    """
    import numpy as np

    if seen.shape[2] > MOST_THRUSTERS:
        # A lower bound that still ranks pushes: the most telling ten thrusters of each part alone.
        parts = [seen[:, :, i : i + MOST_THRUSTERS] for i in range(0, seen.shape[2], MOST_THRUSTERS)]
        most: NDArray[np.float64] = np.max(
            [expected_bits(part, weights, other, misreport) for part in parts], axis=0
        )
        return most
    pushes, thrusters = seen.shape[1:]
    outcomes = 3**thrusters
    codes = (seen.astype(np.int32) + 1) @ (3 ** np.arange(thrusters, dtype=np.int32))
    noise = np.full((3, 3), misreport / 2.0)
    np.fill_diagonal(noise, 1.0 - misreport)
    bits: NDArray[np.float64] = np.empty(pushes)
    for push in range(pushes):
        reports = np.bincount(codes[:, push], weights=weights, minlength=outcomes)
        for _ in range(thrusters):
            # Each turn mixes the last ternary digit and moves it to the front; after all, order is back.
            reports = (noise @ reports.reshape(-1, 3).T).reshape(-1)
        reports = reports + other / outcomes
        some = reports[reports > 0.0]
        bits[push] = -np.sum(some * np.log2(some))
    known = (1.0 - other) * thrusters * noise_bits(misreport) + other * thrusters * log2(3.0)
    told: NDArray[np.float64] = np.maximum(0.0, bits - known)
    return told
