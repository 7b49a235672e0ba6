"""What the pilot's controls can get out of each demand, on that demand's own axis."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Any

from rovlog.domain.allocation.authority import AXIS_OF, significant
from rovlog.domain.allocation.demand import channel_of, clipped
from rovlog.domain.allocation.gamepad import CONTROLS
from rovlog.domain.allocation.response import response
from rovlog.domain.vehicle import DEMANDS, Configuration, ControlEntry
from rovlog.values import dataclass

if TYPE_CHECKING:
    from rovlog.domain.drift.supply_side import SupplySide

SMALL_SHARE = 0.02
"""A wrench below this share of the vehicle's greatest on that axis counts as none (project default)."""


@dataclass(frozen=True, slots=True)
class Physics:
    """The computations that give a difference its physical effect.

    `configure` turns a resolved object into a Configuration and raises a RovlogError where it does
    not fit together (it reads documents, which the domain does not). `worst_case_a` gives the
    greatest current in ampere, `net_up_n` the buoyancy left over in newton, up positive, `supply_side`
    fuse, voltages, wires, run time and depth; None where such a computation is not at hand.
    """

    configure: Callable[[Mapping[str, Any]], Configuration]
    worst_case_a: Callable[[Configuration], float] | None = None
    net_up_n: Callable[[Configuration], float | None] | None = None
    supply_side: Callable[[Configuration], SupplySide] | None = None


@dataclass(frozen=True, slots=True)
class Reach:
    """One demand within reach of the controls.

    `positive` is the greatest wrench on the demand's own axis towards its positive way, at least 0,
    `negative` the greatest the other way, at most 0 (N, or N m for roll, pitch, yaw). `by_control`
    gives, for each control that drives the demand, the wrench at its lowest and at its highest end.
    """

    positive: float
    negative: float
    by_control: Mapping[str, tuple[float, float]]


def reaches(configuration: Configuration) -> dict[str, Reach]:
    """Each demand's reach, full_stick and reversal of the controls counted, trims left out."""
    return {d: reach_of(configuration, d) for d in DEMANDS}


def rest_wrench(configuration: Configuration, demand: str, share: float) -> float:
    """The wrench on a demand's own axis at `share` of full demand, N or N m."""
    found = response(configuration, {demand: share})
    return significant(configuration, found)[AXIS_OF[demand]]


def reach_of(configuration: Configuration, demand: str) -> Reach:
    """One demand's reach, see `reaches`."""
    entries = [e for e in configuration.steering_scheme.entries if e.drives == demand]
    ends: dict[str, tuple[float, float]] = {}
    for entry in entries:
        low, high = end_demands(entry)
        before = ends.get(entry.control, (0.0, 0.0))
        ends[entry.control] = (before[0] + low, before[1] + high)
    if not ends:
        return _direct_reach(configuration, demand)
    most = min(1.0, sum(max(0.0, *pair) for pair in ends.values()))
    least = max(-1.0, sum(min(0.0, *pair) for pair in ends.values()))
    wrenches = [rest_wrench(configuration, demand, share) for share in {most, least} if share]
    by_control = {control: _pair(configuration, demand, pair) for control, pair in ends.items()}
    return Reach(max([0.0, *wrenches]), min([0.0, *wrenches]), by_control)


def _direct_reach(configuration: Configuration, demand: str) -> Reach:
    """Reach over the controls that drive a channel directly, each at the end that helps the most."""
    axis = AXIS_OF[demand]
    pushes: dict[bool, dict[int, float]] = {True: {}, False: {}}
    for entry in configuration.steering_scheme.entries:
        channel = channel_of(entry.drives)
        for share in end_demands(entry) if channel is not None else ():
            wrench = response(configuration, {}, {channel: share}).wrench[axis] if channel and share else 0.0
            if channel and wrench:
                pushes[wrench > 0].setdefault(channel, share)
    best = {side: response(configuration, {}, push).wrench[axis] for side, push in pushes.items() if push}
    return Reach(max(0.0, best.get(True, 0.0)), min(0.0, best.get(False, 0.0)), {})


def end_demands(entry: ControlEntry) -> tuple[float, float]:
    """The demand an entry asks for at its control's lowest and highest end; 0 for a button let go."""
    sign = -1.0 if entry.is_reversed else 1.0
    control = CONTROLS.get(entry.control)
    lowest = control.lowest if control else -1.0
    return lowest * sign * entry.full_stick, sign * entry.full_stick


def _pair(configuration: Configuration, demand: str, ends: tuple[float, float]) -> tuple[float, float]:
    low, high = (rest_wrench(configuration, demand, clipped(e)) if e else 0.0 for e in ends)
    return low, high
