"""rovlog budget: current, voltage under load, the fuse; with a water also buoyancy and pressure."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rovlog.faces.cli.parser import number

if TYPE_CHECKING:
    import argparse
    from collections.abc import Sequence

    from rovlog.faces.cli.context import Context
    from rovlog.usecases.compute_budget import Budget
    from rovlog.usecases.measured_current import MeasuredCurrent

SUMMARY = """What the worst manoeuvre draws, what voltage is left, and what the fuse does about it.

With --temperature-c also net force, heave trim, pressure at a depth, rise and attitude. All is computed,
not measured; what a clamp meter read on the vehicle's newest dives stands beside it, and which is which."""

EXAMPLE = "rovlog budget grebe --temperature-c 11 --salinity 33 --depth-m 8"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The configuration, and the water if any."""
    parser.add_argument(
        "vehicle", metavar="VEHICLE", help="a configuration: grebe, grebe@3, grebe@<commit> or a dive"
    )
    parser.add_argument(
        "--temperature-c", type=number, metavar="T", help="temperature of the water, degrees C"
    )
    parser.add_argument("--salinity", type=number, metavar="S", help="practical salinity (default: 0, fresh)")
    parser.add_argument("--depth-m", type=number, metavar="D", help="depth, metres (default: 0)")


def run(args: argparse.Namespace, context: Context) -> int:
    """Print the budget; 1 where a finding stops the dive."""
    from rovlog.faces.cli.context import Status
    from rovlog.faces.reports.budget_data import budget_data
    from rovlog.usecases.compute_budget import compute_budget, water_given
    from rovlog.usecases.configurations import named
    from rovlog.usecases.logbook import Logbook
    from rovlog.usecases.measured_current import measured_currents

    water = water_given(args.temperature_c, args.salinity, args.depth_m)
    logbook = Logbook(context.book())
    found = named(logbook, args.vehicle)
    budget = compute_budget(found.configuration, water)
    measured = measured_currents(logbook, found.vehicle)
    context.show(budget_data(budget, measured, found.digest), "" if context.json else _text(budget, measured))
    return Status.FINDING if budget.stops else Status.FINE


def _text(budget: Budget, measured: Sequence[MeasuredCurrent]) -> str:
    from rovlog.faces.cli.terminal_table import terminal_table
    from rovlog.faces.reports.budget_text import budget_text

    return budget_text(budget, measured, terminal_table)
