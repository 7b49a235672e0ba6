"""What some demands, or some positions of the controls, make a vehicle do."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from rovlog.domain.allocation.authority import significant
from rovlog.domain.allocation.channels import channel_numbers
from rovlog.domain.allocation.demand import CHANNEL_PREFIX
from rovlog.domain.allocation.gamepad import nearest, require_control
from rovlog.domain.allocation.response import Response, response, response_to_sticks
from rovlog.domain.vehicle import DEMANDS, Configuration
from rovlog.problems import UsageError
from rovlog.values import dataclass


@dataclass(frozen=True, slots=True)
class Answered:
    """The response, and its wrench with what counts as nothing at 0 (N and N m).

    `idle_controls` are controls that were moved but drive nothing in the scheme in force.
    """

    response: Response
    motion: Mapping[str, float]
    idle_controls: tuple[str, ...] = ()


def compute_response(
    configuration: Configuration,
    demands: Sequence[tuple[str, float]] = (),
    sticks: Sequence[tuple[str, float]] = (),
) -> Answered:
    """What demands do (no shaping, no trim), or what positions of controls do (with both).

    Args:
        configuration: the vehicle.
        demands: (`surge` … `yaw` or `channel-<n>`, -1 to 1); not together with sticks.
        sticks: (control, raw position); controls not given are at rest. With neither, all
            controls are at rest and only the trims act.

    Raises:
        UsageError: an unknown or repeated name (with the nearest one), a value out of range, or both kinds.
    """
    if demands and sticks:
        raise UsageError(
            "demands and sticks cannot be given together",
            "use --demand for what the map is asked, or --stick for what the pilot does",
        )
    _refuse_repeats([name for name, _ in (*demands, *sticks)])
    if demands:
        found = _to_demands(configuration, demands)
        return Answered(found, significant(configuration, found))
    for control, position in sticks:
        require_control(control, position)
    found = response_to_sticks(configuration, dict(sticks))
    driving = {e.control for e in configuration.steering_scheme.entries}
    idle = tuple(control for control, position in sticks if position and control not in driving)
    return Answered(found, significant(configuration, found), idle)


def _to_demands(configuration: Configuration, demands: Sequence[tuple[str, float]]) -> Response:
    asked: dict[str, float] = {}
    direct: dict[int, float] = {}
    channels = channel_numbers(configuration)
    for name, value in demands:
        if not -1.0 <= value <= 1.0:
            raise UsageError(f"{name} is {value:g}; expected -1 to 1", f"give {name} between -1 and 1")
        if name in DEMANDS:
            asked[name] = value
            continue
        number = re.fullmatch(re.escape(CHANNEL_PREFIX) + r"([0-9]{1,3})", name)
        if number is None:
            known = (*DEMANDS, *(f"{CHANNEL_PREFIX}{c}" for c in channels))
            raise UsageError(f"there is no demand {name!r}", f"did you mean {nearest(name, known)}?")
        channel = int(number.group(1))
        if channel not in channels:
            raise UsageError(
                f"there is no channel {channel} on box {configuration.control_box.box}",
                f"its channels are {channels[0]} to {channels[-1]}"
                if channels
                else "the box has no channels",
            )
        if channel in direct:
            raise UsageError(f"{name} is given twice", "give it once")
        direct[channel] = value
    return response(configuration, asked, direct)


def _refuse_repeats(names: Sequence[str]) -> None:
    for name in names:
        if names.count(name) > 1:
            raise UsageError(f"{name} is given twice", "give it once")
