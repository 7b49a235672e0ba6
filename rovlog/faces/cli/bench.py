"""`rovlog bench`: what bench load steps say, and a factor for a thruster model from readings."""

from __future__ import annotations

from argparse import ArgumentParser, ArgumentTypeError, Namespace
from typing import TYPE_CHECKING

from rovlog.faces.cli.context import Context, Status
from rovlog.faces.cli.parser import number

if TYPE_CHECKING:
    from rovlog.domain.dive import Record
    from rovlog.usecases.logbook import Logbook

SUMMARY = """What the load steps of a work record say; or a factor for a thruster model, from readings.

WORK is a work record (or a dive, or a vehicle with one open work). Its readings load-step, with these values:
  voltage_v and current_a   at the source: resistance of the supply, with uncertainty from three steps on
  box_v and current_a       at the box: resistance of supply, fuse and leads together
  drop_v and current_a      lost from box to motor, with channel=1: checked against driver and tether pair
  driver_c and time_s       temperature of the driver: where it settles, and the time to its limit

`bench scale MODEL` compares what a clamp meter read with the model's table. Readings are given as
COMMAND=AMPERE of one thruster, or taken from records where they name what was asked for (current_a=6,2
surge=1, or channel-2=0,5). It prints a change to approve and never writes by itself.
Exit status: 0 fine, 1 a part cannot be judged or does not agree with the record."""

EXAMPLE = """
rovlog work reading grebe load-step voltage_v=12,52 current_a=5,1 --by bashir
rovlog bench grebe
rovlog bench scale reed-40 --reading 0,5=1,9 --reading 1=6,3 --supply-v 12,4
rovlog work reading grebe clamp-meter current_a=6,2 surge=1 --by bashir
rovlog bench scale reed-40 --from grebe
"""


def add_arguments(parser: ArgumentParser) -> None:
    """A record, or `scale` with a model and its readings."""
    parser.add_argument("subject", metavar="WORK|scale", help="a work record, or the word scale")
    parser.add_argument("model", nargs="?", metavar="MODEL", help="after scale: the thruster model")
    parser.add_argument(
        "--reading",
        "--readings",
        dest="readings",
        action="extend",
        nargs="+",
        default=[],
        type=_reading,
        metavar="COMMAND=AMPERE",
        help="scale: one thruster's current at a command; astern as --reading=-1=5,8",
    )
    parser.add_argument(
        "--supply-v", type=number, metavar="V", help="scale: at which voltage (default: the model's rated)"
    )
    parser.add_argument(
        "--from",
        dest="sources",
        action="append",
        default=[],
        metavar="RECORD|VEHICLE",
        help="scale: a dive or work record, or all the newest of a vehicle",
    )


def run(args: Namespace, context: Context) -> int:
    """Judge the steps, or propose the factor; 1 where something cannot be judged or does not agree."""
    from rovlog.usecases.logbook import Logbook

    logbook = Logbook(context.book())
    if args.subject == "scale":
        return _scale(args, context, logbook)
    return _steps(args, context, logbook)


def _steps(args: Namespace, context: Context, logbook: Logbook) -> int:
    from rovlog.faces.reports.bench_text import steps_data, steps_text
    from rovlog.problems import UsageError
    from rovlog.usecases.bench_steps import bench_steps
    from rovlog.usecases.recording import find_record

    if args.model or args.readings or args.sources or args.supply_v is not None:
        raise UsageError("a model and its readings belong to scale", "write rovlog bench scale MODEL …")
    is_id = args.subject not in logbook.vehicles() and args.subject not in logbook.stems("boxes")
    found = bench_steps(logbook, find_record(logbook, args.subject, None if is_id else "work"))
    context.show(steps_data(found), steps_text(found))
    return Status.FINE if found.is_in_order else Status.FINDING


def _scale(args: Namespace, context: Context, logbook: Logbook) -> int:
    from rovlog.faces.reports.bench_text import scale_data, scale_text
    from rovlog.problems import UsageError
    from rovlog.usecases.scale_model import propose_scale

    if not args.model:
        raise UsageError("which model is to be scaled?", "write rovlog bench scale MODEL --reading 1=6,3")
    found = propose_scale(
        logbook,
        args.model,
        readings=args.readings,
        supply_v=args.supply_v,
        records=[r for source in args.sources for r in _records(logbook, source)],
    )
    if context.json:
        context.show(scale_data(found), "")
        return Status.FINE
    from rovlog.faces.cli.terminal_table import terminal_table

    context.show({}, scale_text(found, terminal_table))
    return Status.FINE


def _records(logbook: Logbook, source: str) -> list[Record]:
    from rovlog.usecases.measured_current import NEWEST_RECORDS

    if source in logbook.vehicles():
        return logbook.newest_records(source, NEWEST_RECORDS)
    return [logbook.record(source)]


def _reading(text: str) -> tuple[float, float]:
    command, sign, ampere = text.rpartition("=")
    if not sign:
        raise ArgumentTypeError(f"{text!r} is not COMMAND=AMPERE")
    return number(command), number(ampere)
