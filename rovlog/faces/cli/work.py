"""`rovlog work …`: bench, tub, refit, quarantine and periodic care, outside a dive."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace

from rovlog.faces.cli.context import Context, Status
from rovlog.faces.cli.parser import example, pair, subcommands
from rovlog.faces.cli.record_commands import add_record_commands
from rovlog.faces.cli.record_frame import tell_commit

SUMMARY = "Anything outside a dive: bench, tub, refit, quarantine, periodic care; recorded like a dive."
EXAMPLE = """
rovlog work start heron --by mira --purpose "new stern propellers"
rovlog work event heron thruster-touched --part stern-port --by mira
"""


def add_arguments(parser: ArgumentParser) -> None:
    """start, list, and what work shares with dives."""
    commands = subcommands(parser)
    start = commands.add_parser("start", help="start work on a vehicle or a box", epilog=example(EXAMPLE))
    start.add_argument("subject", metavar="VEHICLE|BOX")
    start.add_argument("--by", required=True, metavar="PERSON")
    start.add_argument("--purpose", required=True, help="what is to be done")
    start.add_argument("--crew", nargs="+", type=pair, action="extend", default=[], metavar="ROLE=PERSON")
    start.add_argument("--at", metavar="TIME", help="RFC 3339 time, if not now (kept as from memory)")
    start.set_defaults(run=run_start)
    listing = commands.add_parser("list", help="work, newest first", epilog=example("rovlog work list heron"))
    listing.add_argument("vehicle", nargs="?", metavar="VEHICLE")
    listing.set_defaults(run=run_list)
    add_record_commands(commands, "work")


def run(args: Namespace, context: Context) -> int:
    """Never reached: a subcommand is required and sets its own."""
    raise NotImplementedError


def run_start(args: Namespace, context: Context) -> int:
    """Start a work record."""
    from rovlog.faces.reports.dive_text import started_text
    from rovlog.usecases.dive_steps import start_work
    from rovlog.usecases.logbook import Logbook
    from rovlog.usecases.times import checked_time

    logbook = Logbook(context.book())
    started = start_work(
        logbook,
        args.subject,
        by=args.by,
        purpose=args.purpose,
        crew=dict(args.crew),
        at=checked_time(args.at) if args.at else None,
        clock="memory" if args.at else None,
    )
    context.show({"work": started.record, "commit": started.commit.commit}, started_text(started))
    tell_commit(context, started.commit)
    return Status.FINE


def run_list(args: Namespace, context: Context) -> int:
    """List work records, newest first."""
    from rovlog.faces.reports.dive_text import list_data, list_text
    from rovlog.usecases.list_dives import list_dives
    from rovlog.usecases.logbook import Logbook

    logbook = Logbook(context.book())
    rows = list_dives(logbook, "work", args.vehicle)
    context.show({"work": list_data(rows)}, list_text(rows))
    return Status.FINE
