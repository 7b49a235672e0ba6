"""A short at the far end of the tether: does enough current flow to open the main fuse?"""

from __future__ import annotations

from rovlog.domain.electrical.fuse import FuseVerdict, fuse_verdict
from rovlog.domain.electrical.sag import source
from rovlog.domain.electrical.tether import loop_resistance_ohm
from rovlog.domain.vehicle import Configuration
from rovlog.values import dataclass

GREATEST_A = 1e6
"""Ampere. Without any resistance in the path no current is the greatest; this stands for it."""


@dataclass(frozen=True, slots=True)
class FarShort:
    """The current of a short at the far end, ampere, and what the fuse does about it.

    `driver_cuts_off`: the drivers' own cut-off ends it first (only where the record says there is one).
    `is_limited`: the supply's current limit is what holds the current down.
    """

    current_a: float
    fuse: FuseVerdict
    driver_cuts_off: bool
    is_limited: bool

    @property
    def may_go_on(self) -> bool:
        """True where neither the fuse for certain nor a driver ends it."""
        return self.fuse.verdict != "opens" and not self.driver_cuts_off


def far_short(configuration: Configuration) -> FarShort:
    """A dead short across the far end of one pair of the tether, from a full supply.

    In its path: the source, the fuse, the leads and the pair; for motor pairs the driver as well,
    fully on. Standing loads are left out: a short takes their voltage.

    Raises:
        OutOfRangeError: a resistance or voltage that is no sound number, named.
    """
    electrical = configuration.electrical
    at = source(configuration, electrical.supply.open_circuit_v)
    path = at.internal_ohm + at.path_ohm
    behind_driver = electrical.tether.carries == "motor-pairs"
    if behind_driver:
        path += loop_resistance_ohm(electrical.tether) + electrical.drivers.on_resistance_ohm
    current = at.open_circuit_v / path if path > at.open_circuit_v / GREATEST_A else GREATEST_A
    is_limited = at.limit_a is not None and current > at.limit_a
    if at.limit_a is not None:
        current = min(current, at.limit_a)
    cut_off = electrical.drivers.cut_off_a
    cuts = behind_driver and cut_off is not None and current > cut_off
    return FarShort(current, fuse_verdict(electrical.fuse, current), cuts, is_limited)
