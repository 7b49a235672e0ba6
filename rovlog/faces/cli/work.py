"""`rovlog work …`: bench, tub, refit, quarantine and periodic care, outside a dive."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from typing import TYPE_CHECKING

from rovlog.faces.cli.context import Context, Status
from rovlog.faces.cli.parser import example, pair, subcommands
from rovlog.faces.cli.record_commands import add_record_commands
from rovlog.faces.cli.record_frame import once, tell_commit, when

if TYPE_CHECKING:
    from argparse import _SubParsersAction

    from rovlog.faces.cli.parser import CommandParser

SUMMARY = "Anything outside a dive: bench, tub, refit, quarantine, periodic care; recorded like a dive."
EXAMPLE = """
rovlog work start wigeon --by tamsin --purpose "new stern propellers"
rovlog work event wigeon thruster-touched --part port-aft --by tamsin
"""

LEND = """Lending is work on record: `vehicle list` shows who has the vehicle, and a dive with it is stopped
until it is back. Coming back is an event: what opening, parting, swapping, knocking or setting would void
is asked for again, since nobody of the team saw what happened meanwhile."""
LEND_EXAMPLE = """
rovlog work lend wigeon --to "Harbour school" --by tamsin
rovlog work return wigeon --by tamsin --text "looks clean"
rovlog dive open wigeon
"""


def add_arguments(parser: ArgumentParser) -> None:
    """start, lend, return, list, and what work shares with dives."""
    commands = subcommands(parser)
    start = commands.add_parser("start", help="start work on a vehicle or a box", epilog=example(EXAMPLE))
    start.add_argument("subject", metavar="VEHICLE|BOX")
    start.add_argument("--by", required=True, metavar="PERSON")
    start.add_argument("--purpose", required=True, help="what is to be done")
    start.add_argument("--crew", nargs="+", type=pair, action="extend", default=[], metavar="ROLE=PERSON")
    start.add_argument("--at", metavar="TIME", help="RFC 3339 time, if not now (kept as from memory)")
    start.set_defaults(run=run_start)
    listing = commands.add_parser("list", help="work, newest first", epilog=example("rovlog work list grebe"))
    listing.add_argument("vehicle", nargs="?", metavar="VEHICLE")
    listing.set_defaults(run=run_list)
    _add_loans(commands)
    add_record_commands(commands, "work")


def _add_loans(commands: _SubParsersAction[CommandParser]) -> None:
    lend = commands.add_parser(
        "lend", help="lend a vehicle to another team", description=LEND, epilog=example(LEND_EXAMPLE)
    )
    lend.add_argument("vehicle", metavar="VEHICLE")
    lend.add_argument("--to", required=True, metavar="NAME", help="the other team")
    lend.set_defaults(run=run_lend)
    back = commands.add_parser(
        "return",
        help="take a lent vehicle back; asks again for what nobody of the team saw",
        description=LEND,
        epilog=example(LEND_EXAMPLE),
    )
    back.add_argument("vehicle", metavar="VEHICLE")
    back.set_defaults(run=run_return)
    for parser in (lend, back):
        parser.add_argument("--by", required=True, metavar="PERSON", help="who hands over, or takes back")
        parser.add_argument("--text", help="a remark, on one line")
        parser.add_argument("--at", metavar="TIME", help="RFC 3339 time, if not now (kept as from memory)")


def run(args: Namespace, context: Context) -> int:
    """Never reached: a subcommand is required and sets its own."""
    raise NotImplementedError


def run_start(args: Namespace, context: Context) -> int:
    """Start a work record."""
    from rovlog.faces.reports.dive_text import started_text
    from rovlog.faces.reports.quarantine_text import guide_data, guide_text
    from rovlog.usecases.dive_state import dive_state
    from rovlog.usecases.dive_steps import start_work
    from rovlog.usecases.logbook import Logbook
    from rovlog.usecases.quarantine_guide import quarantine_guide
    from rovlog.usecases.times import checked_time

    logbook = Logbook(context.book())
    context.note(logbook.settings().trouble)
    started = start_work(
        logbook,
        args.subject,
        by=args.by,
        purpose=args.purpose,
        crew=once(args.crew),
        at=checked_time(args.at) if args.at else None,
        clock="memory" if args.at else None,
    )
    state = dive_state(logbook, logbook.record(started.record))
    guide = quarantine_guide(state)
    text = started_text(started) + guide_text(guide, logbook.person_name)
    data = {"work": started.record, "commit": started.commit.commit, "quarantine": guide_data(guide)}
    context.show(data, text)
    tell_commit(context, started.commit)
    return Status.FINE


def run_lend(args: Namespace, context: Context) -> int:
    """Record that another team has the vehicle."""
    from rovlog.faces.reports.plain import clean
    from rovlog.usecases.lend_vehicle import lend_vehicle
    from rovlog.usecases.logbook import Logbook

    logbook = Logbook(context.book())
    started = lend_vehicle(logbook, args.vehicle, to=args.to, by=args.by, text=args.text, **when(args))
    data = {"work": started.record, "vehicle": args.vehicle, "to": args.to, "commit": started.commit.commit}
    context.show(data, f"{args.vehicle} is lent to {clean(args.to)}: {started.record}\n")
    tell_commit(context, started.commit)
    return Status.FINE


def run_return(args: Namespace, context: Context) -> int:
    """Record that the vehicle is back, and how much is asked for again."""
    from rovlog.faces.reports.plain import clean
    from rovlog.usecases.lend_vehicle import return_vehicle
    from rovlog.usecases.logbook import Logbook

    logbook = Logbook(context.book())
    back = return_vehicle(logbook, args.vehicle, by=args.by, text=args.text, **when(args))
    loan = back.loan
    data = {
        "work": loan.record.id,
        "vehicle": args.vehicle,
        "lent_to": loan.to,
        "since": loan.since,
        "voided": back.voided,
        "commit": back.commit.commit,
    }
    words = "1 answer is" if back.voided == 1 else f"{back.voided} answers are"
    context.show(
        data,
        f"{args.vehicle} is back from {clean(loan.to)}; {words} asked for again.\n"
        f"  rovlog dive open {args.vehicle} says which.\n",
    )
    tell_commit(context, back.commit)
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
