"""Durations, ages and the one order of entries."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rovlog.domain.checks.moments import steady_times
from rovlog.domain.checks.validity import (
    Duration,
    add_months,
    aged_out,
    expiry,
    instant,
    parse_duration,
)
from rovlog.problems import UsageError

NOON = datetime(2026, 3, 31, 12, 0, tzinfo=UTC)


@pytest.mark.parametrize(
    ("text", "duration"),
    [
        ("30 min", Duration(1800)), ("24 h", Duration(86400)), ("90 d", Duration(7776000)),
        ("6 months", Duration(months=6)), ("25 running h", Duration(running_s=90000)), ("10 s", Duration(10)),
        ("1 month", Duration(months=1)), ("dive", None), ("until-voided", None),
    ],
)  # fmt: skip
def test_a_duration_is_read_in_its_unit(text, duration):
    assert parse_duration(text) == duration


@pytest.mark.parametrize("text", ["a while", "5 weeks", "-3 h", "h", "1e3 s", "", "always"])
def test_any_other_word_is_refused(text):
    with pytest.raises(UsageError, match="no time an answer can be valid for"):
        parse_duration(text)


@pytest.mark.parametrize(
    ("start", "months", "end"),
    [
        ("2026-01-31", 1, "2026-02-28"), ("2027-08-31", 6, "2028-02-29"), ("2026-12-15", 12, "2027-12-15"),
        ("2026-11-30", 3, "2027-02-28"), ("2026-03-31", 1, "2026-04-30"),
    ],
)  # fmt: skip
def test_months_end_on_the_last_day_there_is(start, months, end):
    assert add_months(datetime.fromisoformat(start), months) == datetime.fromisoformat(end)


def test_of_several_ages_the_first_to_end_counts():
    assert expiry(("6 months", "24 h"), NOON) == NOON + timedelta(days=1)
    assert expiry(("setup", "day"), NOON) == NOON.replace(hour=23, minute=59, second=59)
    assert expiry(("until-voided",), NOON) is None


def test_a_slight_difference_of_two_clocks_is_no_jump():
    assert aged_out(("30 min",), NOON, NOON - timedelta(seconds=120), 0) == ""
    assert "clock went back" in aged_out(("30 min",), NOON, NOON - timedelta(seconds=121), 0)
    assert aged_out(("until-voided",), NOON, NOON - timedelta(days=9), 0) == ""


@given(st.datetimes(datetime(2020, 1, 1), datetime(2030, 1, 1)), st.integers(0, 3600), st.integers(1, 60))
def test_an_answer_has_run_out_exactly_past_its_age(at, waited, minutes):
    at = at.replace(tzinfo=UTC)
    ended = aged_out((f"{minutes} min",), at, at + timedelta(seconds=waited), 0)
    assert bool(ended) == (waited > minutes * 60)


@pytest.mark.parametrize(
    "text", ["2026-03-31T12:00:00Z", "2026-03-31t12:00:00z", "2026-03-31T13:00:00+01:00"]
)
def test_times_are_read_with_their_offset(text):
    assert instant(text) == NOON


def test_a_time_without_an_offset_is_no_instant():
    assert instant("2026-03-31T12:00:00") is None


def test_jumps_of_a_clock_are_taken_out():
    def at(*minutes):
        return [None if m is None else NOON + timedelta(minutes=m) for m in minutes]

    base = NOON.timestamp()
    assert steady_times(at(0, 5, 99999, 6, 7)) == [base, base + 300, base + 300, base + 360, base + 420]
    assert steady_times(at(0, 1, -99999, 6)) == [base, base + 60, base + 60, base + 360]
    assert steady_times(at(None, 1, None)) == [base + 60, base + 60, base + 60]
    assert steady_times(at(None, None)) == [0.0, 0.0]


@given(st.lists(st.none() | st.integers(-(10**6), 10**6), max_size=30))
def test_steady_times_never_fall_and_keep_a_longest_rising_run(minutes):
    times = [None if m is None else NOON + timedelta(minutes=m) for m in minutes]
    steady = steady_times(times)
    assert len(steady) == len(times)
    assert steady == sorted(steady)
    longest: list[int] = []
    for i, m in enumerate(minutes):
        best = [longest[j] for j in range(i) if m is not None and minutes[j] is not None and minutes[j] <= m]
        longest.append(0 if m is None else 1 + max(best, default=0))
    kept = sum(t is not None and t.timestamp() == s for t, s in zip(times, steady, strict=True))
    assert kept >= max(longest, default=0)
