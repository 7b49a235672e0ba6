"""ULIDs have the layout of the public specification, and rise."""

from __future__ import annotations

import random
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rovlog.problems import UsageError
from rovlog.store.ids import FreshIds

ALPHABET = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"  # Crockford's base 32, as the ULID specification prints it
MOMENTS = st.datetimes(datetime(1970, 1, 2), datetime(2900, 1, 1)).map(
    lambda d: d.replace(tzinfo=UTC).isoformat()
)


def decoded(text: str) -> int:
    value = 0
    for character in text:
        value = value * 32 + ALPHABET.index(character)
    return value


def test_the_time_of_the_specification_s_example_gives_its_first_ten_characters() -> None:
    # The specification (github.com/ulid/spec) prints 01ARZ3NDEKTSV4RRFFQ69G5FAV; its time is 2016-07-30.
    moment = datetime.fromtimestamp(decoded("01ARZ3NDEK") / 1000, UTC)
    assert moment.date().isoformat() == "2016-07-30"
    made = FreshIds().ulid(moment.isoformat())
    assert made[:10] == "01ARZ3NDEK"
    assert len(made) == 26


@given(MOMENTS, st.binary(min_size=10, max_size=10))
def test_it_is_48_bits_of_milliseconds_then_80_random_bits_most_significant_first(
    at: str, chance: bytes
) -> None:
    value = decoded(FreshIds(lambda count: chance[:count]).ulid(at))
    since = datetime.fromisoformat(at) - datetime(1970, 1, 1, tzinfo=UTC)
    assert abs((value >> 80) - since / timedelta(milliseconds=1)) <= 1
    assert value & ((1 << 80) - 1) == int.from_bytes(chance, "big")


@given(st.lists(MOMENTS, min_size=2, max_size=20), st.integers())
def test_within_one_process_ids_rise_even_when_the_clock_is_set_back(moments: list[str], seed: int) -> None:
    ids = FreshIds(random.Random(seed).randbytes)
    made = [ids.ulid(at) for at in moments]
    assert made == sorted(set(made))


def test_within_one_millisecond_the_next_is_the_one_before_plus_one_and_carries_over() -> None:
    ids = FreshIds(lambda count: b"\xff" * count)
    first, second = (
        decoded(ids.ulid("2026-06-13T09:31:55+01:00")),
        decoded(ids.ulid("2026-06-13T09:31:55+01:00")),
    )
    assert second == first + 1


def test_the_greatest_time_still_fits_26_characters() -> None:
    assert FreshIds().ulid("9999-12-31T23:59:59+00:00")[0] in "01234567"


@pytest.mark.parametrize(
    "at", ["", "yesterday", "2026-06-13", "2026-06-13T09:31:55", "1969-12-31T23:00:00+00:00"]
)
def test_a_text_that_is_no_time_with_offset_is_refused(at: str) -> None:
    with pytest.raises(UsageError, match="is not a time"):
        FreshIds().ulid(at)


@given(st.integers(0, 40), st.integers())
def test_letters_are_as_many_as_asked_lower_case_and_ascii(count: int, seed: int) -> None:
    letters = FreshIds(random.Random(seed).randbytes).letters(count)
    assert len(letters) == count
    assert all("a" <= c <= "z" for c in letters)


def test_every_letter_comes_up_about_equally_often() -> None:
    letters = FreshIds(random.Random(3).randbytes).letters(26_000)
    # Each count is binomial with mean 1000 and deviation 31; six deviations leave no room for chance.
    assert all(abs(letters.count(chr(97 + n)) - 1000) < 190 for n in range(26))
