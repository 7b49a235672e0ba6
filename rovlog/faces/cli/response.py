"""`rovlog response`: what some demands, or some positions of the controls, make a vehicle do."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from rovlog.faces.cli.parser import number, pair

if TYPE_CHECKING:
    from rovlog.faces.cli.context import Context

SUMMARY = """What a vehicle does when the map is asked for something, or when the pilot moves a control.

--demand goes to the thruster map as it is, without shaping and trim; --stick goes through both.
Positive heave is down, positive yaw turns the bow to starboard; a stick pushed forward or left is
negative, as the W3C Gamepad standard counts it. With neither, the controls are at rest."""

EXAMPLE = """
rovlog response grebe --demand surge=1 --demand channel-1=0.5
rovlog response grebe@3 --stick left-stick-y=-1
"""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The configuration and what is asked of it."""
    parser.add_argument(
        "vehicle", metavar="VEHICLE", help="a configuration: grebe, grebe@3, grebe@<commit> or a dive"
    )
    parser.add_argument(
        "--demand",
        action="append",
        default=[],
        type=_value,
        metavar="NAME=VALUE",
        help="surge, sway, heave, roll, pitch, yaw or channel-<n>, from -1 to 1; may be repeated",
    )
    parser.add_argument(
        "--stick",
        action="append",
        default=[],
        type=_value,
        metavar="CONTROL=POSITION",
        help="a control by its place, sticks from -1 to 1, buttons from 0 to 1; may be repeated",
    )


def run(args: argparse.Namespace, context: Context) -> int:
    """Print what the thrusters do and what comes of it."""
    from rovlog.faces.cli.context import Status
    from rovlog.faces.reports.motion_text import response_data, response_text
    from rovlog.usecases.compute_response import compute_response
    from rovlog.usecases.configurations import named
    from rovlog.usecases.logbook import Logbook

    configuration = named(Logbook(context.book()), args.vehicle).configuration
    found = compute_response(configuration, args.demand, args.stick)
    for control in found.idle_controls:
        scheme = configuration.control_box.steering_scheme
        context.note(f"{control} drives nothing in steering scheme {scheme}")
    data = response_data(found.response, found.motion)
    if context.json:
        context.show(data, "")
        return Status.FINE
    from rovlog.faces.cli.terminal_table import terminal_table

    context.show(data, response_text(found.response, found.motion, terminal_table))
    return Status.FINE


def _value(text: str) -> tuple[str, float]:
    name, value = pair(text)
    return name, number(value)
