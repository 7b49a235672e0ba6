"""Words of this logbook that a shell may offer while a command is typed: quick, and never an error."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import Any

from rovlog.domain.axes import DEMANDS
from rovlog.domain.dive import MARKS, ROLES, VOID_EVENTS
from rovlog.problems import RovlogError
from rovlog.usecases.logbook import Logbook

NEWEST = 60
"""Records offered at most, the newest first: a shell is no list of ten years of dives."""


def complete_words(logbook: Logbook, kind: str, line: Sequence[str] = ()) -> list[str]:
    """The words of a kind (see `KINDS`); [] for another kind, or where they cannot be read.

    `line` are the words typed so far: some kinds depend on the item, list or vehicle among them.
    """
    find, look = KINDS.get(kind), ON_THE_LINE.get(kind)
    if find is None and look is None:
        return []
    try:
        return list(dict.fromkeys(look(logbook, line) if look is not None else find(logbook)))  # type: ignore[misc]
    except RovlogError:
        # Somebody is in the middle of typing: a broken file is for `rovlog validate` to tell.
        return []


def _newest(logbook: Logbook, folder: str) -> list[str]:
    """Ids of the newest records by their file names; parts of other laptops are left out."""
    stems = [n.rpartition("/")[2].removesuffix(".yaml") for n in logbook.book.files.names(folder)]
    whole = [s for s in stems if "." not in s]
    return sorted(whole, key=lambda s: s[-13:], reverse=True)[:NEWEST]


def _subjects(logbook: Logbook, folder: str) -> Iterable[str]:
    yield from logbook.vehicles()
    for stem in _newest(logbook, folder):
        if not logbook.record(stem).is_closed:
            yield stem


def _open_dives(logbook: Logbook) -> Iterable[str]:
    return _subjects(logbook, "dives")


def _open_work(logbook: Logbook) -> Iterable[str]:
    yield from _subjects(logbook, "work")
    yield from logbook.stems("boxes")


def _dives(logbook: Logbook) -> Iterable[str]:
    return [*logbook.vehicles(), *_newest(logbook, "dives")]


def _records(logbook: Logbook) -> Iterable[str]:
    return [*_dives(logbook), *_newest(logbook, "work")]


def _configurations(logbook: Logbook) -> Iterable[str]:
    for vehicle in logbook.vehicles():
        yield vehicle
        for name in logbook.book.files.names(f"approvals/{vehicle}"):
            stem = name.rpartition("/")[2].removesuffix(".yaml")
            if not stem.endswith("-withdrawn"):
                yield f"{vehicle}@{stem.partition('-')[0].removeprefix('r')}"


def _sections(logbook: Logbook) -> Iterable[tuple[str, dict[str, Any]]]:
    for name in logbook.book.files.names("checklists"):
        try:
            document = logbook.document(name)
        except RovlogError:
            continue  # the other lists have words too
        for section in document.get("sections", []):
            yield str(document["checklist"]), section


def _item_rows(logbook: Logbook) -> Iterable[dict[str, Any]]:
    for _, section in _sections(logbook):
        yield from section.get("items", [])


def _items(logbook: Logbook) -> Iterable[str]:
    return (str(item["item"]) for item in _item_rows(logbook))


def _points(logbook: Logbook) -> Iterable[str]:
    return (str(item["item"]) for item in _item_rows(logbook) if item.get("kind") == "release")


def _values(logbook: Logbook, line: Sequence[str]) -> Iterable[str]:
    """Names of the values of the item on the line, each with its equals sign; choices in full."""
    from rovlog.documents.checklist import checklist_from

    told = {word.casefold() for word in line}
    for name in logbook.book.files.names("checklists"):
        try:
            checklist = logbook.made(name, checklist_from)
        except RovlogError:
            continue
        for item in checklist.items():
            if item.item in told or item.code.casefold() in told:
                for ask in item.asks:
                    yield from (f"{ask.value}={o}" for o in ask.options) if ask.options else [f"{ask.value}="]


def _crew(logbook: Logbook) -> Iterable[str]:
    for role in ROLES:
        for person, row in logbook.settings().people.items():
            if role in row.roles:
                yield f"{role}={person}"


def _symptoms(logbook: Logbook) -> Iterable[str]:
    yield from (f"{demand}-{ending}" for demand in DEMANDS for ending in ("weak", "reversed", "dead"))
    yield from ("fuse-opened", "sinks", "rises")


def _controls(logbook: Logbook) -> Iterable[str]:
    for box in logbook.stems("boxes"):
        for scheme in (logbook.box(box).get("steering_schemes") or {}).values():
            yield from (f"{row['control']}=" for row in scheme.get("controls", []))


def _groups(logbook: Logbook, line: Sequence[str]) -> Iterable[str]:
    for checklist, section in _sections(logbook):
        if checklist in line:
            yield str(section["section"])


def _pointers(logbook: Logbook, line: Sequence[str]) -> Iterable[str]:
    from rovlog.domain.drift.leaves import leaves
    from rovlog.usecases.configurations import working

    named = [v for v in logbook.vehicles() if v in line] or logbook.vehicles()
    for vehicle in named:
        yield from leaves(working(logbook, vehicle).resolved)


def _subject_ids(logbook: Logbook) -> Iterable[str]:
    return [*logbook.vehicles(), *logbook.stems("boxes")]


KINDS: dict[str, Callable[[Logbook], Iterable[str]]] = {
    "vehicles": Logbook.vehicles,
    "configurations": _configurations,
    "open-dives": _open_dives,
    "open-work": _open_work,
    "dives": _dives,
    "records": _records,
    "subjects": _subject_ids,
    "boxes": lambda logbook: logbook.stems("boxes"),
    "parts": lambda logbook: logbook.stems("parts"),
    "checklists": lambda logbook: logbook.stems("checklists"),
    "people": lambda logbook: logbook.settings().people,
    "items": _items,
    "points": _points,
    "crew": _crew,
    "symptoms": _symptoms,
    "trims": lambda logbook: [f"{demand}=" for demand in DEMANDS],
    "controls": _controls,
    "marks": lambda logbook: MARKS,
    "events": lambda logbook: VOID_EVENTS,
}
"""What can be asked for, and how it is found."""

ON_THE_LINE: dict[str, Callable[[Logbook, Sequence[str]], Iterable[str]]] = {
    "values": _values,
    "groups": _groups,
    "pointers": _pointers,
}
"""The same for what depends on the words that stand on the line already."""
