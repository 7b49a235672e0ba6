"""How long a battery lasts: Peukert's rule over a profile of work, a reserve kept back."""

from __future__ import annotations

from collections.abc import Sequence

from rovlog.domain.ranges import require_within
from rovlog.domain.vehicle import Supply
from rovlog.values import dataclass

RESERVE_SHARE = 0.20
"""No unit. Part of the capacity that the headline leaves in the battery (project default)."""

RATED_HOURS = 20.0
"""Hours of discharge a capacity is rated for, where the record does not say; common practice, no source."""

EXPONENTS = {"lead-acid": 1.2, "agm": 1.12, "gel": 1.15, "lithium": 1.05, "li-ion": 1.05, "lifepo4": 1.05}
"""Peukert exponent by chemistry where the record gives none (project default, from memory)."""

OTHER_EXPONENT = 1.25
"""The cautious exponent where the chemistry is not known either (project default)."""

PROFILE = ((0.30, 0.0), (0.60, 0.3), (0.10, 1.0))
"""Share of the time, and how far from idle (0) to the worst case (1) the current is (project default)."""


@dataclass(frozen=True, slots=True)
class Phase:
    """A part of the work: its share of the time, no unit, and its current, ampere."""

    time_share: float
    current_a: float


@dataclass(frozen=True, slots=True)
class Endurance:
    """Run time in minutes with the reserve left in the battery, and what it rests on.

    `is_assumed` names what the record does not give and was assumed.
    """

    run_time_min: float
    mean_current_a: float
    reserve_share: float
    peukert_exponent: float
    rated_hours: float
    capacity_ah: float
    phases: tuple[Phase, ...]
    is_assumed: tuple[str, ...]


def peukert_hours(capacity_ah: float, rated_hours: float, exponent: float, current_a: float) -> float:
    """Hours to empty at a constant current: H (C / (I H))^k.

    Below the rated current no more than the rated capacity is counted on.

    Raises:
        OutOfRangeError: an argument out of range, named.
    """
    require_within("capacity_ah", capacity_ah, 1e-6, 1e6)
    require_within("rated_hours", rated_hours, 1e-3, 1e4)
    require_within("peukert_exponent", exponent, 1.0, 2.0)
    require_within("current_a", current_a, 1e-9, 1e6)
    rated_a = capacity_ah / rated_hours
    if current_a <= rated_a:
        return capacity_ah / current_a
    return float(rated_hours * (rated_a / current_a) ** exponent)


def peukert_exponent(first_a: float, first_h: float, second_a: float, second_h: float) -> float:
    """The exponent from two discharges: (log t2 - log t1) / (log I1 - log I2).

    Raises:
        OutOfRangeError: a value that is not positive, or two equal currents.
    """
    from math import log

    for name, value in (
        ("first_a", first_a),
        ("first_h", first_h),
        ("second_a", second_a),
        ("second_h", second_h),
    ):
        require_within(name, value, 1e-9, 1e6)
    require_within("ratio of the two currents", abs(log(first_a / second_a)), 1e-6, 100.0)
    return (log(second_h) - log(first_h)) / (log(first_a) - log(second_a))


def usual_profile(idle_a: float, worst_a: float) -> tuple[Phase, ...]:
    """The project's default profile between idle and the worst case."""
    return tuple(Phase(time, idle_a + depth * (worst_a - idle_a)) for time, depth in PROFILE)


def endurance(
    supply: Supply, phases: Sequence[Phase], reserve_share: float = RESERVE_SHARE
) -> Endurance | None:
    """Run time of a battery on a profile of work; None for a supply without a capacity.

    Each phase uses the share of the battery that Peukert's rule gives at its current.

    Raises:
        OutOfRangeError: shares of time that do not sum to 1, or a value out of range, named.
    """
    if supply.kind != "battery" or supply.capacity_ah is None:
        return None
    require_within("reserve_share", reserve_share, 0.0, 0.95)
    require_within("sum of the shares of time", sum(p.time_share for p in phases), 1 - 1e-6, 1 + 1e-6)
    assumed = []
    hours = supply.rated_hours
    if hours is None:
        assumed.append("rated_hours")
        hours = RATED_HOURS
    exponent = supply.peukert_exponent
    if exponent is None:
        assumed.append("peukert_exponent")
        exponent = EXPONENTS.get((supply.chemistry or "").lower(), OTHER_EXPONENT)
    used_per_hour = sum(
        p.time_share / peukert_hours(supply.capacity_ah, hours, exponent, p.current_a)
        for p in phases
        if p.current_a > 1e-9 and p.time_share > 0
    )
    if used_per_hour == 0.0:
        return None
    return Endurance(
        run_time_min=60.0 * (1.0 - reserve_share) / used_per_hour,
        mean_current_a=sum(p.time_share * p.current_a for p in phases),
        reserve_share=reserve_share,
        peukert_exponent=exponent,
        rated_hours=hours,
        capacity_ah=supply.capacity_ah,
        phases=tuple(phases),
        is_assumed=tuple(assumed),
    )
