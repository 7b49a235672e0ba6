"""The ports: what leaves the process, in our words. Adapters are in `rovlog.store`, fakes in the tests."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from contextlib import AbstractContextManager
from typing import Protocol

from rovlog.values import dataclass


@dataclass(frozen=True, slots=True)
class Commit:
    """One commit that touched the logbook: full hash, author, RFC 3339 time, message, names touched."""

    commit: str
    author: str
    email: str
    at: str
    message: str
    names: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class CommitOutcome:
    """`commit` is the new commit's hash, or None with the reason in one sentence and its mend.

    A commit that was made has a reason too where a person should know something about it.
    """

    commit: str | None
    reason: str = ""
    mend: str = ""


class Files(Protocol):
    """The logbook's tree. Names are relative to it, with forward slashes ("vehicles/kelpie.yaml").

    Only regular files are opened, links are not followed, and a name that leaves the tree is
    refused. Reading raises UsageError in one clear sentence (missing, a directory in place of a
    file, no permission); writing raises NotRecordedError and leaves what stood before.
    """

    @property
    def root(self) -> str:
        """The logbook's folder, as an absolute path, for messages."""

    def read(self, name: str) -> bytes:
        """The whole file; at most 1 MiB, else UsageError."""

    def exists(self, name: str) -> bool:
        """True for a regular file."""

    def names(self, folder: str) -> list[str]:
        """Names of all *.yaml files below the folder, recursively, sorted; [] where it is missing.

        Leftovers (temporary files, dot files) are left out.
        """

    def create(self, name: str, data: bytes) -> None:
        """Write a new file durably (file and every folder just made are on disk); refuses an existing one."""

    def replace(self, name: str, data: bytes, expected: bytes | None) -> None:
        """Replace a file durably and atomically; refuses if its bytes are no longer `expected`."""

    def append(self, name: str, data: bytes) -> None:
        """Append durably. If the file does not end in a line end, one is put before the data."""

    def lock(self, name: str) -> AbstractContextManager[None]:
        """An exclusive lock between processes, held in .rovlog/locks; a dead holder's lock is free."""


class History(Protocol):
    """git, through one wrapper. Every method raises GitError in one clear sentence with the mend."""

    def commit(
        self, names: Sequence[str], message: str, author: tuple[str, str] | None = None, at: str | None = None
    ) -> CommitOutcome:
        """Commit these files as they are on disk, by plumbing, on the branch that is checked out.

        Other staged changes and files stay as they are. During a merge, rebase, cherry-pick or
        with a broken repository nothing is committed and the outcome says why; files committed
        already without change give the current commit. `author` is (name, email), else git's own.
        `at` (RFC 3339) sets author and committer time; only the demonstration uses it.
        """

    def identity(self) -> tuple[str, str]:
        """git's user name and e-mail; GitError with the mend where either is missing."""

    def head(self) -> str | None:
        """The commit checked out, or None before the first."""

    def expand(self, commit: str) -> str:
        """The full hash of an abbreviated commit id (hexadecimal only); GitError where unknown."""

    def read_at(self, commit: str, name: str) -> bytes | None:
        """A file's bytes in a commit, None where it is not in it."""

    def names_at(self, commit: str, folder: str) -> list[str]:
        """Names of *.yaml files below the folder in a commit."""

    def log(self, folders: Iterable[str]) -> list[Commit]:
        """Commits reachable from HEAD that touched these files or folders, newest first, with names."""

    def stamp(self) -> str | None:
        """Changes whenever the commits that HEAD reaches may have; None where that cannot be told."""

    def state(self) -> list[str]:
        """What makes the repository unusual, a sentence each: merge under way, shallow, replaced refs, …"""


class Clock(Protocol):
    """The clock. `now` is RFC 3339 with seconds and the local offset; `mono_s` runs while the lid is shut."""

    def now(self) -> str:
        """Wall clock, e.g. 2026-06-13T09:31:55+01:00."""

    def mono_s(self) -> float:
        """Seconds since this program started, one decimal."""


class Ids(Protocol):
    """New identities."""

    def ulid(self, at: str) -> str:
        """A ULID with the time of `at`; rising within one process."""

    def letters(self, count: int) -> str:
        """Lower-case ASCII letters, drawn at random."""


class Cache(Protocol):
    """Derived, disposable: bytes by key in .rovlog/index.sqlite. Losing it costs time, nothing else."""

    def get_many(self, keys: Sequence[str]) -> dict[str, bytes]:
        """What is known of these keys; never raises."""

    def put_many(self, rows: dict[str, bytes]) -> None:
        """Keep these; never raises (a read-only logbook simply has no cache)."""


class Shipped(Protocol):
    """What rovlog brings along: its schemas and its checklists."""

    def schemas(self) -> dict[str, dict[str, object]]:
        """JSON Schemas by kind ("vehicle", "dive", …), as parsed JSON."""

    def schemas_digest(self) -> str:
        """A short digest over all schemas; changes whenever one of them does."""

    def program(self) -> str:
        """Changes whenever a file of the program itself does."""

    def checklists(self) -> dict[str, bytes]:
        """The checklists we ship: file stem to bytes."""

    def refresh(self) -> None:
        """Copy the schemas into .rovlog/schemas where they differ; never raises on a read-only logbook."""


@dataclass(frozen=True, slots=True)
class Book:
    """An opened logbook: the ports bound to one folder.

    `writer` is this laptop's stable slug; `run` names this run of the program, whose own seconds the
    clock counts ("" where that is of no use, as in a script).
    """

    files: Files
    history: History
    clock: Clock
    ids: Ids
    cache: Cache
    shipped: Shipped
    writer: str
    run: str = ""
