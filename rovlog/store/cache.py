"""Derived answers kept in `.rovlog/index.sqlite`: losing them costs time, nothing else."""

from __future__ import annotations

import os
from _thread import allocate_lock
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from rovlog.problems import NotRecordedError
from rovlog.store import derived
from rovlog.store.folder import folders

if TYPE_CHECKING:
    import sqlite3

FILE = "index.sqlite"
_AT_ONCE = 500
"""Keys in one query: well below SQLite's limit on variables (999 in its older versions)."""


class SqliteCache:
    """The port `Cache`. Opened at first use and kept open, for all threads; any trouble means no cache."""

    def __init__(self, root: str) -> None:
        """Take the logbook's folder; nothing is opened yet."""
        self._root = root
        self._path = os.path.join(root, derived.NAME, FILE)
        self._is_off = False
        self._base: sqlite3.Connection | None = None
        self._opened = (0, 0)
        self._turn = allocate_lock()

    def __del__(self) -> None:
        """Close what is open; nothing in it needs to be waited for."""
        self._close()

    def get_many(self, keys: Sequence[str]) -> dict[str, bytes]:
        """What is known of these keys; never raises."""
        found: dict[str, bytes] = {}

        def ask(base: sqlite3.Connection) -> None:
            for start in range(0, len(keys), _AT_ONCE):
                some = keys[start : start + _AT_ONCE]
                marks = ",".join("?" * len(some))
                for key, value in base.execute(f"SELECT k, v FROM kept WHERE k IN ({marks})", some):
                    if isinstance(key, str) and isinstance(value, bytes):
                        found[key] = value

        if keys and os.path.exists(self._path):
            self._work(ask)
        return found

    def put_many(self, rows: dict[str, bytes]) -> None:
        """Keep these; never raises."""

        def keep(base: sqlite3.Connection) -> None:
            base.executemany("INSERT OR REPLACE INTO kept (k, v) VALUES (?, ?)", rows.items())
            base.commit()

        if rows:
            self._work(keep)

    def _work(self, task: Callable[[sqlite3.Connection], None]) -> None:
        """Do something with the database; once anything went wrong with it, nothing more."""
        if self._is_off:
            return
        import sqlite3

        with self._turn:
            try:
                task(self._connection())
            except (sqlite3.OperationalError, OSError, NotRecordedError):
                self._is_off = True  # locked by another program, read-only, disk full: go without
            except sqlite3.DatabaseError:
                self._is_off = True
                self._drop()  # damaged: the next program makes it anew
            if self._is_off:
                self._close()

    def _connection(self) -> sqlite3.Connection:
        """The open database; opened anew where its file is another one, or gone, since."""
        import sqlite3

        if os.path.islink(self._path):
            raise OSError("a link is not followed")
        if self._base is not None and self._identity() == self._opened:
            return self._base
        self._close()
        if not os.path.exists(self._path):
            with folders(self._root, ()) as chain:
                derived.close(derived.enter_derived(chain[0]))
        self._base = sqlite3.connect(self._path, timeout=0.2, check_same_thread=False)
        # Nothing here needs to outlive a power cut; not waiting for the disk keeps it quick.
        self._base.execute("PRAGMA synchronous=OFF")
        self._base.execute(
            "CREATE TABLE IF NOT EXISTS kept (k TEXT PRIMARY KEY, v BLOB NOT NULL) WITHOUT ROWID"
        )
        self._opened = self._identity()
        return self._base

    def _identity(self) -> tuple[int, int]:
        try:
            status = os.lstat(self._path)
        except OSError:
            return (-1, -1)
        return (status.st_dev, status.st_ino)

    def _close(self) -> None:
        if self._base is not None:
            self._base.close()
            self._base = None

    def _drop(self) -> None:
        for ending in ("", "-journal", "-wal", "-shm"):
            try:
                os.unlink(self._path + ending)
            except OSError:
                continue
