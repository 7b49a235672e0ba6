"""The clock tells RFC 3339 with the local offset, and seconds since the start."""

from __future__ import annotations

import time
from datetime import datetime, timedelta

import pytest

from rovlog.store.clock import SystemClock


@pytest.fixture
def in_zone(monkeypatch: pytest.MonkeyPatch):
    def set_zone(zone: str) -> None:
        monkeypatch.setenv("TZ", zone)
        time.tzset()

    yield set_zone
    monkeypatch.undo()
    time.tzset()


@pytest.mark.parametrize(
    ("zone", "offset"),
    # POSIX zones count westward, so the signs are turned.
    [
        ("UTC0", "+00:00"),
        ("AAA-5:30", "+05:30"),
        ("BBB+3:30", "-03:30"),
        ("CCC-1", "+01:00"),
        ("DDD+0:45", "-00:45"),
    ],
)
def test_now_carries_the_local_offset(in_zone, zone: str, offset: str) -> None:
    in_zone(zone)
    now = SystemClock().now()
    assert now[19:] == offset
    assert len(now) == 25
    assert abs(datetime.fromisoformat(now) - datetime.now().astimezone()) < timedelta(seconds=5)


def test_seconds_since_the_start_rise_and_have_one_decimal() -> None:
    clock = SystemClock()
    before = clock.mono_s()
    time.sleep(0.15)
    assert 0.05 < clock.mono_s() - before < 5
    assert clock.mono_s() == round(clock.mono_s(), 1)
