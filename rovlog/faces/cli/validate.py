"""`rovlog validate`: check records and say how to mend what is wrong."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from typing import TYPE_CHECKING

from rovlog.faces.cli.context import Context, Status

if TYPE_CHECKING:
    from rovlog.problems import Problem
    from rovlog.usecases.validate_logbook import Validated

SUMMARY = "Check every record against its schema, its rules and the others; say how to mend what is wrong."
EXAMPLE = """
rovlog validate
rovlog validate vehicles/grebe.yaml
"""


def add_arguments(parser: ArgumentParser) -> None:
    """Which files."""
    parser.add_argument("paths", nargs="*", metavar="PATH", help="a record or folder (default: all)")
    parser.add_argument(
        "--whole",
        action="store_true",
        help="check the whole of each logbook around these files, from anywhere in a repository",
    )


def run(args: Namespace, context: Context) -> int:
    """Print every problem with its place, caret and mend."""
    from rovlog.usecases.validate_logbook import Validated, validate_logbook

    if not args.whole or context.folder is not None or not args.paths:
        book = context.book()
        only = [] if args.whole else [_inside(p, book.files.root) for p in args.paths]
        return _tell(context, validate_logbook(book, only))
    from rovlog.wiring import logbooks_around, open_book

    count = 0
    problems: list[Problem] = []
    notes: list[str] = []
    for root in logbooks_around(args.paths):
        found = validate_logbook(open_book(root))
        count += found.documents
        problems += [_from_here(p, root) for p in found.problems]
        notes += found.notes
    return _tell(context, Validated(count, tuple(problems), tuple(notes)))


def _tell(context: Context, found: Validated) -> int:
    from rovlog.faces.cli.errors import problem_data
    from rovlog.faces.reports.problem_text import problems_text

    count = len(found.problems)
    ending = "no problems" if not count else f"{count} problem{'s' if count > 1 else ''}"
    documents = f"{found.documents} document{'s' if found.documents != 1 else ''}: {ending}\n"
    text = (problems_text(found.problems) + "\n" if count else "") + documents
    context.show({"documents": found.documents, "problems": [problem_data(p) for p in found.problems]}, text)
    for note in found.notes:
        context.note(f"note: {note}")
    return Status.FINDING if count else Status.FINE


def _from_here(problem: Problem, root: str) -> Problem:
    """The problem with its file named from the current directory."""
    import os

    from rovlog.values import replace

    file = os.path.relpath(os.path.join(root, problem.place.file)).replace(os.sep, "/")
    return replace(problem, place=replace(problem.place, file=file))


def _inside(path: str, root: str) -> str:
    """The path as the logbook names it: people type it from where they stand."""
    import os

    for start in (os.getcwd(), root):
        full = os.path.realpath(os.path.join(start, path))
        if os.path.exists(full) and (full + os.sep).startswith(os.path.realpath(root) + os.sep):
            return os.path.relpath(full, os.path.realpath(root)).replace(os.sep, "/")
    return path
