"""`rovlog init`: start a logbook."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace

from rovlog.faces.cli.context import Context, Status

SUMMARY = "Start a logbook in a folder: settings, checklists and schemas, under git."
EXAMPLE = """
rovlog init harbour-team --title "Harbour team" --person ada="Ada Lind:supervisor,pilot"
"""


def add_arguments(parser: ArgumentParser) -> None:
    """Folder, title and people."""
    parser.add_argument("folder", metavar="DIR", help="the folder; made if it is not there")
    parser.add_argument("--title", help="the team's name (default: the folder's name)")
    parser.add_argument(
        "--person",
        action="append",
        default=[],
        metavar='ID="NAME:ROLE,ROLE"',
        help="one of the team; again for each (default: git's user, in every role)",
    )


def run(args: Namespace, context: Context) -> int:
    """Start the logbook and say what to do next."""
    import os

    from rovlog.usecases.start_logbook import parse_person, start_logbook
    from rovlog.wiring import new_book

    people = dict(parse_person(p) for p in args.person)
    book = new_book(args.folder)
    title = args.title or os.path.basename(os.path.abspath(args.folder))
    started = start_logbook(book, title, people)
    text = (
        f"A logbook stands in {started.root}: logbook.yaml and {len(started.names) - 1} checklists.\n"
        "Next: write vehicles/, boxes/ and thrusters/, then `rovlog validate`.\n"
    )
    context.show(
        {"logbook": started.root, "files": list(started.names), "commit": started.commit.commit}, text
    )
    if started.commit.commit is None:
        context.note(f"not committed: {started.commit.reason}\n  mend: {started.commit.mend}")
    return Status.FINE
