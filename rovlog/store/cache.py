"""Derived answers kept in `.rovlog/index.sqlite`: losing them costs time, nothing else."""

from __future__ import annotations

import os
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
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
        if not os.path.exists(self._path):
            return found
        with self._opened() as base:
            if base is None:
                return found
            for start in range(0, len(keys), _AT_ONCE):
                some = keys[start : start + _AT_ONCE]
                marks = ",".join("?" * len(some))
                for key, value in base.execute(f"SELECT k, v FROM kept WHERE k IN ({marks})", some):
                    if isinstance(key, str) and isinstance(value, bytes):
                        found[key] = value
        return found

    def put_many(self, rows: dict[str, bytes]) -> None:
        """Keep these; never raises."""
        if not rows:
            return
        with self._opened() as base:
            if base is not None:
                base.executemany("INSERT OR REPLACE INTO kept (k, v) VALUES (?, ?)", rows.items())
                base.commit()

    @contextmanager
    def _opened(self) -> Iterator[sqlite3.Connection | None]:
        """The database, made where missing; None once anything went wrong with it."""
        import sqlite3

        base = None
        try:
            base = None if self._is_off else self._connect()
            yield base
        except sqlite3.OperationalError:
            self._is_off = True  # locked by another program, read-only, disk full: go without
        except sqlite3.DatabaseError:
            self._is_off = True
            self._drop()  # damaged: the next program makes it anew
        except (OSError, NotRecordedError):
            self._is_off = True
        finally:
            if base is not None:
                base.close()

    def _connect(self) -> sqlite3.Connection:
        import sqlite3

        if os.path.islink(self._path):
            raise OSError("a link is not followed")
        if not os.path.exists(self._path):
            with folders(self._root, ()) as chain:
                derived.close(derived.enter_derived(chain[0]))
        base = sqlite3.connect(self._path, timeout=0.2)
        # Nothing here needs to outlive a power cut; not waiting for the disk keeps it quick.
        base.execute("PRAGMA synchronous=OFF")
        base.execute("CREATE TABLE IF NOT EXISTS kept (k TEXT PRIMARY KEY, v BLOB NOT NULL) WITHOUT ROWID")
        return base

    def _drop(self) -> None:
        for ending in ("", "-journal", "-wal", "-shm"):
            try:
                os.unlink(self._path + ending)
            except OSError:
                continue
