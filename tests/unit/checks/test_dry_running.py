"""Dry running: one counter for bursts, rests and the day, over every record of a vehicle."""

from datetime import UTC, datetime, timedelta

import pytest

from rovlog.domain.checks.dry_running import (
    BURST_CALLED,
    dry_running,
    pending_burst,
    push_text,
    read_push,
)
from rovlog.domain.checks.elapsed import Instant
from rovlog.domain.diagnosis.dry_limits import DryLimits, dry_limits
from rovlog.domain.dive import Entry, Part, join_parts

NOON = datetime(2026, 9, 5, 12, 0, tzinfo=UTC)
LIMITS = DryLimits()
AHEAD = {"left-stick-y": -0.3}


def entry(n, kind, after_s, fields, mono_s=None):
    at = (NOON + timedelta(seconds=after_s)).isoformat()
    return Entry(f"e{n}", n, at, after_s if mono_s is None else mono_s, "wren", kind, "w1", fields)


def observed(n, after_s, push=AHEAD, medium="dry", **more):
    return entry(n, "observation", after_s, {"push": push, "seen": {}, "medium": medium}, **more)


def called(n, after_s, push=AHEAD, medium="dry", seconds=3.0):
    values = {"push": push_text(push), "medium": medium, "duration_s": seconds, "run": "r1"}
    return entry(n, "reading", after_s, {"reading": BURST_CALLED, "values": values, "source": "seen"})


def record(*entries, name="d1"):
    part = Part(f"dives/{name}.yaml", "w1", NOON.isoformat(), tuple(entries))
    return join_parts(name, "dive", "puffin", "", (part,))


def at(after_s, run="r1"):
    return Instant(NOON + timedelta(seconds=after_s), after_s, "w1", run)


def test_nothing_is_used_before_the_first_burst():
    found = dry_running([record()], at(0), LIMITS)
    assert (found.bursts, found.used_s, found.left_s, found.wait_s) == (0, 0.0, 60.0, 0.0)
    assert found.refusal() == ""


def test_a_burst_that_was_called_runs_first_and_is_rested_from_then():
    one = record(called(1, 0))
    assert dry_running([one], at(2), LIMITS).wait_s == 11.0
    assert dry_running([one], at(12), LIMITS).refusal() == "the rest of 10 s is not over: wait 1 s"
    assert dry_running([one], at(13), LIMITS).refusal() == ""


def test_what_was_seen_of_a_burst_that_was_called_is_no_second_burst():
    one = record(called(1, 0), observed(2, 20))
    found = dry_running([one], at(20), LIMITS)
    assert (found.bursts, found.used_s, found.wait_s) == (1, 3.0, 0.0)


def test_an_observation_nobody_called_a_burst_for_counts_as_one_that_just_ended():
    found = dry_running([record(observed(1, 0))], at(4), LIMITS)
    assert (found.bursts, found.wait_s) == (1, 6.0)


def test_an_observation_of_another_push_than_was_called_is_a_burst_of_its_own():
    one = record(called(1, 0), observed(2, 20, {"left-stick-y": 0.3}))
    assert dry_running([one], at(60), LIMITS).bursts == 2


def test_the_day_is_counted_over_all_records_and_what_was_wet_is_left_out():
    records = [
        record(*(observed(n, 20 * n) for n in range(1, 11)), observed(11, 300, medium="wet"), name="d1"),
        record(*(observed(n, 400 + 20 * n) for n in range(1, 10)), name="d2"),
    ]
    found = dry_running(records, at(900), LIMITS)
    assert (found.bursts, found.used_s) == (19, 57.0)
    assert not found.is_spent
    more = dry_running([*records, record(observed(1, 900), name="d3")], at(950), LIMITS)
    assert more.is_spent
    assert more.refusal().startswith("60 of 60 s of dry running are used today")


def test_yesterday_is_not_counted():
    assert dry_running([record(observed(1, -13 * 3600))], at(0), LIMITS).bursts == 0


def test_a_push_beyond_the_share_is_refused_with_both_figures():
    found = dry_running([], at(0), LIMITS)
    assert found.refusal(1.0) == "it gives a thruster 100 % of command; in air at most 30 %"
    assert found.refusal(0.3) == ""


def test_a_clock_that_was_set_does_not_end_the_rest():
    one = record(called(1, 0))
    later = Instant(NOON + timedelta(hours=1), 5.0, "w1", "r1")
    found = dry_running([one], later, LIMITS)
    assert found.wait_s == 8.0
    assert "the clock was set forward" in found.note


def test_what_has_been_done_is_named_and_not_refused():
    found = dry_running([record(observed(1, 0))], at(2), LIMITS)
    assert found.excesses(1.0, is_called=False) == (
        "a thruster at 100 % of command in air, at most 30 %",
        "2 s after the last burst, a rest of 10 s is asked for",
    )
    assert found.excesses(0.3, is_called=True) == ()
    used = record(*(observed(n, 20 * n) for n in range(1, 21)))
    assert dry_running([used], at(500), LIMITS).excesses(None, is_called=False) == (
        "63 s of dry running today, at most 60 s",
    )


def test_the_teams_numbers_stand_in_for_the_defaults():
    limits = dry_limits({"dry_command_share": 0.2, "dry_burst_s": 2, "dry_rest_s": 20, "dry_day_s": 30})
    assert limits == DryLimits(0.2, 2.0, 20.0, 30.0)
    assert dry_limits({}) == LIMITS
    assert dry_running([record(observed(1, 0))], at(5), limits).wait_s == 15.0


def test_the_burst_called_last_waits_until_something_is_seen_of_it():
    first, second = called(1, 0), called(2, 20)
    assert pending_burst(record(first, second)) is second
    assert pending_burst(record(first, observed(2, 9))) is None


@pytest.mark.parametrize("text", ["", "left-stick-y", "left-stick-y=far", "left-stick-y=nan"])
def test_a_line_that_is_no_push_is_none(text):
    assert read_push(text) is None


def test_a_push_goes_into_a_line_and_back():
    push = {"right-stick-x": 0.25, "left-stick-y": -0.3}
    assert read_push(push_text(push)) == push
