"""Derived answers kept in `.rovlog/index.sqlite`: losing them costs time, nothing else."""

from __future__ import annotations

import os
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
    """The port `Cache`. Opened at first use, by whichever thread comes first; any trouble means no cache."""

    def __init__(self, root: str) -> None:
        """Take the logbook's folder; nothing is opened yet."""
        self._root = root
        self._path = os.path.join(root, derived.NAME, FILE)
        self._is_off = False

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

        if os.path.exists(self._path):
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

        try:
            base = self._connect()
            try:
                task(base)
            finally:
                base.close()
        except (sqlite3.OperationalError, OSError, NotRecordedError):
            self._is_off = True  # locked by another program, read-only, disk full: go without
        except sqlite3.DatabaseError:
            self._is_off = True
            self._drop()  # damaged: the next program makes it anew

    def _connect(self) -> sqlite3.Connection:
        import sqlite3

        if os.path.islink(self._path):
            raise OSError("a link is not followed")
        if not os.path.exists(self._path):
            with folders(self._root, ()) as chain:
                derived.close(derived.enter_derived(chain[0]))
        base = sqlite3.connect(self._path, timeout=0.2)
        try:
            # Nothing here needs to outlive a power cut; not waiting for the disk keeps it quick.
            base.execute("PRAGMA synchronous=OFF")
            base.execute(
                "CREATE TABLE IF NOT EXISTS kept (k TEXT PRIMARY KEY, v BLOB NOT NULL) WITHOUT ROWID"
            )
        except sqlite3.Error:
            base.close()
            raise
        return base

    def _drop(self) -> None:
        for ending in ("", "-journal", "-wal", "-shm"):
            try:
                os.unlink(self._path + ending)
            except OSError:
                continue
