"""Checking every record of a logbook, or some files, and collecting every problem."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from rovlog.problems import DocumentError, Place, Problem, UsageError
from rovlog.usecases.ports import Book

FOLDERS = ("vehicles", "boxes", "thrusters", "parts", "checklists", "approvals", "dives", "work")


@dataclass(frozen=True, slots=True)
class Validated:
    """How many documents were read, and every problem found, sorted by place."""

    documents: int
    problems: tuple[Problem, ...]


def validate_logbook(book: Book, only: Sequence[str] = ()) -> Validated:
    """Check the whole logbook, or (with `only`) report on those names and folders alone.

    References are checked against the whole logbook either way. Raises UsageError where a name in
    `only` is neither a file nor a folder with records.
    """
    names = every_name(book)
    wanted = set(names) if not only else set(_chosen(names, only, book))
    problems, trees = read_trees(book, sorted(set(names) | wanted))
    from rovlog.documents.rules import check_together

    problems += check_together(trees)
    kept = [p for p in problems if p.place.file in wanted]
    return Validated(len(wanted), tuple(sorted(kept, key=lambda p: (p.place, p.rule, p.pointer))))


def every_name(book: Book) -> list[str]:
    """All records of the logbook, logbook.yaml first."""
    return ["logbook.yaml", *(n for f in FOLDERS for n in book.files.names(f))]


def read_trees(book: Book, names: Sequence[str]) -> tuple[list[Problem], dict[str, Any]]:
    """Read and check each file; the trees of those that could be read at all."""
    from rovlog.documents.schema import check_document
    from rovlog.documents.tree import read

    schemas = book.shipped.schemas()
    problems: list[Problem] = []
    trees: dict[str, Any] = {}
    for name in names:
        try:
            tree = read(book.files.read(name), name)
        except DocumentError as error:
            problems += error.problems
            continue
        except UsageError as error:
            problems.append(
                Problem(
                    Place(name, 1, 1),
                    "",
                    "unreadable",
                    error.message,
                    "nothing readable",
                    "a record",
                    error.mend,
                )
            )
            continue
        trees[name] = tree
        problems += check_document(tree, name, schemas)
    return problems, trees


def _chosen(names: Sequence[str], only: Sequence[str], book: Book) -> list[str]:
    chosen: list[str] = []
    for asked in only:
        name = asked.strip("/")
        inside = [n for n in names if n == name or n.startswith(name + "/")]
        if not inside and not book.files.exists(name):
            raise UsageError(
                f"{asked} is neither a record nor a folder of records", "name it from the logbook's folder"
            )
        chosen += inside or [name]
    return chosen
