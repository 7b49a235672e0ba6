"""`rovlog validate`: check records and say how to mend what is wrong."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace

from rovlog.faces.cli.context import Context, Status

SUMMARY = "Check every record against its schema, its rules and the others; say how to mend what is wrong."
EXAMPLE = """
rovlog validate
rovlog validate vehicles/grebe.yaml
"""


def add_arguments(parser: ArgumentParser) -> None:
    """Which files."""
    parser.add_argument("paths", nargs="*", metavar="PATH", help="a record or folder (default: all)")


def run(args: Namespace, context: Context) -> int:
    """Print every problem with its place, caret and mend."""
    from rovlog.faces.cli.errors import problem_data
    from rovlog.faces.reports.problem_text import problems_text
    from rovlog.usecases.validate_logbook import validate_logbook

    book = context.book()
    found = validate_logbook(book, [_inside(p, book.files.root) for p in args.paths])
    count = len(found.problems)
    ending = "no problems" if not count else f"{count} problem{'s' if count > 1 else ''}"
    documents = f"{found.documents} document{'s' if found.documents != 1 else ''}: {ending}\n"
    text = (problems_text(found.problems) + "\n" if count else "") + documents
    context.show({"documents": found.documents, "problems": [problem_data(p) for p in found.problems]}, text)
    return Status.FINDING if count else Status.FINE


def _inside(path: str, root: str) -> str:
    """The path as the logbook names it: people type it from where they stand."""
    import os

    for start in (os.getcwd(), root):
        full = os.path.realpath(os.path.join(start, path))
        if os.path.exists(full) and (full + os.sep).startswith(os.path.realpath(root) + os.sep):
            return os.path.relpath(full, os.path.realpath(root)).replace(os.sep, "/")
    return path
