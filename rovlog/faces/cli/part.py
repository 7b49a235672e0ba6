"""`rovlog part …`: parts with an identity, where they are fitted, their hours, what is due."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from rovlog.faces.cli.context import Context, Status
from rovlog.faces.cli.kept import answer, tell
from rovlog.faces.cli.parser import example, subcommands

if TYPE_CHECKING:
    from rovlog.usecases.logbook import Logbook

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
    return _told(context, "list", _list)


def run_show(args: Namespace, context: Context) -> int:
    """One part: where it was, hours, what is due."""

    def show(logbook: Logbook, today: str) -> dict[str, Any]:
        from rovlog.faces.reports.part_text import part_data, part_text
        from rovlog.usecases.part_history import part_history

        life = part_history(logbook, args.part, today)
        return answer(part_data(life), part_text(life, logbook.person_name))

    return _told(context, f"show {args.part}", show)


def run_due(args: Namespace, context: Context) -> int:
    """What is due; exit status 1 where something is past due."""
    return _told(context, "due", _due)


def _told(context: Context, what: str, make: Callable[[Logbook, str], dict[str, Any]]) -> int:
    """Say it; it changes with the files and, since something may be due by the calendar, with the day."""
    from rovlog.usecases.part_history import utc_day

    today = utc_day(context.book())
    return tell(context, ["part", what], lambda logbook: make(logbook, today), [today])


def _list(logbook: Logbook, today: str) -> dict[str, Any]:
    from rovlog.faces.reports.part_text import part_data, parts_text
    from rovlog.usecases.part_history import part_histories

    lives, notes = part_histories(logbook, today)
    data = {"parts": [part_data(life) for life in lives], "notes": list(notes)}
    return answer(data, parts_text(lives), [f"note: {note}" for note in notes])


def _due(logbook: Logbook, today: str) -> dict[str, Any]:
    from rovlog.faces.reports.part_text import due_data, due_rows, due_text
    from rovlog.usecases.part_history import part_histories

    lives, notes = part_histories(logbook, today)
    rows = due_rows(lives)
    data = [
        {"part": life.part, "name": life.name, "hours": round(life.hours, 3), **due_data(d)}
        for life, d in rows
    ]
    is_late = any(d.state == "past due" for _, d in rows)
    return answer(
        {"due": data, "notes": list(notes)},
        due_text(lives),
        [f"note: {note}" for note in notes],
        Status.FINDING if is_late else Status.FINE,
    )
