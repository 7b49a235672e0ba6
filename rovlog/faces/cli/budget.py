"""rovlog budget: current, voltage under load, the fuse; with a water also buoyancy and pressure."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rovlog.faces.cli.parser import number

if TYPE_CHECKING:
    import argparse

    from rovlog.faces.cli.context import Context

SUMMARY = """What the worst manoeuvre draws, what voltage is left, and what the fuse does about it.

With --temperature-c also net force, heave trim and pressure at a depth. All is computed, not measured."""

EXAMPLE = "rovlog budget tern --temperature-c 11 --salinity 33 --depth-m 8"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The configuration, and the water if any."""
    parser.add_argument(
        "vehicle", metavar="VEHICLE", help="a configuration: tern, tern@3, tern@<commit> or a dive"
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
    from rovlog.faces.reports.budget_text import budget_text
    from rovlog.usecases.compute_budget import compute_budget, water_given
    from rovlog.usecases.configurations import named
    from rovlog.usecases.logbook import Logbook

    water = water_given(args.temperature_c, args.salinity, args.depth_m)
    budget = compute_budget(named(Logbook(context.book()), args.vehicle).configuration, water)
    context.show(budget_data(budget), budget_text(budget))
    return Status.FINDING if budget.stops else Status.FINE
