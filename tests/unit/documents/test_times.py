"""Times: RFC 3339 with offset."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rovlog.documents.times import is_time, parse_time
from rovlog.problems import UsageError

# RFC 3339 (2002), section 5.8, with the instants in Unix seconds
RFC_3339_SECTION_5_8 = [
    ("1985-04-12T23:20:50.52Z", 482196050.52),
    ("1996-12-19T16:39:57-08:00", 851042397.0),
    ("1990-12-31T23:59:60Z", 662688000.0),
    ("1990-12-31T15:59:60-08:00", 662688000.0),
    ("1937-01-01T12:00:27.87+00:20", -1041337172.13),
]
"""Both leap seconds end with the year 1990: 1991-01-01T00:00:00Z is 662688000 s by Unix time."""


@pytest.mark.parametrize(("text", "unix_s"), RFC_3339_SECTION_5_8)
def test_the_examples_of_rfc_3339_are_the_instants_they_name(text, unix_s):
    assert parse_time(text).timestamp() == pytest.approx(unix_s, abs=1e-6)


def test_the_offset_is_kept():
    assert parse_time("2026-05-09T10:20:30+01:00").isoformat() == "2026-05-09T10:20:30+01:00"


def test_small_letters_are_allowed():
    """RFC 3339, section 5.6: T and Z may be in lower case."""
    assert parse_time("1985-04-12t23:20:50.52z") == parse_time("1985-04-12T23:20:50.52Z")


@pytest.mark.parametrize(
    "text",
    [
        "1985-04-12T23:20:50",
        "1985-04-12",
        "1985-04-12 23:20:50Z",
        "1985-04-12T23:20Z",
        "1985-4-12T23:20:50Z",
        "1985-02-30T23:20:50Z",
        "1985-04-12T24:00:00Z",
        "1985-04-12T23:20:61Z",
        "1985-04-12T23:20:60Z",
        "1990-12-31T23:59:60+01:00",
        "1985-04-12T23:20:50+24:00",
        "1985-04-12T23:20:50+01:60",
        "1985-04-12T23:20:50+0100",
        "1985-04-12T23:20:50.Z",
        "1985-04-12T23:20:50Z\n",
        "٢٠٢٦-04-12T23:20:50Z",
        "9999-12-31T23:59:60Z",
        "",
    ],
)
def test_what_is_no_rfc_3339_time_is_refused(text):
    assert not is_time(text)


def test_a_time_without_offset_is_told_what_it_lacks():
    with pytest.raises(UsageError, match="no offset") as caught:
        parse_time("1985-04-12T23:20:50")
    assert "+01:00" in caught.value.mend


@given(st.datetimes(datetime(1900, 1, 1), datetime(2200, 1, 1), timezones=st.just(UTC)))
def test_every_time_that_is_written_is_read_back(time):
    assert parse_time(time.isoformat()) == time
