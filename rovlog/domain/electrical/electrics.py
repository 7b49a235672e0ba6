"""Everything electrical about one configuration, computed once: what findings and reports stand on."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from rovlog.domain.electrical.ahead import FullAhead, full_ahead
from rovlog.domain.electrical.endurance import Endurance, endurance, usual_profile
from rovlog.domain.electrical.fuse import FuseVerdict, continuous_limit_a, fuse_verdict
from rovlog.domain.electrical.idle import Idle, idle
from rovlog.domain.electrical.less_demand import LessDemand, less_demand
from rovlog.domain.electrical.sag import Sag, sag
from rovlog.domain.electrical.short import FarShort, far_short
from rovlog.domain.electrical.stall import Stall, stall
from rovlog.domain.electrical.tether import loop_resistance_ohm, wire_rating_a
from rovlog.domain.electrical.worst_case import WorstCase, per_channel_worst_a, worst_case
from rovlog.domain.ranges import require_within
from rovlog.domain.vehicle import Configuration
from rovlog.values import dataclass


@dataclass(frozen=True, slots=True)
class Loaded:
    """The operating point at the worst case and at full ahead, from one state of the supply.

    `ahead` is None where no control drives surge ahead.
    """

    open_circuit_v: float
    worst: Sag
    ahead: Sag | None


@dataclass(frozen=True, slots=True)
class Wire:
    """The thinnest wire behind the fuse, mm^2, and what it may carry for ever, ampere (from memory).

    `is_tether`: the record names no thinnest wire, so the tether's conductor is taken.
    """

    area_mm2: float
    rating_a: float
    is_tether: bool


@dataclass(frozen=True, slots=True)
class Electrics:
    """One configuration's currents, voltages and fuse. `at_rest` is None without a resting voltage.

    `less` is the proposal of less demand, only where the worst case is above the continuous limit.
    """

    worst: WorstCase
    per_channel_a: Mapping[int, float]
    ahead: FullAhead | None
    full: Loaded
    at_rest: Loaded | None
    fuse: FuseVerdict
    continuous_limit_a: float
    short: FarShort
    stall: Stall | None
    idle: Idle
    endurance: Endurance | None
    wire: Wire
    tether_loop_ohm: float
    less: LessDemand | None


def electrics(configuration: Configuration) -> Electrics:
    """All of it, for a configuration as it stands.

    Raises:
        OutOfRangeError: a number anywhere in the configuration that no computation can use, named.
    """
    worst = worst_case(configuration)
    ahead = full_ahead(configuration)
    supply = configuration.electrical.supply
    full = _loaded(configuration, worst, ahead, supply.open_circuit_v)
    judged = max(worst.total_a, full.worst.point.current_a if full.worst.point else 0.0)
    fuse = fuse_verdict(configuration.electrical.fuse, judged)
    at_idle = idle(configuration)
    return Electrics(
        worst=worst,
        per_channel_a=per_channel_worst_a(configuration),
        ahead=ahead,
        full=full,
        at_rest=None if supply.resting_v is None else _loaded(configuration, worst, ahead, supply.resting_v),
        fuse=fuse,
        continuous_limit_a=continuous_limit_a(configuration.electrical.fuse),
        short=far_short(configuration),
        stall=stall(configuration, worst),
        idle=at_idle,
        endurance=endurance(supply, usual_profile(at_idle.current_a, max(worst.total_a, at_idle.current_a))),
        wire=thinnest_wire(configuration),
        tether_loop_ohm=loop_resistance_ohm(configuration.electrical.tether),
        less=None if fuse.verdict == "within-continuous" else less_demand(configuration),
    )


def _loaded(
    configuration: Configuration, worst: WorstCase, ahead: FullAhead | None, open_circuit_v: float
) -> Loaded:
    require_within("open_circuit_v", open_circuit_v, 1e-6, 1e4)
    at_ahead = None if ahead is None else sag(configuration, ahead.commands, open_circuit_v)
    return Loaded(open_circuit_v, sag(configuration, worst.commands, open_circuit_v), at_ahead)


def thinnest_wire(configuration: Configuration) -> Wire:
    """The thinnest wire the main fuse has to protect: the record's, else the tether's conductor.

    Raises:
        OutOfRangeError: an area that is not positive, named.
    """
    electrical: Mapping[str, Any] = configuration.resolved.get("electrical", {})
    named = electrical.get("thinnest_wire_mm2")
    area = configuration.electrical.tether.conductor_area_mm2 if named is None else float(named)
    return Wire(area, wire_rating_a(area), named is None)
