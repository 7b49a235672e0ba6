"""One thruster stalled while the rest do their worst: shown apart, since it is no steady state of flight."""

from __future__ import annotations

from rovlog.domain.allocation.thrust import thrust_and_current
from rovlog.domain.electrical.fuse import FuseVerdict, fuse_verdict
from rovlog.domain.electrical.worst_case import WorstCase
from rovlog.domain.ranges import require_within
from rovlog.domain.vehicle import Configuration
from rovlog.values import dataclass


@dataclass(frozen=True, slots=True)
class Stall:
    """The thruster whose stall adds most, with its stall current and the total, ampere.

    The total is the worst case with that thruster's own share replaced by its stall current at
    full command. `without` names thrusters whose model gives no stall current.
    """

    thruster: str
    stall_current_a: float
    total_a: float
    channel_a: float
    fuse: FuseVerdict
    without: tuple[str, ...]


def stall(configuration: Configuration, worst: WorstCase) -> Stall | None:
    """One thruster stalled at the worst case; None where no model gives a stall current.

    Rated voltage; wiring holds a real stall current below the figure.

    Raises:
        OutOfRangeError: a stall current that is negative or not finite, named.
    """
    without = tuple(
        t.thruster for t in configuration.thrusters if configuration.models[t.model].stall_current_a is None
    )
    found = []
    for thruster in configuration.thrusters:
        model = configuration.models[thruster.model]
        if model.stall_current_a is None:
            continue
        require_within(f"stall_current_a of {model.model}", model.stall_current_a, 0.0, 1e5)
        command = thruster.sign * worst.commands.get(thruster.channel, 0.0)
        own = thrust_and_current(model, command)[1]
        found.append((model.stall_current_a - own, thruster, model.stall_current_a))
    if not found:
        return None
    added, thruster, stalled = max(found, key=lambda row: row[0])
    total = worst.total_a + max(0.0, added)
    others = sum(
        thrust_and_current(configuration.models[t.model], t.sign * worst.commands.get(t.channel, 0.0))[1]
        for t in configuration.thrusters
        if t.channel == thruster.channel and t.thruster != thruster.thruster
    )
    verdict = fuse_verdict(configuration.electrical.fuse, total)
    return Stall(thruster.thruster, stalled, total, stalled + others, verdict, without)
