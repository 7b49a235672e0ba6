"""`rovlog part …`: parts with an identity, where they are fitted, their hours, what is due."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace

from rovlog.faces.cli.context import Context, Status
from rovlog.faces.cli.parser import example, subcommands

SUMMARY = "Tethers, batteries, seals and other parts: where each is fitted, running hours, what is due."
EXAMPLE = """
rovlog part list
rovlog part show tether-spare
rovlog part due
"""


def add_arguments(parser: ArgumentParser) -> None:
    """list, show, due."""
    commands = subcommands(parser)
    listing = commands.add_parser("list", help="every part", epilog=example("rovlog part list"))
    listing.set_defaults(run=run_list)
    show = commands.add_parser(
        "show", help="one part in full", epilog=example("rovlog part show tether-spare")
    )
    show.add_argument("part", metavar="PART", help="the part's id")
    show.set_defaults(run=run_show)
    due = commands.add_parser(
        "due", help="what is due, the most pressing first", epilog=example("rovlog part due")
    )
    due.set_defaults(run=run_due)


def run(args: Namespace, context: Context) -> int:
    """Never reached: a subcommand is required and sets its own."""
    raise NotImplementedError


def run_list(args: Namespace, context: Context) -> int:
    """Every part with its hours and where it is."""
    from rovlog.faces.reports.part_text import part_data, parts_text
    from rovlog.usecases.logbook import Logbook
    from rovlog.usecases.part_history import part_histories

    lives, notes = part_histories(Logbook(context.book()))
    context.show({"parts": [part_data(life) for life in lives], "notes": list(notes)}, parts_text(lives))
    for note in notes:
        context.note(f"note: {note}")
    return Status.FINE


def run_show(args: Namespace, context: Context) -> int:
    """One part: where it was, hours, what is due."""
    from rovlog.faces.reports.part_text import part_data, part_text
    from rovlog.usecases.logbook import Logbook
    from rovlog.usecases.part_history import part_history

    logbook = Logbook(context.book())
    life = part_history(logbook, args.part)
    context.show(part_data(life), part_text(life, logbook.person_name))
    return Status.FINE


def run_due(args: Namespace, context: Context) -> int:
    """What is due; exit status 1 where something is past due."""
    from rovlog.faces.reports.part_text import due_data, due_rows, due_text
    from rovlog.usecases.logbook import Logbook
    from rovlog.usecases.part_history import part_histories

    lives, notes = part_histories(Logbook(context.book()))
    rows = due_rows(lives)
    data = [
        {"part": life.part, "name": life.name, "hours": round(life.hours, 3), **due_data(d)}
        for life, d in rows
    ]
    context.show({"due": data, "notes": list(notes)}, due_text(lives))
    for note in notes:
        context.note(f"note: {note}")
    return Status.FINDING if any(d.state == "past due" for _, d in rows) else Status.FINE
