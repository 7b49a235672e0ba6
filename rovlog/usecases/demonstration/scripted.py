"""The demonstration's clock, its chance and its history: the same at every making."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from datetime import datetime, timedelta
from hashlib import sha256

from rovlog.usecases.ports import Commit, CommitOutcome, History, Ids


class ScriptedClock:
    """The port `Clock`, moved by the script alone. `mono_s` counts from the last `begin`."""

    def __init__(self, at: str) -> None:
        """Take the time of the first `begin`."""
        self._at = self._begun = datetime.fromisoformat(at)

    def begin(self, at: str) -> None:
        """Another day: the laptop is opened anew. It never goes back."""
        moment = datetime.fromisoformat(at)
        if moment < self._at:
            raise ValueError(f"the script goes back from {self.now()} to {at}")
        self._at = self._begun = moment

    def pass_s(self, seconds: float) -> None:
        """Let time pass."""
        self._at += timedelta(seconds=round(seconds))

    def now(self) -> str:
        """Wall clock as RFC 3339."""
        return self._at.isoformat(timespec="seconds")

    def mono_s(self) -> float:
        """Seconds since the laptop was opened."""
        return (self._at - self._begun).total_seconds()


def repeatable_bytes(seed: str) -> Callable[[int], bytes]:
    """A source of bytes that is the same for the same seed: SHA-256 over the seed and a count."""
    count = 0

    def draw(wanted: int) -> bytes:
        nonlocal count
        found = b""
        while len(found) < wanted:
            found += sha256(f"{seed} {count}".encode()).digest()
            count += 1
        return found[:wanted]

    return draw


_LETTERS = (
    "ilno uuyk vgfe zvpq didk sfva ifhf zcxg ejdj zire ttgs mabe ueyh ohda fvhh nbum fpug "
    "xerg uzch brxk rjdi eydz ktxl zmbp ouvb vdxi poix umwg grmd ujva ficn hjtz xbon ljwv "
    "smbg kddk vzsy pjvh"
)
LETTERS = _LETTERS.split()
"""The ends of the records' names in the order they are begun, written down: so examples in the help
and elsewhere go on naming the same dives when a list gets another item."""


class ScriptedIds:
    """The port `Ids` with the letters of `LETTERS`, and with drawn ones where those are used up."""

    def __init__(self, ids: Ids) -> None:
        """Take the ids behind it, which must be repeatable."""
        self._ids = ids
        self._left = list(LETTERS)

    def ulid(self, at: str) -> str:
        """As the ids behind."""
        return self._ids.ulid(at)

    def letters(self, count: int) -> str:
        """The next letters."""
        if self._left and len(self._left[0]) == count:
            return self._left.pop(0)
        return self._ids.letters(count)


class ScriptedHistory:
    """The port `History` with every commit dated by the script's clock and given an author.

    So the commits are the same on every machine, also where git knows no name and no e-mail.
    """

    def __init__(self, history: History, clock: ScriptedClock, founder: tuple[str, str]) -> None:
        """Take the history behind it, and the author where a commit names none."""
        self._history, self._clock, self._founder = history, clock, founder

    def commit(
        self, names: Sequence[str], message: str, author: tuple[str, str] | None = None, at: str | None = None
    ) -> CommitOutcome:
        """Commit as the history behind does, dated now by the script.

        A record's start goes in with its next milestone: seven months are to be made in seconds.
        """
        if message.startswith("Start ") and all(n.startswith(("dives/", "work/")) for n in names):
            return CommitOutcome(None, "it goes in with the next milestone")
        return self._history.commit(names, message, author or self._founder, at or self._clock.now())

    def identity(self) -> tuple[str, str]:
        """The founder."""
        return self._founder

    def head(self) -> str | None:
        """As the history behind."""
        return self._history.head()

    def expand(self, commit: str) -> str:
        """As the history behind."""
        return self._history.expand(commit)

    def read_at(self, commit: str, name: str) -> bytes | None:
        """As the history behind."""
        return self._history.read_at(commit, name)

    def names_at(self, commit: str, folder: str) -> list[str]:
        """As the history behind."""
        return self._history.names_at(commit, folder)

    def log(self, folders: Iterable[str]) -> list[Commit]:
        """As the history behind."""
        return self._history.log(folders)

    def stamp(self) -> str | None:
        """As the history behind."""
        return self._history.stamp()

    def state(self) -> list[str]:
        """As the history behind."""
        return self._history.state()
