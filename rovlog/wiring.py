"""The only place where a port meets its adapter."""

from __future__ import annotations

import os
from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from rovlog.problems import UsageError
from rovlog.store.cache import SqliteCache
from rovlog.store.clock import RUN, SystemClock
from rovlog.store.files import DiskFiles
from rovlog.store.given_file import read_given, read_piped
from rovlog.store.history import GitHistory, initialise
from rovlog.store.ids import FreshIds
from rovlog.store.shipped import ShippedFiles
from rovlog.store.writer import this_writer
from rovlog.usecases.ports import Book, Clock, Ids

__all__ = [
    "box_ports",
    "emitter",
    "found_typefaces",
    "logbooks_around",
    "new_book",
    "open_book",
    "piped_line",
    "pretend_box",
    "read_given",
    "read_piped",
    "repeatable_ids",
    "write_report",
]

if TYPE_CHECKING:
    from rovlog.store.pretend_box import PretendBox
    from rovlog.usecases.box_port import BoxLine, BoxPort

WRITTEN_BY_HAND = ("vehicles", "boxes", "thrusters", "parts")
"""Folders a person writes into first: made with the logbook, so that an editor finds them."""

MARKER = "logbook.yaml"
"""The file that makes a folder a logbook."""


def open_book(folder: str | None = None) -> Book:
    """The logbook in this folder, or (None) the one around the current directory.

    Raises:
        UsageError: there is none.
    """
    root = _around() if folder is None else _given(folder)
    book = _book(root)
    book.shipped.refresh()
    return book


def logbooks_around(paths: Sequence[str]) -> list[str]:
    """The folders of the logbooks in which these files lie, each once; files in none are left out."""
    found = []
    for path in paths:
        folder = os.path.dirname(os.path.realpath(path))
        while not os.path.lexists(os.path.join(folder, MARKER)):
            above = os.path.dirname(folder)
            if above == folder:
                break
            folder = above
        else:
            if folder not in found:
                found.append(folder)
    return found


def new_book(
    folder: str,
    clock: Clock | None = None,
    ids: Ids | None = None,
    writer: str | None = None,
    own_repository: bool = False,
) -> Book:
    """A folder to become a logbook: made where missing, under git (`git init` if it is not yet).

    The demonstration gives its own clock, ids and writer, to be the same each time, and wants a
    repository of its own, so that its invented commits never land in one around the folder.

    Raises:
        UsageError: the folder cannot be made or is a logbook already.
        GitError: git is missing or refuses.
    """
    root = os.path.realpath(folder)
    if os.path.lexists(os.path.join(root, MARKER)):
        raise UsageError(f"{folder} is a logbook already", "open it, or choose another folder")
    around = logbooks_around([root])
    if around:
        raise UsageError(
            f"{folder} lies inside the logbook {around[0]}", "choose a folder outside of it, or open that one"
        )
    try:
        for inner in ("", *WRITTEN_BY_HAND):
            os.makedirs(os.path.join(root, inner), exist_ok=True)
    except OSError as error:
        raise UsageError(
            f"the folder {folder} cannot be made: {os.strerror(error.errno or 0)}", "choose another place"
        ) from error
    initialise(root, own_repository)
    book = _book(root, clock, ids, writer)
    book.shipped.refresh()
    return book


def emitter() -> tuple[str, str]:
    """The folder with the C emitter of readback sentences, and the text that describes them."""
    from rovlog.store.emitter_files import emitter as texts

    return texts()


def found_typefaces() -> tuple[str, ...]:
    """The typefaces of this machine that a page may use."""
    from rovlog.store.typefaces import found_typefaces as found

    return found()


def write_report(path: str, data: bytes) -> None:
    """Write a report where a person asked for it: the whole file or nothing. Raises UsageError."""
    from rovlog.store.report_file import write_report as write

    write(path, data)


def repeatable_ids(draw: Callable[[int], bytes]) -> Ids:
    """Ids drawn from this source of bytes instead of the system's chance, for the demonstration."""
    return FreshIds(draw)


def box_ports() -> BoxPort:
    """The serial ports of this machine; none is opened by asking for them."""
    from rovlog.store.serial_port import SerialPorts

    return SerialPorts()


def piped_line() -> BoxLine:
    """Standard input, read as a box's line."""
    from rovlog.store.piped_line import PipedLine

    return PipedLine()


def pretend_box(
    held: Mapping[str, Any], misbehaves: frozenset[str], period_s: float, after_s: float | None
) -> PretendBox:
    """A stand-in box on a pseudo-terminal that holds this setup; enter it to bring it to life.

    Raises:
        UsageError: there is no such misbehaviour.
    """
    from rovlog.store.pretend_box import MISBEHAVIOURS, PretendBox, PretendSetup

    for word in misbehaves:
        if word not in MISBEHAVIOURS:
            raise UsageError(
                f"a stand-in box cannot misbehave by {word!r}",
                "it can: " + "; ".join(f"{k} ({v})" for k, v in MISBEHAVIOURS.items()),
            )
    return PretendBox(PretendSetup(**held), misbehaves, period_s, after_s)


def _book(root: str, clock: Clock | None = None, ids: Ids | None = None, writer: str | None = None) -> Book:
    files = DiskFiles(root)
    return Book(
        files=files,
        history=GitHistory(files),
        clock=clock or SystemClock(),
        ids=ids or FreshIds(),
        cache=SqliteCache(files.root),
        shipped=ShippedFiles(files.root),
        writer=writer or this_writer(),
        run="" if clock else RUN,
    )


def _given(folder: str) -> str:
    if not os.path.isdir(folder):
        raise UsageError(f"there is no folder {folder}", "check --logbook, or make one: rovlog init DIR")
    if not os.path.lexists(os.path.join(folder, MARKER)):
        raise UsageError(
            f"{folder} is not a logbook: it holds no {MARKER}",
            f"check --logbook, or make one there: rovlog init {folder}",
        )
    return folder


def _around() -> str:
    try:
        start = os.getcwd()
    except FileNotFoundError:
        raise UsageError("the current directory is gone", "change to another one: cd") from None
    folder = start
    while not os.path.lexists(os.path.join(folder, MARKER)):
        parent = os.path.dirname(folder)
        if parent == folder:
            raise UsageError(
                f"there is no logbook here: neither {start} nor a folder around it holds {MARKER}",
                "change into a logbook, give --logbook DIR, or make one: rovlog init DIR",
            )
        folder = parent
    return folder
