"""Which pushes count: those watched since the wiring, the setup or a thruster may be another."""

import pytest

from rovlog.domain.checks.happenings import Policy
from rovlog.domain.checks.watched_pushes import since_voided, watched
from rovlog.domain.dive import Entry, Part, join_parts

AHEAD, ASTERN = {"left-stick-y": -0.3}, {"left-stick-y": 0.3}


def record(*rows):
    entries = tuple(
        Entry(f"e{n}", n, f"2026-09-05T10:{n:02d}:00+00:00", float(n), "wren", kind, "w1", fields)
        for n, (kind, fields) in enumerate(rows, 1)
    )
    return join_parts("d1", "dive", "puffin", "", (Part("d1.yaml", "w1", entries[0].at, entries),))


def seen(push, medium="dry", **words):
    return "observation", {"push": push, "seen": words or {"one": "ahead"}, "medium": medium}


def test_a_push_watched_twice_is_one_and_one_with_nothing_seen_is_none():
    rows = record(seen(AHEAD), seen({"left-stick-y": -1}), seen(ASTERN, one="unseen"))
    assert watched(rows.entries) == {("left-stick-y", -1)}


def test_pushes_in_water_are_counted_apart():
    rows = record(seen(AHEAD), seen(ASTERN, "wet"))
    assert watched(rows.entries, "wet") == {("left-stick-y", 1)}
    assert watched(rows.entries) == {("left-stick-y", 1), ("left-stick-y", -1)}


@pytest.mark.parametrize(
    "row",
    [
        ("event", {"event": "connector-parted"}),
        ("event", {"event": "returned"}),
        ("fault", {"symptom": "yaw-dead"}),
        ("fitted", {"part": "propeller-2", "to": "bow-port thruster"}),
    ],
)
def test_what_came_before_a_voiding_event_is_watched_again(row):
    rows = record(seen(AHEAD), row, seen(ASTERN))
    assert [e.n for e in since_voided(rows, Policy())] == [3]


def test_a_readback_that_differs_voids_and_one_that_agrees_does_not():
    one = ("readback", {"box": "b", "firmware": "1", "in_use": {"thruster_map": 1}})
    other = ("readback", {"box": "b", "firmware": "1", "in_use": {"thruster_map": 2}})
    assert len(since_voided(record(one, seen(AHEAD), one), Policy())) == 1
    assert since_voided(record(one, seen(AHEAD), other), Policy()) == ()


def test_other_events_leave_them():
    rows = record(seen(AHEAD), ("event", {"event": "housing-opened"}), ("mark", {"mark": "power-on"}))
    assert len(since_voided(rows, Policy())) == 1
