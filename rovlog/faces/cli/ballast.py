"""rovlog ballast: ballast to move between two waters."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rovlog.faces.cli.parser import number

if TYPE_CHECKING:
    import argparse

    from rovlog.faces.cli.context import Context

SUMMARY = """The ballast to add or take off so that a vehicle floats in one water as it did in another.

A water is kind:temperature[:salinity]; kind is fresh, brackish or salt; a decimal comma is fine."""

EXAMPLE = "rovlog ballast grebe --from fresh:16 --to salt:11,5:34"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The configuration and the two waters."""
    parser.add_argument(
        "vehicle", metavar="VEHICLE", help="a configuration: grebe, grebe@3, grebe@<commit> or a dive"
    )
    parser.add_argument(
        "--from", dest="from_water", required=True, metavar="WATER", help="where it floats well now"
    )
    parser.add_argument(
        "--to", dest="to_water", required=True, metavar="WATER", help="where it is to float the same"
    )
    parser.add_argument(
        "--ballast-density-kg-m3",
        type=number,
        metavar="KG_M3",
        help="density of what is hung on (default: the record's; lead is 11340)",
    )


def run(args: argparse.Namespace, context: Context) -> int:
    """Print the change."""
    from rovlog.faces.cli.context import Status
    from rovlog.faces.reports.water_text import ballast_data, ballast_text
    from rovlog.usecases.compute_ballast import compute_ballast
    from rovlog.usecases.configurations import named
    from rovlog.usecases.logbook import Logbook
    from rovlog.usecases.water_spec import parse_water

    before, after = parse_water(args.from_water), parse_water(args.to_water)
    configuration = named(Logbook(context.book()), args.vehicle).configuration
    change = compute_ballast(configuration, before, after, args.ballast_density_kg_m3)
    context.show(ballast_data(change), ballast_text(change))
    return Status.FINE
