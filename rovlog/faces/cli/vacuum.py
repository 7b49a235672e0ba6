"""rovlog vacuum: judge a vacuum hold from its readings."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rovlog.faces.cli.parser import number

if TYPE_CHECKING:
    import argparse

    from rovlog.faces.cli.context import Context

SUMMARY = """Judge a vacuum hold from its readings, corrected for temperature and outside pressure.

Readings are pressures below outside, in kPa; temperatures are those of the air inside. Needs no logbook;
with --vehicle the last five holds of the same housing on record stand beside it.
Exit status: 0 held, 1 lost or cannot judge, 2 unusable readings."""

EXAMPLE = "rovlog vacuum --start-below-kpa 24.6 --start-c 19.5 --end-below-kpa 24.1 --end-c 21.0"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The two readings, and what replaces a default."""

    def option(flag: str, text: str, unit: str, required: bool = False) -> None:
        parser.add_argument(flag, type=number, required=required, metavar=unit, help=text)

    option("--start-below-kpa", "how far below outside at the start", "KPA", True)
    option("--start-c", "temperature inside at the start, degrees C", "C", True)
    option("--end-below-kpa", "how far below outside at the end", "KPA", True)
    option("--end-c", "temperature inside at the end, degrees C", "C", True)
    option(
        "--outside-start-kpa",
        "outside pressure at the start (default 101.325; one alone stands for both)",
        "KPA",
    )
    option("--outside-end-kpa", "outside pressure at the end", "KPA")
    option("--limit-kpa", "greatest corrected rise (default 1.0)", "KPA")
    option("--gauge-uncertainty-kpa", "standard uncertainty of a gauge reading (default 0.1)", "KPA")
    option("--thermometer-uncertainty-k", "standard uncertainty of a temperature (default 0.5)", "K")
    parser.add_argument("--vehicle", metavar="VEHICLE", help="show the last five holds of its housing beside")
    parser.add_argument("--housing", metavar="HOUSING", help="which one, where several have a vacuum port")


def run(args: argparse.Namespace, context: Context) -> int:
    """Print the verdict; 1 unless it held."""
    from rovlog.faces.cli.context import Status
    from rovlog.faces.reports.water_text import vacuum_data, vacuum_text
    from rovlog.usecases.judge_vacuum import judge_vacuum

    earlier = None
    if args.vehicle is not None:
        from rovlog.usecases.logbook import Logbook
        from rovlog.usecases.vacuum_holds import earlier_holds

        earlier = earlier_holds(Logbook(context.book()), args.vehicle, args.housing)
    elif args.housing is not None:
        from rovlog.problems import UsageError

        raise UsageError("--housing needs the vehicle it belongs to", "add --vehicle VEHICLE")
    judged = judge_vacuum(
        args.start_below_kpa,
        args.start_c,
        args.end_below_kpa,
        args.end_c,
        outside_start_kpa=args.outside_start_kpa,
        outside_end_kpa=args.outside_end_kpa,
        limit_kpa=args.limit_kpa,
        gauge_uncertainty_kpa=args.gauge_uncertainty_kpa,
        thermometer_uncertainty_k=args.thermometer_uncertainty_k,
        earlier=earlier,
    )
    context.show(vacuum_data(judged), vacuum_text(judged))
    return Status.FINE if judged.hold.verdict == "held" else Status.FINDING
