"""`rovlog dive …`: a dive from start to close."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace

from rovlog.faces.cli.context import Context, Status
from rovlog.faces.cli.parser import example, number, pair, subcommands
from rovlog.faces.cli.record_commands import add_record_commands
from rovlog.faces.cli.record_frame import once, tell_commit

SUMMARY = "A dive from start to close; every entry is on the disk before anything says so."
EXAMPLE = """
rovlog dive start grebe --by tamsin --site lock-pool --water fresh:14 --crew pilot=tamsin tender=jory
rovlog dive tick grebe swimmers --by tamsin
rovlog dive show grebe
"""

OPEN = """What has to be answered before the next dive: what failed, what an event voided, what ran out,
what every dive asks anew and what was never answered, each with why; and how much still holds.

With a dive open it is that dive; otherwise the next one is judged as if it began now, at the site, in the
water and with the crew of the last one. Nothing is written."""


def add_arguments(parser: ArgumentParser) -> None:
    """start, open, list, and what dives share with work."""
    commands = subcommands(parser)
    start = commands.add_parser("start", help="start a dive", epilog=example(EXAMPLE))
    start.add_argument("vehicle", metavar="VEHICLE")
    start.add_argument("--by", required=True, metavar="PERSON")
    start.add_argument("--site", required=True)
    start.add_argument("--water", required=True, metavar="KIND:T[:S]", help="fresh:20, salt:12:35")
    start.add_argument("--crew", nargs="+", type=pair, action="extend", default=[], metavar="ROLE=PERSON")
    start.add_argument("--task", help="what for")
    start.add_argument("--depth-m", type=number, help="planned depth, metres")
    start.add_argument("--minutes", type=number, help="planned time, minutes")
    start.add_argument("--at", metavar="TIME", help="RFC 3339 time, if not now (kept as from memory)")
    start.set_defaults(run=run_start)
    listing = commands.add_parser(
        "list", help="dives, newest first", epilog=example("rovlog dive list grebe")
    )
    listing.add_argument("vehicle", nargs="?", metavar="VEHICLE")
    listing.set_defaults(run=run_list)
    turn = commands.add_parser(
        "open",
        help="the turn-round: only what is open for the next dive, and why",
        description=OPEN,
        epilog=example("rovlog dive open grebe"),
    )
    turn.add_argument("vehicle", metavar="VEHICLE")
    turn.set_defaults(run=run_open)
    add_record_commands(commands, "dive")


def run(args: Namespace, context: Context) -> int:
    """Never reached: a subcommand is required and sets its own."""
    raise NotImplementedError


def run_start(args: Namespace, context: Context) -> int:
    """Start a dive and say what it stands on."""
    from rovlog.faces.reports.dive_text import started_text
    from rovlog.faces.reports.quarantine_text import guide_data, guide_text
    from rovlog.usecases.dive_state import dive_state
    from rovlog.usecases.dive_steps import start_dive
    from rovlog.usecases.logbook import Logbook
    from rovlog.usecases.quarantine_guide import quarantine_guide
    from rovlog.usecases.times import checked_time
    from rovlog.usecases.water_spec import water_fields

    logbook = Logbook(context.book())
    context.note(logbook.settings().trouble)
    started = start_dive(
        logbook,
        args.vehicle,
        by=args.by,
        site=args.site,
        water=water_fields(args.water),
        crew=once(args.crew),
        task=args.task,
        depth_m=args.depth_m,
        minutes=args.minutes,
        at=checked_time(args.at) if args.at else None,
        clock="memory" if args.at else None,
    )
    data = {
        "dive": started.record,
        "revision": started.revision,
        "working": started.working.digest if started.working else None,
        "deviations": [dict(d) for d in started.deviations],
        "commit": started.commit.commit,
    }
    guide = quarantine_guide(dive_state(logbook, logbook.record(started.record)))
    context.show(
        {**data, "quarantine": guide_data(guide)},
        started_text(started) + guide_text(guide, logbook.person_name),
    )
    for note in started.notes:
        context.note(note)
    tell_commit(context, started.commit)
    return Status.FINE


def run_open(args: Namespace, context: Context) -> int:
    """Say what is open for the next dive; anything open, or anything else that stops it, is a finding."""
    from rovlog.faces.reports.turn_round_text import turn_round_data, turn_round_text
    from rovlog.usecases.logbook import Logbook
    from rovlog.usecases.turn_round import turn_round

    found = turn_round(Logbook(context.book()), args.vehicle)
    context.show(turn_round_data(found), turn_round_text(found))
    return Status.FINDING if found.open or found.stops else Status.FINE


def run_list(args: Namespace, context: Context) -> int:
    """List dives, newest first, with their number and what is open."""
    from rovlog.faces.reports.dive_text import list_data, list_text
    from rovlog.usecases.list_dives import list_dives
    from rovlog.usecases.logbook import Logbook

    logbook = Logbook(context.book())
    rows = list_dives(logbook, "dive", args.vehicle)
    context.show({"dives": list_data(rows)}, list_text(rows))
    return Status.FINE
