"""Fakes of every port, in memory, with faults that can be switched on."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import datetime, timedelta

from rovlog.problems import GitError, NotRecordedError, UsageError
from rovlog.store.ids import FreshIds
from rovlog.store.names import checked_parts
from rovlog.store.shipped import ShippedFiles
from rovlog.usecases.ports import Book, Commit, CommitOutcome

MIB = 1 << 20


@dataclass
class FakeFiles:
    """A tree in memory.

    `room` is how many more bytes the disk takes (None: any); `is_read_only` refuses all writing;
    `failing_syncs` is how many of the next writes fail at fsync; `leaves_torn_tail` makes a failed
    append leave what the disk took, as a crash would.
    """

    tree: dict[str, bytes] = field(default_factory=dict)
    root: str = "/logbook"
    room: int | None = None
    is_read_only: bool = False
    failing_syncs: int = 0
    leaves_torn_tail: bool = False
    locked: set[str] = field(default_factory=set)
    locks_taken: list[str] = field(default_factory=list)

    def read(self, name: str) -> bytes:
        checked_parts(name)
        if name not in self.tree:
            is_folder = any(other.startswith(name + "/") for other in self.tree)
            reason = "it is a folder, not a file" if is_folder else "there is no such file"
            raise UsageError(f"{name} cannot be read: {reason}", "check the name")
        if len(self.tree[name]) > MIB:
            raise UsageError(f"{name} cannot be read: it is larger than 1 MiB", "look at it")
        return self.tree[name]

    def exists(self, name: str) -> bool:
        checked_parts(name)
        return name in self.tree

    def names(self, folder: str) -> list[str]:
        start = "" if folder in ("", ".") else folder + "/"
        return sorted(
            n for n in self.tree if n.startswith(start) and n.endswith(".yaml") and "/." not in f"/{n}"
        )

    def create(self, name: str, data: bytes) -> None:
        checked_parts(name)
        if name in self.tree:
            raise NotRecordedError(f"not recorded: {name} cannot be written: there is such a file already")
        self._take(name, data)
        self.tree[name] = data

    def replace(self, name: str, data: bytes, expected: bytes | None) -> None:
        if expected is None:
            self.create(name, data)
            return
        if self.tree.get(name) != expected:
            raise NotRecordedError(
                f"not recorded: {name} was changed by someone else in the meantime", "look"
            )
        self._take(name, data)
        self.tree[name] = data

    def append(self, name: str, data: bytes) -> None:
        before = self.tree.get(name)
        if before is None:
            raise NotRecordedError(f"not recorded: {name} cannot be written: there is no such file to add to")
        if before and not before.endswith(b"\n"):
            data = b"\n" + data
        room = self.room
        try:
            self._take(name, data)
        except NotRecordedError:
            if self.leaves_torn_tail:
                self.tree[name] = before + data[: room if room is not None else len(data)]
            raise
        self.tree[name] = before + data

    @contextmanager
    def lock(self, name: str) -> Iterator[None]:
        if name in self.locked:
            raise NotRecordedError(f"not recorded: {name} is being written by another program", "wait for it")
        self.locked.add(name)
        self.locks_taken.append(name)
        try:
            yield
        finally:
            self.locked.discard(name)

    def _take(self, name: str, data: bytes) -> None:
        if self.is_read_only:
            raise NotRecordedError(
                f"not recorded: {name} cannot be written: the disk is mounted read-only", "make it writable"
            )
        if self.room is not None and len(data) > self.room:
            raise NotRecordedError(
                f"not recorded: {name} cannot be written: the disk is full", "free some space"
            )
        if self.failing_syncs:
            self.failing_syncs -= 1
            raise NotRecordedError(
                f"not recorded: {name} cannot be written: the disk reports an error", "copy it"
            )
        if self.room is not None:
            self.room -= len(data)


@dataclass
class FakeHistory:
    """git in memory, over a FakeFiles: each commit keeps the whole tree.

    `user` None means that git knows no name or e-mail. `refusal` makes every commit answer with it.
    `broken` is a GitError that every method raises.
    """

    files: FakeFiles
    user: tuple[str, str] | None = ("Ada Test", "ada@example.invalid")
    refusal: CommitOutcome | None = None
    broken: GitError | None = None
    unusual: list[str] = field(default_factory=list)
    commits: list[Commit] = field(default_factory=list)  # oldest first
    trees: dict[str, dict[str, bytes]] = field(default_factory=dict)
    clock: FakeClock | None = None

    def commit(
        self, names: Sequence[str], message: str, author: tuple[str, str] | None = None, at: str | None = None
    ) -> CommitOutcome:
        self._check()
        if self.refusal:
            return self.refusal
        if self.user is None and at is None:
            return CommitOutcome(
                None, "git does not know who you are", "git config --global user.name 'Your Name'"
            )
        before = self.trees[self.commits[-1].commit] if self.commits else {}
        changed = tuple(sorted({n for n in names if self.files.tree.get(n) != before.get(n)}))
        if not changed:
            return CommitOutcome(self.head())
        tree = dict(before)
        for name in changed:
            if name in self.files.tree:
                tree[name] = self.files.tree[name]
            else:
                tree.pop(name, None)
        who, email = author or self.user or ("", "")
        when = at or (self.clock.now() if self.clock else "2026-06-13T09:00:00+01:00")
        text = repr((len(self.commits), who, when, message, sorted(tree.items())))
        commit = hashlib.sha1(text.encode()).hexdigest()
        self.commits.append(Commit(commit, who, email, when, message, changed))
        self.trees[commit] = tree
        return CommitOutcome(commit)

    def identity(self) -> tuple[str, str]:
        self._check()
        if self.user is None:
            raise GitError("git does not know who you are", "git config --global user.name 'Your Name'")
        return self.user

    def head(self) -> str | None:
        self._check()
        return self.commits[-1].commit if self.commits else None

    def expand(self, commit: str) -> str:
        self._check()
        if re.fullmatch(r"[0-9a-f]{4,64}", commit.lower()):
            found = [c.commit for c in self.commits if c.commit.startswith(commit.lower())]
            if len(found) == 1:
                return found[0]
        raise GitError(f"there is no commit {commit!r} here", "look for it with: git log --oneline")

    def read_at(self, commit: str, name: str) -> bytes | None:
        self._check()
        return self.trees[self.expand(commit)].get(name)

    def names_at(self, commit: str, folder: str) -> list[str]:
        self._check()
        start = "" if folder in ("", ".") else folder + "/"
        tree = self.trees[self.expand(commit)]
        return sorted(n for n in tree if n.startswith(start) and n.endswith(".yaml"))

    def log(self, folders: Iterable[str]) -> list[Commit]:
        self._check()
        wanted = list(folders)
        found = []
        for commit in reversed(self.commits):
            names = tuple(
                n for n in commit.names if not wanted or any(n == w or n.startswith(w + "/") for w in wanted)
            )
            if names:
                found.append(
                    Commit(commit.commit, commit.author, commit.email, commit.at, commit.message, names)
                )
        return found

    def stamp(self) -> str | None:
        return None if self.broken else "".join(self.trees)

    def state(self) -> list[str]:
        return list(self.unusual)

    def _check(self) -> None:
        if self.broken:
            raise self.broken


@dataclass
class FakeClock:
    """A clock that stands until it is moved; `jump` moves the wall clock alone."""

    at: str = "2026-06-13T09:00:00+01:00"
    elapsed_s: float = 0.0

    def now(self) -> str:
        return self.at

    def mono_s(self) -> float:
        return round(self.elapsed_s, 1)

    def advance(self, seconds: float) -> None:
        """Let time pass."""
        self.jump(seconds)
        self.elapsed_s += seconds

    def jump(self, seconds: float) -> None:
        """Set the wall clock, forward or back, without time passing."""
        moved = datetime.fromisoformat(self.at) + timedelta(seconds=seconds)
        self.at = moved.isoformat(timespec="seconds")


class FakeIds(FreshIds):
    """Ids that are the same in every run with the same seed."""

    def __init__(self, seed: int = 1) -> None:
        self._count = 0
        self._seed = seed
        super().__init__(self._bytes)

    def _bytes(self, count: int) -> bytes:
        self._count += 1
        return hashlib.shake_256(f"{self._seed}:{self._count}".encode()).digest(count)


@dataclass
class FakeCache:
    """A cache in memory; `is_off` makes it forget everything, as on a read-only logbook."""

    rows: dict[str, bytes] = field(default_factory=dict)
    is_off: bool = False

    def get_many(self, keys: Sequence[str]) -> dict[str, bytes]:
        return {} if self.is_off else {k: self.rows[k] for k in keys if k in self.rows}

    def put_many(self, rows: dict[str, bytes]) -> None:
        if not self.is_off:
            self.rows.update(rows)


class FakeShipped(ShippedFiles):
    """The real schemas and checklists; `refresh` only counts, since there is no folder to copy into."""

    def __init__(self) -> None:
        super().__init__("/nowhere")
        self.refreshed = 0

    def refresh(self) -> None:
        self.refreshed += 1


def fake_book(
    tree: dict[str, bytes | str] | None = None, writer: str = "north-laptop", seed: int = 1
) -> Book:
    """A logbook in memory. Its ports are the fakes above: `book.files.room = 100`, and so on."""
    clock = FakeClock()
    files = FakeFiles({n: t.encode() if isinstance(t, str) else t for n, t in (tree or {}).items()})
    history = FakeHistory(files, clock=clock)
    return Book(files, history, clock, FakeIds(seed), FakeCache(), FakeShipped(), writer)
