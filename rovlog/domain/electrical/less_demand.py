"""Less demand instead of more fuse: the share of full stick that brings the worst case within the limit."""

from __future__ import annotations

from rovlog.domain.electrical.fuse import continuous_limit_a
from rovlog.domain.electrical.sag import sag
from rovlog.domain.electrical.worst_case import WorstCase, worst_case
from rovlog.domain.vehicle import Configuration, SteeringScheme
from rovlog.values import dataclass, replace

STEPS = 100
"""Shares are proposed in hundredths: a box's numbers are set by hand."""


@dataclass(frozen=True, slots=True)
class LessDemand:
    """Every full stick times `share` (no unit) draws at most `current_a`, within `limit_a`, ampere.

    `share` None: trims and standing loads alone are above the limit (`current_a` is what they draw).
    """

    share: float | None
    current_a: float
    limit_a: float


def judged_current_a(configuration: Configuration, worst: WorstCase) -> float:
    """The current a fuse is judged at: the greater of nominal and with sag at full supply, ampere."""
    point = sag(configuration, worst.commands).point
    return max(worst.total_a, point.current_a) if point else worst.total_a


def less_demand(configuration: Configuration) -> LessDemand:
    """The greatest share of all full sticks at which the fuse carries the worst case for ever.

    Found by halving over hundredths; less stick never asks for a position that more stick could
    not give, so the nominal worst case never falls as the share rises.

    Raises:
        OutOfRangeError: as `worst_case` and `sag`.
    """
    limit = continuous_limit_a(configuration.electrical.fuse)

    def at(hundredths: int) -> float:
        turned_down = scaled_full_stick(configuration, hundredths / STEPS)
        return judged_current_a(turned_down, worst_case(turned_down))

    least = at(0)
    if least > limit:
        return LessDemand(None, least, limit)
    low, high, current = 0, STEPS + 1, least
    while high - low > 1:
        middle = (low + high) // 2
        drawn = at(middle)
        if drawn <= limit:
            low, current = middle, drawn
        else:
            high = middle
    return LessDemand(low / STEPS, current, limit)


def scaled_full_stick(configuration: Configuration, share: float) -> Configuration:
    """The configuration with every control's full stick times a share."""
    entries = tuple(
        replace(entry, full_stick=entry.full_stick * share) for entry in configuration.steering_scheme.entries
    )
    return replace(configuration, steering_scheme=SteeringScheme(entries))
