"""`rovlog demo`: a demonstration logbook with history, then the app."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace

from rovlog.faces.cli.context import Context, Status

SUMMARY = "Make a demonstration logbook: an invented team's season with two vehicles, then open it."
EXAMPLE = """
rovlog demo larkwater
rovlog demo larkwater --no-open
"""


def add_arguments(parser: ArgumentParser) -> None:
    """Folder, and whether to open it."""
    parser.add_argument("folder", metavar="DIR", help="the folder; made if it is not there, else empty")
    parser.add_argument("--no-open", action="store_true", help="do not open the app afterwards")


def run(args: Namespace, context: Context) -> int:
    """Make it, say what to try, and open it where there is a terminal."""
    from rovlog.faces.cli.open_app import is_terminal
    from rovlog.faces.reports.demo_text import demo_data, demo_text
    from rovlog.usecases.demonstration.make_demonstration import (
        demonstration_ids,
        make_demonstration,
        new_clock,
    )
    from rovlog.usecases.demonstration.team import WRITER
    from rovlog.wiring import new_book, repeatable_ids

    _require_empty(args.folder)
    clock = new_clock()
    ids = demonstration_ids(repeatable_ids)
    book = new_book(args.folder, clock, ids, WRITER, own_repository=True)
    context.note("making the demonstration, some ten seconds …")
    made = make_demonstration(book, clock)
    context.show(demo_data(made), demo_text(made))
    if args.no_open or context.json or not is_terminal():
        return Status.FINE
    from rovlog.faces.cli.open_app import run as open_app

    return open_app(Context(made.root, False, context.out, context.err))


def _require_empty(folder: str) -> None:
    """Raise UsageError for a folder with anything in it: a demonstration never mixes with real records."""
    import os

    from rovlog.problems import UsageError

    if os.path.lexists(folder) and not (os.path.isdir(folder) and not os.listdir(folder)):
        raise UsageError(f"{folder} is not an empty folder", "name a new one: rovlog demo DIR")
