"""The score of a suspect: one stated formula out of association, recency and plausibility.

The model: either one of the suspects is to blame, or none of them. If a suspect is to blame, the
symptom shows at one unknown rate on the dives it was in force on and at another, lower by habit, on the
rest; if none is, at the lower one throughout. With both rates integrated out against Beta priors,

    weight = B(a + A1, b + B1)/B(A1, B1) * B(c + A0, d + B0)/B(A0, B0) * (P0 + plausibility) * recency

where a and b are the dives in force with and without the symptom, c and d the others, each dive of a
day with m dives counted as 1/(1 + (m - 1) SAME_DAY) of one, since dives of one day are not independent;
recency = R0 + (1 - R0) 2^-k with k the dives in force before the symptom first showed in force. Where the
symptom is no commoner in force than otherwise, the product of the two ratios is at most that of "none".
What flew on no dive with the symptom brought none of what was seen: its plausibility is 0.
The score is the weight over the sum of all suspects' weights and that of "none of them": a probability
under this model and these priors, and under no other.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from rovlog.values import dataclass

A1, B1 = 2.0, 1.5
"""Prior on the symptom's rate while the culprit is in force (project default)."""

A0, B0 = 1.0, 16.0
"""Prior on the symptom's rate otherwise (project default)."""

P0 = 0.05
"""What is left of a suspect that computation clears: the computation may lack the cause (project default)."""

R0 = 0.8
"""What is left of a suspect whose symptom came late (project default)."""

NONE_WEIGHT = 0.5
"""Prior weight of "none of these", in units of a suspect with plausibility 0.45 (project default)."""

SAME_DAY = 0.2
"""Correlation between dives of one day (project default)."""


@dataclass(frozen=True, slots=True)
class Weighed:
    """Dives counted by weight: in force with and without the symptom, the others with and without."""

    a: float
    b: float
    c: float
    d: float


def day_weights(days: Sequence[str]) -> list[float]:
    """What each dive counts for, 0 to 1, from its day."""
    on: dict[str, int] = {}
    for day in days:
        on[day] = on.get(day, 0) + 1
    return [1.0 / (1.0 + (on[day] - 1) * SAME_DAY) for day in days]


def log_weight(counts: Weighed, plausibility: float, dives_until: int) -> float:
    """Natural logarithm of a suspect's weight, see the module's formula."""
    recency = R0 + (1.0 - R0) * 0.5**dives_until
    evidence = _log_beta_ratio(counts.a, counts.b, A1, B1) + _log_beta_ratio(counts.c, counts.d, A0, B0)
    if counts.a * (counts.c + counts.d) <= counts.c * (counts.a + counts.b):
        # A change with which the symptom is no commoner cannot gain by being different.
        evidence = min(evidence, _log_beta_ratio(counts.a + counts.c, counts.b + counts.d, A0, B0))
    return evidence + math.log(P0 + plausibility) + math.log(recency)


def log_weight_of_none(with_symptom: float, without: float) -> float:
    """Natural logarithm of the weight of "none of these"."""
    return _log_beta_ratio(with_symptom, without, A0, B0) + math.log(NONE_WEIGHT)


def shares(log_weights: Mapping[int, float], log_none: float) -> tuple[dict[int, float], float]:
    """Each suspect's score and that of none of them; together 1."""
    greatest = max([log_none, *log_weights.values()])
    raw = {k: math.exp(w - greatest) for k, w in log_weights.items()}
    none = math.exp(log_none - greatest)
    whole = math.fsum([none, *raw.values()])
    return {k: w / whole for k, w in raw.items()}, none / whole


def rate_in_force(counts: Weighed) -> float:
    """The symptom's expected rate while the suspect is in force, if it is to blame."""
    return (counts.a + A1) / (counts.a + counts.b + A1 + B1)


def rate_otherwise(counts: Weighed) -> float:
    """The symptom's expected rate without the suspect, if it is to blame."""
    return (counts.c + A0) / (counts.c + counts.d + A0 + B0)


def _log_beta_ratio(yes: float, no: float, a: float, b: float) -> float:
    return _log_beta(yes + a, no + b) - _log_beta(a, b)


def _log_beta(a: float, b: float) -> float:
    return math.lgamma(a) + math.lgamma(b) - math.lgamma(a + b)
