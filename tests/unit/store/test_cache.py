"""The cache may vanish, break or be refused: it then forgets, and nobody notices more than time."""

from __future__ import annotations

import sqlite3
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from rovlog.store.cache import SqliteCache


def test_what_is_put_is_found_again_by_another_program(tmp_path: Path) -> None:
    SqliteCache(str(tmp_path)).put_many({"a": b"\0\xff", "b": b""})
    assert SqliteCache(str(tmp_path)).get_many(["a", "b", "c"]) == {"a": b"\0\xff", "b": b""}
    assert (tmp_path / ".rovlog" / ".gitignore").read_text().splitlines()[-1] == "*"


def test_thousands_of_keys_are_asked_for_at_once(tmp_path: Path) -> None:
    rows = {f"key-{n}": str(n).encode() for n in range(2500)}
    cache = SqliteCache(str(tmp_path))
    cache.put_many(rows)
    assert cache.get_many(list(rows)) == rows


def test_putting_again_replaces(tmp_path: Path) -> None:
    cache = SqliteCache(str(tmp_path))
    cache.put_many({"a": b"1"})
    cache.put_many({"a": b"2"})
    assert cache.get_many(["a"]) == {"a": b"2"}


def test_asking_an_empty_logbook_makes_nothing(tmp_path: Path) -> None:
    assert SqliteCache(str(tmp_path)).get_many(["a"]) == {}
    assert list(tmp_path.iterdir()) == []


def test_a_damaged_cache_is_dropped_and_made_anew(tmp_path: Path) -> None:
    SqliteCache(str(tmp_path)).put_many({"a": b"1"})
    (tmp_path / ".rovlog" / "index.sqlite").write_bytes(b"no database at all" * 100)
    assert SqliteCache(str(tmp_path)).get_many(["a"]) == {}
    after = SqliteCache(str(tmp_path))
    after.put_many({"b": b"2"})
    assert after.get_many(["a", "b"]) == {"b": b"2"}


def test_a_table_of_another_shape_means_no_cache(tmp_path: Path) -> None:
    (tmp_path / ".rovlog").mkdir()
    with sqlite3.connect(tmp_path / ".rovlog" / "index.sqlite") as base:
        base.execute("CREATE TABLE kept (other TEXT)")
    base.close()
    cache = SqliteCache(str(tmp_path))
    cache.put_many({"a": b"1"})
    assert cache.get_many(["a"]) == {}


def test_a_file_in_place_of_the_folder_means_no_cache(tmp_path: Path) -> None:
    (tmp_path / ".rovlog").write_text("in the way")
    cache = SqliteCache(str(tmp_path))
    cache.put_many({"a": b"1"})
    assert cache.get_many(["a"]) == {}
    assert (tmp_path / ".rovlog").read_text() == "in the way"


def test_a_link_in_place_of_the_cache_is_not_followed(tmp_path: Path) -> None:
    outside = tmp_path / "outside.sqlite"
    (tmp_path / "book" / ".rovlog").mkdir(parents=True)
    (tmp_path / "book" / ".rovlog" / "index.sqlite").symlink_to(outside)
    SqliteCache(str(tmp_path / "book")).put_many({"a": b"1"})
    assert not outside.exists()


def test_a_cache_deleted_under_an_open_program_is_made_anew(tmp_path: Path) -> None:
    cache = SqliteCache(str(tmp_path))
    cache.put_many({"a": b"1"})
    (tmp_path / ".rovlog" / "index.sqlite").unlink()
    assert cache.get_many(["a"]) == {}
    cache.put_many({"b": b"2"})
    assert SqliteCache(str(tmp_path)).get_many(["a", "b"]) == {"b": b"2"}


def test_threads_share_one_cache(tmp_path: Path) -> None:
    cache = SqliteCache(str(tmp_path))
    with ThreadPoolExecutor(8) as pool:
        list(pool.map(lambda n: cache.put_many({f"k{n}": b"%d" % n}), range(200)))
        found = list(pool.map(lambda n: cache.get_many([f"k{n}"]), range(200)))
    assert found == [{f"k{n}": b"%d" % n} for n in range(200)]
