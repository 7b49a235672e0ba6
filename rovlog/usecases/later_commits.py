"""Commits of dive and work records put off until the entry is acknowledged; all else goes through at once."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Sequence
from threading import Lock

from rovlog.problems import GitError
from rovlog.usecases.ports import Commit, CommitOutcome, History
from rovlog.values import dataclass

LATER = "committed shortly"
"""The reason in the outcome of a commit that was put off: nothing to tell anybody about."""


@dataclass(frozen=True, slots=True)
class _Waiting:
    names: tuple[str, ...]
    message: str
    author: tuple[str, str] | None
    at: str | None


class LaterCommits:
    """The port `History` for a program that answers to keys: an entry never waits for git.

    Records are durable files before any commit, so a commit that was put off and never done loses
    nothing: the next milestone takes them in. `work_off` may run on a thread of its own.
    """

    def __init__(self, history: History) -> None:
        self._history = history
        self._waiting: deque[_Waiting] = deque()
        # Two threads may work it off: the one for git, and one that commits other files at once.
        self._turn = Lock()
        self._told: set[str] = set()

    def commit(
        self, names: Sequence[str], message: str, author: tuple[str, str] | None = None, at: str | None = None
    ) -> CommitOutcome:
        """Put off a commit of records alone; commit at once where other files are among the names."""
        if names and all(n.startswith(("dives/", "work/")) for n in names):
            self._waiting.append(_Waiting(tuple(names), message, author, at))
            return CommitOutcome(None, LATER)
        self.work_off()
        return self._history.commit(names, message, author, at)

    def work_off(self) -> list[CommitOutcome]:
        """Do what was put off, in order; tells the outcomes that say something, once each if committed."""
        troubles = []
        with self._turn:
            while self._waiting:
                one = self._waiting.popleft()
                try:
                    outcome = self._history.commit(one.names, one.message, one.author, one.at)
                except GitError as error:
                    outcome = CommitOutcome(None, error.message, error.mend)
                if outcome.commit is None or (outcome.reason and outcome.reason not in self._told):
                    troubles.append(outcome)
                if outcome.commit is not None:
                    self._told.add(outcome.reason)  # the same of every commit: once is enough
        return troubles

    @property
    def is_waiting(self) -> bool:
        """True while something is put off."""
        return bool(self._waiting)

    def identity(self) -> tuple[str, str]:
        """As the history behind it."""
        return self._history.identity()

    def head(self) -> str | None:
        """As the history behind it."""
        return self._history.head()

    def expand(self, commit: str) -> str:
        """As the history behind it."""
        return self._history.expand(commit)

    def read_at(self, commit: str, name: str) -> bytes | None:
        """As the history behind it."""
        return self._history.read_at(commit, name)

    def names_at(self, commit: str, folder: str) -> list[str]:
        """As the history behind it."""
        return self._history.names_at(commit, folder)

    def log(self, folders: Iterable[str]) -> list[Commit]:
        """As the history behind it."""
        return self._history.log(folders)

    def stamp(self) -> str | None:
        """As the history behind."""
        return self._history.stamp()

    def state(self) -> list[str]:
        """As the history behind it."""
        return self._history.state()
