"""What is kept in the index changes no answer: warm and cold say the same; a changed file is read anew."""

from __future__ import annotations

import pytest
from fakes import FakeCache
from poolside import Poolside

from rovlog.usecases.list_dives import list_dives
from rovlog.usecases.logbook import Logbook
from rovlog.usecases.validate_logbook import Validated, validate_logbook


@pytest.fixture
def pool() -> Poolside:
    found = Poolside()
    found.dive()
    return found


def cold(pool: Poolside) -> Validated:
    """Validation with nothing remembered."""
    cache = pool.book.cache
    assert isinstance(cache, FakeCache)
    kept, cache.rows = cache.rows, {}
    try:
        return validate_logbook(pool.book)
    finally:
        cache.rows = kept


def change(pool: Poolside, name: str, before: bytes, after: bytes) -> None:
    """Change a file as an editor would."""
    tree = pool.book.files.tree  # type: ignore[attr-defined]
    assert before in tree[name]
    tree[name] = tree[name].replace(before, after)


def test_a_sound_logbook_is_sound_warm_and_cold(pool: Poolside) -> None:
    assert cold(pool) == validate_logbook(pool.book) == validate_logbook(pool.book)
    assert validate_logbook(pool.book).problems == ()


@pytest.mark.parametrize(
    ("name", "before", "after"),
    [
        (
            "vehicles/puffin.yaml",
            b'"quay-box"',
            b'"quai-box"',
        ),  # a reference: told at a place of a known document
        (
            "boxes/quay-box.yaml",
            b'"channels": 8',
            b'"channels": 3',
        ),  # told in the vehicle, which did not change
        ("vehicles/puffin.yaml", b'"mass_kg": 6.25', b'"mass_kg": "heavy"'),
        ("logbook.yaml", b"ines", b"inez"),
    ],
)
def test_problems_and_their_places_are_the_same_warm_and_cold(
    pool: Poolside, name: str, before: bytes, after: bytes
) -> None:
    validate_logbook(pool.book)
    change(pool, name, before, after)
    warm = validate_logbook(pool.book)
    assert warm.problems
    assert warm == cold(pool)


def test_listed_dives_are_the_same_from_the_files_and_from_what_was_kept(pool: Poolside) -> None:
    fresh = list_dives(pool.logbook, "dive")
    assert list_dives(Logbook(pool.book), "dive") == fresh
    assert fresh[0].number == 1
    assert fresh[0].id == pool.record_id


def test_an_entry_more_is_an_entry_more_in_the_list(pool: Poolside) -> None:
    before = list_dives(Logbook(pool.book), "dive")[0]
    pool.tick("swimmers", by="ines")
    after = list_dives(Logbook(pool.book), "dive")[0]
    assert after.entries == before.entries + 1
