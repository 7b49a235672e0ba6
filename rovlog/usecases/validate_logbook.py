"""Checking every record of a logbook, or some files, and collecting every problem."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from typing import Any

from rovlog.problems import DocumentError, Place, Problem, UsageError
from rovlog.usecases.checklists_of import PHASES_OF_DIVE, missing_mend, missing_words
from rovlog.usecases.ports import Book
from rovlog.values import dataclass

SOUND_FORMAT = "2"
"""Part of every cache key: raise it when a rule for one document by itself changes."""

FOLDERS = ("vehicles", "boxes", "thrusters", "parts", "checklists", "approvals", "dives", "work")


@dataclass(frozen=True, slots=True)
class Validated:
    """How many documents were read, every problem found, sorted by place, and what is told beside them.

    `notes` are the lists a dive needs and has not: no file is wrong for it, and each dive is stopped by it.
    """

    documents: int
    problems: tuple[Problem, ...]
    notes: tuple[str, ...] = ()


def validate_logbook(book: Book, only: Sequence[str] = ()) -> Validated:
    """Check the whole logbook, or (with `only`) report on those names and folders alone.

    References are checked against the whole logbook either way. Raises UsageError where a name in
    `only` is neither a file nor a folder with records.
    """
    names = every_name(book)
    wanted = set(names) if not only else set(_chosen(names, only, book))
    count = len(wanted)
    problems, trees = read_trees(book, sorted(set(names) | wanted))
    from rovlog.documents.rules import check_together

    problems += check_together(trees, sorted((set(names) | wanted) - set(trees)))
    problems += _lists_changed(trees)
    kept = _told_once([p for p in problems if p.place.file in wanted])
    notes = _lists_gone(trees, names) if not only or "checklists" in (o.strip("/") for o in only) else []
    return Validated(count, tuple(sorted(kept, key=lambda p: (p.place, p.rule, p.pointer))), tuple(notes))


def every_name(book: Book) -> list[str]:
    """All records of the logbook, logbook.yaml first."""
    return ["logbook.yaml", *(n for f in FOLDERS for n in book.files.names(f))]


def read_trees(book: Book, names: Sequence[str]) -> tuple[list[Problem], dict[str, Any]]:
    """Read and check each file; the trees of those that could be read at all.

    A file without a problem is remembered by its content: neither parsed nor checked by itself again.
    """
    from rovlog.documents.tree import KnownTree

    problems: list[Problem] = []
    trees: dict[str, Any] = {}
    found: dict[str, bytes] = {}
    for name in names:
        try:
            found[name] = book.files.read(name)
        except UsageError as error:
            problems.append(_unreadable(name, error))
    keys = {name: _key(book, name, data) for name, data in found.items()}
    known = book.cache.get_many(list(keys.values()))
    fresh: dict[str, bytes] = {}
    for name, data in found.items():
        kept = known.get(keys[name])
        if kept is not None:
            trees[name] = KnownTree(json.loads(kept), data, name)
            continue
        tree, wrong = _checked(book, name, data)
        problems += wrong
        if tree is not None:
            trees[name] = tree
            if not wrong:
                fresh[keys[name]] = json.dumps(tree.value, ensure_ascii=False).encode()
    book.cache.put_many(fresh)
    return problems, trees


def _told_once(problems: list[Problem]) -> list[Problem]:
    """Without a number's own range where what it refers to says more narrowly what it may be."""
    narrow = {(p.place, p.pointer) for p in problems if p.rule == "channel-out-of-range"}
    return [p for p in problems if p.rule != "out-of-range" or (p.place, p.pointer) not in narrow]


def _lists_gone(trees: Mapping[str, Any], names: Sequence[str]) -> list[str]:
    """The phases of a dive for which no list is on file, or none that applies to each vehicle."""
    found = []
    stems = [n.rpartition("/")[2].removesuffix(".yaml") for n in names if n.startswith("vehicles/")]
    held = [t.value for n, t in trees.items() if n.startswith("checklists/") and isinstance(t.value, dict)]
    for phase in PHASES_OF_DIVE:
        name = f"checklists/{phase}.yaml"
        mine = [list_ for list_ in held if list_.get("phase") == phase]
        if name in names and not mine:
            continue  # it is there and has a problem of its own
        for vehicle in [""] if not mine else stems:
            if any(_is_for(list_.get("applies_to", "all"), vehicle) for list_ in mine):
                continue
            mend = missing_mend(phase) if not vehicle else f"name {vehicle} under applies_to of such a list"
            found.append(f"{missing_words(phase, vehicle)}; a dive is stopped by it; mend: {mend}")
    return found


def _lists_changed(trees: Mapping[str, Any]) -> list[Problem]:
    """The lists that say something else under their revision than a dive or work was started with."""
    from rovlog.usecases.list_control import CLEARS, changed_words, held_lists, list_digest

    starts = []
    for name, tree in trees.items():
        if name.startswith(("dives/", "work/")) and isinstance(tree.value, dict):
            for entry in (tree.value.get("entries") or ())[:1]:
                if isinstance(entry, dict) and isinstance(entry.get("lists"), dict):
                    stem = name.rpartition("/")[2].removesuffix(".yaml")
                    starts.append((str(entry.get("at", "")), stem, entry["lists"]))
    held = held_lists((stem, lists) for _, stem, lists in sorted(starts, key=lambda s: s[:2]))
    found = []
    for name, tree in trees.items():
        document = tree.value
        if not name.startswith("checklists/") or not isinstance(document, dict) or not held:
            continue
        list_, revision = str(document.get("checklist")), document.get("revision")
        known = held.get((list_, revision)) if isinstance(revision, int) else None
        if known is not None and known.digest != list_digest(document):
            found.append(
                Problem(
                    Place(name, 1, 1),
                    "/revision",
                    "list-changed",
                    changed_words(list_, int(revision or 0), known),
                    f"revision {revision} with another content",
                    f"what it said in {known.where}, or a higher revision",
                    CLEARS.format(list=list_),
                )
            )
    return found


def _is_for(applies_to: object, vehicle: str) -> bool:
    rows = applies_to if isinstance(applies_to, list) else [applies_to]
    return "all" in rows or vehicle in rows


def _checked(book: Book, name: str, data: bytes) -> tuple[Any, list[Problem]]:
    from rovlog.documents.schema import check_document
    from rovlog.documents.tree import read

    try:
        tree = read(data, name)
    except DocumentError as error:
        from rovlog.documents.records import torn_problem

        torn = torn_problem(data, name) if name.startswith(("dives/", "work/")) else None
        return None, [torn] if torn is not None else list(error.problems)
    return tree, check_document(tree, name, book.shipped.schemas())


def _key(book: Book, name: str, data: bytes) -> str:
    from hashlib import sha256

    from rovlog import __version__

    version = f"{SOUND_FORMAT}:{__version__}:{book.shipped.schemas_digest()}"
    return f"sound:{version}:{name}:{sha256(data).hexdigest()}"


def _unreadable(name: str, error: UsageError) -> Problem:
    return Problem(
        Place(name, 1, 1), "", "unreadable", error.message, "nothing readable", "a record", error.mend
    )


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
