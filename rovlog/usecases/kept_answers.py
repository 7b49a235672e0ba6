"""Answers of questions that only read: kept until anything they were made from changes.

Kept in the index with a digest over every file of the logbook, the state of git's history, and the
program itself; an answer is taken from there only while all of these are what they were. What else an
answer may have come from is watched while it is made: the clock, drawn ids, git's settings, a file that
is no YAML or that changed meanwhile. One that asked any of these is given and not kept.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from contextlib import AbstractContextManager
from hashlib import sha256
from typing import Any

from rovlog.problems import UsageError
from rovlog.usecases.ports import Book, Files
from rovlog.values import replace

KEPT_FORMAT = "1"
"""Part of every digest: raise it when what is kept changes its shape."""

_OF_HISTORY = frozenset({"log", "names_at", "read_at", "head", "expand"})
"""What git answers by its commits alone; they are told apart by the state of its history."""


def kept_answer(
    book: Book,
    question: Sequence[Any],
    make: Callable[[Book], Any],
    given: Sequence[Any] = (),
    within: Sequence[str] = ("",),
) -> Any:
    """What `make` answers of this logbook, as plain JSON values, made anew only where it may differ.

    `question` names the command with everything it was given; `given` is what else the answer comes
    from, such as the day. `make` must use the book it is given. Where it looks into a few folders only,
    `within` names them, and no other file is read to tell whether anything changed; an answer that
    looked elsewhere after all is not kept.
    """
    digests = {n: _digest(book.files, n)[0] for folder in within for n in book.files.names(folder)}
    history = book.history.stamp()
    if history is None:
        return _plain(make(book))
    key = f"answer:{sha256(json.dumps([*question]).encode()).hexdigest()}"
    basis = [KEPT_FORMAT, book.shipped.program(), history, book.writer, [*given], sorted(digests.items())]
    state = sha256(json.dumps(basis).encode()).hexdigest().encode()
    known = book.cache.get_many([key]).get(key)
    if known is not None and known.startswith(state):
        return json.loads(known[len(state) :])
    watch = _Watch()
    watched: Any = {
        "files": _WatchedFiles(book.files, watch, digests, within),
        "history": _WatchedPort(book.history, watch, _OF_HISTORY),
        "clock": _WatchedPort(book.clock, watch),
        "ids": _WatchedPort(book.ids, watch),
    }
    answer = json.dumps(make(replace(book, **watched)), ensure_ascii=False)
    if watch.is_sound:
        book.cache.put_many({key: state + answer.encode()})
    return json.loads(answer)


def _plain(value: Any) -> Any:
    return json.loads(json.dumps(value))


def _digest(files: Files, name: str) -> tuple[str, bytes | UsageError]:
    """A file's digest and its bytes; of one that cannot be read, why."""
    try:
        data = files.read(name)
    except UsageError as error:
        return f"unreadable: {error.message}", error
    return sha256(data).hexdigest(), data


class _Watch:
    """Whether what was asked so far can be told from files and commits alone."""

    is_sound = True


class _WatchedPort:
    """A port that is passed through; asking it for anything but what is harmless is noticed."""

    def __init__(self, port: Any, watch: _Watch, harmless: frozenset[str] = frozenset()) -> None:
        self._port, self._watch, self._harmless = port, watch, harmless

    def __getattr__(self, name: str) -> Any:
        if name not in self._harmless:
            self._watch.is_sound = False
        return getattr(self._port, name)


class _WatchedFiles:
    """The logbook's files; one that is not as it was digested is noticed, and so is any writing."""

    def __init__(self, files: Files, watch: _Watch, digests: dict[str, str], within: Sequence[str]) -> None:
        self._files, self._watch, self._known, self._within = files, watch, digests, within

    @property
    def root(self) -> str:
        return self._files.root

    def read(self, name: str) -> bytes:
        digest, found = _digest(self._files, name)
        self._expect(self._known.get(name) == digest)
        if isinstance(found, UsageError):
            raise found
        return found

    def exists(self, name: str) -> bool:
        found = self._files.exists(name)
        self._expect(self._covers(name) and name.endswith(".yaml") and found == (name in self._known))
        return found

    def names(self, folder: str) -> list[str]:
        found = self._files.names(folder)
        start = "" if folder in ("", ".") else f"{folder}/"
        self._expect(self._covers(folder) and found == [n for n in self._known if n.startswith(start)])
        return found

    def create(self, name: str, data: bytes) -> None:
        self._expect(False)
        self._files.create(name, data)

    def replace(self, name: str, data: bytes, expected: bytes | None) -> None:
        self._expect(False)
        self._files.replace(name, data, expected)

    def append(self, name: str, data: bytes) -> None:
        self._expect(False)
        self._files.append(name, data)

    def lock(self, name: str) -> AbstractContextManager[None]:
        self._expect(False)
        return self._files.lock(name)

    def _covers(self, name: str) -> bool:
        return any(f in ("", name) or name.startswith(f"{f}/") for f in self._within)

    def _expect(self, is_so: bool) -> None:
        self._watch.is_sound = self._watch.is_sound and is_so
