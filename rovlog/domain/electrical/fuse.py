"""Fuse times: what a blade fuse does at a current, the shortest time first."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from math import exp, log
from typing import Literal

from rovlog.domain.ranges import require_within
from rovlog.domain.vehicle import Fuse
from rovlog.values import dataclass

Verdict = Literal["within-continuous", "above-continuous", "may-open", "opens"]

CARRIES_SHARE = 1.10
"""No unit. Up to here the class carries the current for at least 100 hours."""

MUST_OPEN_SHARE = 1.35
"""No unit. Above this the class must open."""

OPENING_S: tuple[tuple[float, float, float | None], ...] = (
    (1.10, 360000.0, None),
    (1.35, 0.75, 600.0),
    (1.60, 0.25, 50.0),
    (2.00, 0.15, 5.0),
    (3.50, 0.08, 0.5),
    (6.00, 0.03, 0.1),
)
"""Share of the rating, shortest and longest opening time in seconds (None: no limit).

Blade-fuse class table, ISO 8820-3 / SAE J1284, 3 to 30 A, as quoted second-hand in engineering notes.
"""

RERATING = ((25.0, 1.0), (65.0, 0.85), (85.0, 0.75), (110.0, 0.625), (125.0, 0.55))
"""Temperature around the fuse in degrees C and the share of its rating that is left.

A stand-in: figures of a larger blade fuse (40 A), second-hand; none were found for this class.
"""

STANDARD_SIZES_A = (1.0, 2.0, 3.0, 4.0, 5.0, 7.5, 10.0, 15.0, 20.0, 25.0, 30.0, 35.0, 40.0)
"""Ratings blade fuses are made in, ampere; common practice, no source."""

RULE_YEAR = 2018
"""Year of the competition-style sizing rule; such rules change every year."""

RULE_FACTOR = 1.5
"""No unit. Full load times this, then the next standard size; from memory."""

RULE_CAP_A = 25.0
"""Ampere. The rule's cap for 12 V vehicles of the larger class, seen second-hand."""


@dataclass(frozen=True, slots=True)
class FuseVerdict:
    """What the fuse does at `current_a`; times in seconds, None is no limit. Plan on the shortest."""

    rating_a: float
    current_a: float
    share: float
    shortest_s: float | None
    longest_s: float | None
    verdict: Verdict


def opening_band_s(share: float) -> tuple[float | None, float | None]:
    """Shortest and longest opening time at a share of the rating, seconds; None is no limit.

    Straight lines between the published points on logarithmic axes. Below 110 % there is no
    opening time; beyond the last point the shortest is 0 and the longest that of the last point.
    """
    require_within("current as a share of the fuse's rating", share, 0.0, 1e6)
    if share < CARRIES_SHARE:
        return None, None
    if share > OPENING_S[-1][0]:
        return 0.0, OPENING_S[-1][2]
    shortest = _between(share, [(s, least) for s, least, _ in OPENING_S])
    if share < MUST_OPEN_SHARE:
        return shortest, None
    return shortest, _between(share, [(s, most) for s, _, most in OPENING_S if most is not None])


def _between(share: float, points: Sequence[tuple[float, float]]) -> float:
    for (s0, t0), (s1, t1) in itertools.pairwise(points):
        if share == s0:
            return t0
        if s0 < share < s1:
            part = log(share / s0) / log(s1 / s0)
            return exp(log(t0) + part * log(t1 / t0))
    return points[-1][1]


def fuse_verdict(fuse: Fuse, current_a: float, ambient_c: float = 25.0) -> FuseVerdict:
    """What the fuse does at a steady current.

    `within-continuous` up to `continuous_share` of the rating, `above-continuous` up to 110 %,
    `may-open` up to 135 % (no longest time), `opens` above. Up to 110 % both times are None.

    Args:
        fuse: the main fuse.
        current_a: steady current, ampere.
        ambient_c: temperature around the fuse; above 25 the rating is cut by a stand-in (`RERATING`).

    Raises:
        OutOfRangeError: a rating, share, current or temperature out of range, named.
    """
    require_within("rating_a of the fuse", fuse.rating_a, 1e-6, 1e5)
    require_within("continuous_share of the fuse", fuse.continuous_share, 1e-6, CARRIES_SHARE)
    require_within("current through the fuse", current_a, 0.0, 1e9)
    share = current_a / (fuse.rating_a * rerating_share(ambient_c))
    if share <= CARRIES_SHARE:
        within = share <= fuse.continuous_share * (1 + 1e-9)
        verdict: Verdict = "within-continuous" if within else "above-continuous"
        return FuseVerdict(fuse.rating_a, current_a, share, None, None, verdict)
    shortest, longest = opening_band_s(share)
    if share <= MUST_OPEN_SHARE:
        return FuseVerdict(fuse.rating_a, current_a, share, shortest, None, "may-open")
    return FuseVerdict(fuse.rating_a, current_a, share, shortest, longest, "opens")


def seconds_words(seconds: float | None) -> str:
    """An opening time in words, seconds given; two digits, since nobody knows the third."""
    if seconds is None:
        return "no time known"
    if seconds >= 7200:
        return f"{seconds / 3600:.0f} hours"
    if seconds >= 120:
        return f"{seconds / 60:.0f} minutes"
    return f"{seconds:.2g} s" if seconds < 10 else f"{seconds:.0f} s"


def continuous_limit_a(fuse: Fuse, ambient_c: float = 25.0) -> float:
    """The current the fuse may carry for ever, ampere; above 25 degrees C cut by a stand-in."""
    return fuse.rating_a * fuse.continuous_share * rerating_share(ambient_c)


def rerating_share(ambient_c: float) -> float:
    """The share of the rating left at a temperature around the fuse, no unit; a stand-in, see `RERATING`.

    Raises:
        OutOfRangeError: the ambient temperature is not within -50 to 125 degrees C.
    """
    require_within("ambient temperature at the fuse", ambient_c, -50.0, RERATING[-1][0])
    if ambient_c <= RERATING[0][0]:
        return 1.0
    for (t0, s0), (t1, s1) in itertools.pairwise(RERATING):
        if ambient_c <= t1:
            return s0 + (s1 - s0) * (ambient_c - t0) / (t1 - t0)
    return RERATING[-1][1]


def rule_size_a(full_load_a: float, cap_a: float = RULE_CAP_A) -> float | None:
    """The size a competition-style rule of `RULE_YEAR` asks for, ampere; None where it exceeds the cap.

    Full load times 1.5, then the next standard size. A rule to compare with, never advice to fit more.
    """
    require_within("full load", full_load_a, 0.0, 1e6)
    wanted = full_load_a * RULE_FACTOR
    size = next((s for s in STANDARD_SIZES_A if s >= wanted - 1e-9), None)
    return size if size is not None and size <= cap_a else None
