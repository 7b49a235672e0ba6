"""Words of this logbook that a shell may offer while a command is typed: quick, and never an error."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from rovlog.domain.dive import MARKS, VOID_EVENTS
from rovlog.problems import RovlogError
from rovlog.usecases.logbook import Logbook

NEWEST = 60
"""Records offered at most, the newest first: a shell is no list of ten years of dives."""


def complete_words(logbook: Logbook, kind: str) -> list[str]:
    """The words of a kind (see `KINDS`); [] for another kind, or where they cannot be read."""
    find = KINDS.get(kind)
    if find is None:
        return []
    try:
        return list(dict.fromkeys(find(logbook)))
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


def _items(logbook: Logbook) -> Iterable[str]:
    for name in logbook.book.files.names("checklists"):
        for section in logbook.document(name).get("sections", []):
            for item in section.get("items", []):
                yield str(item["item"])


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
    "marks": lambda logbook: MARKS,
    "events": lambda logbook: VOID_EVENTS,
}
"""What can be asked for, and how it is found."""
