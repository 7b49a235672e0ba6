"""Counting with few dives: spectrum coefficients, Fisher's test, Holm's correction, Wilson's interval."""

from __future__ import annotations

import math
from collections.abc import Sequence

from rovlog.domain.ranges import require_within
from rovlog.values import dataclass

EXACT_BELOW = 2000
"""Dives up to which Fisher's test is summed in whole numbers; beyond it through log-gamma (good to 1e-9)."""

Z_95 = 1.959963984540054
"""The 97.5 % point of the normal distribution, for a two-sided 95 % interval."""


@dataclass(frozen=True, slots=True)
class Counts:
    """Dives by whether a change was in force and whether the symptom showed; all at least 0."""

    in_force_with: int
    in_force_without: int
    else_with: int
    else_without: int

    @property
    def with_symptom(self) -> int:
        """Dives with the symptom."""
        return self.in_force_with + self.else_with

    @property
    def without_symptom(self) -> int:
        """Dives without the symptom."""
        return self.in_force_without + self.else_without


def ochiai(counts: Counts) -> float:
    """Ochiai's coefficient ef / sqrt(F (ef + ep)), 0 to 1; 0 where it would be 0/0.

    ef and ep are the dives in force with and without the symptom, F all dives with it.
    Source: Abreu, Zoeteweij and van Gemund (2007), TAICPART-MUTATION, eq. 3.
    """
    product = counts.with_symptom * (counts.in_force_with + counts.in_force_without)
    return counts.in_force_with / math.sqrt(product) if product else 0.0


def tarantula(counts: Counts) -> float:
    """Tarantula's suspiciousness (ef/F) / (ef/F + ep/P), 0 to 1; 0 where it would be 0/0.

    Source: Jones and Harrold (2005), ASE, section 2.
    """
    failed = counts.in_force_with / counts.with_symptom if counts.with_symptom else 0.0
    passed = counts.in_force_without / counts.without_symptom if counts.without_symptom else 0.0
    return failed / (failed + passed) if failed + passed else 0.0


def fisher_greater(counts: Counts) -> float:
    """Fisher's exact test, one-sided: the chance of at least so many symptoms in force, margins fixed.

    The hypergeometric tail; exact in whole numbers up to EXACT_BELOW dives.
    Source: Fisher (1935), The Design of Experiments, chapter II.
    """
    in_force = counts.in_force_with + counts.in_force_without
    failed, total = counts.with_symptom, counts.with_symptom + counts.without_symptom
    most = min(in_force, failed)
    if total <= EXACT_BELOW:
        ways = sum(
            math.comb(failed, k) * math.comb(total - failed, in_force - k)
            for k in range(counts.in_force_with, most + 1)
        )
        return ways / math.comb(total, in_force)
    whole = _log_comb(total, in_force)
    return min(
        1.0,
        math.fsum(
            math.exp(_log_comb(failed, k) + _log_comb(total - failed, in_force - k) - whole)
            for k in range(counts.in_force_with, most + 1)
            if in_force - k <= total - failed
        ),
    )


def _log_comb(n: int, k: int) -> float:
    return math.lgamma(n + 1) - math.lgamma(k + 1) - math.lgamma(n - k + 1)


def holm(p_values: Sequence[float]) -> list[float]:
    """Holm's step-down adjusted p values, in the order given.

    Source: Holm (1979), Scand. J. Statist. 6, 65-70; the adjusted form of Wright (1992), Biometrics 48.
    """
    adjusted = [0.0] * len(p_values)
    least = 0.0
    for rank, index in enumerate(sorted(range(len(p_values)), key=p_values.__getitem__)):
        least = max(least, min(1.0, (len(p_values) - rank) * p_values[index]))
        adjusted[index] = least
    return adjusted


def wilson(successes: int, trials: int, z: float = Z_95) -> tuple[float, float]:
    """Wilson's score interval for a proportion, without continuity correction; (0, 1) without trials.

    Source: Newcombe (1998), Statistics in Medicine 17, 857-872, method 3.

    Raises:
        OutOfRangeError: successes not between 0 and trials.
    """
    require_within("successes", successes, 0, trials)
    if not trials:
        return 0.0, 1.0
    share = successes / trials
    middle = share + z * z / (2 * trials)
    half = z * math.sqrt(share * (1 - share) / trials + z * z / (4 * trials * trials))
    low, high = ((middle + s * half) / (1 + z * z / trials) for s in (-1, 1))
    # Rounding must not leave a trace of the other side where the answer is known.
    return (0.0 if not successes else low), (1.0 if successes == trials else high)
