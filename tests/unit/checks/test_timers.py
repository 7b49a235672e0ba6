"""Timers outlive the program that started them, and a clock that is set does not cut them short."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st
from poolside import Poolside

from rovlog.domain.checks.elapsed import Instant, elapsed
from rovlog.problems import UsageError
from rovlog.usecases.logbook import Logbook
from rovlog.usecases.timers import start_timer, timers_of

TEN = datetime.fromisoformat("2026-06-13T10:00:00+01:00")


def seen(at_s, mono_s, *, writer="deck", run=""):
    return Instant(TEN + timedelta(seconds=at_s), mono_s, writer, run)


@pytest.mark.parametrize(
    ("start", "end", "seconds", "is_same_run", "words"),
    [
        (seen(0, 50, run="a"), seen(60, 110, run="a"), 60, True, ""),
        (seen(0, 50), seen(60, 110), 60, True, ""),
        (seen(0, 50, run="a"), seen(3660, 110, run="a"), 60, True, "set forward by 3600 s"),
        (seen(0, 50, run="a"), seen(-3540, 110, run="a"), 60, True, "set back by 3600 s"),
        (seen(0, 0.2, run="a"), seen(60, 900, run="b"), 60, False, "started again"),
        (seen(0, 50, run="a"), seen(60, 0.3, run="b"), 60, False, "started again"),
        (seen(0, 50, run="a"), seen(-30, 0.3, run="b"), None, False, "the clock went back"),
        (seen(0, 50, writer="deck"), seen(60, 9, writer="van"), 60, False, "two laptops"),
        (Instant(None, 50, "deck", "a"), Instant(None, 80, "deck", "a"), 30, True, "cannot be read"),
        (Instant(None, 50, "deck"), seen(60, 80), None, False, "cannot be read"),
    ],
)
def test_time_is_told_by_what_can_be_trusted(start, end, seconds, is_same_run, words):
    found = elapsed(start, end)
    assert (found.seconds, found.is_same_run) == (seconds, is_same_run)
    assert words in found.note if words else found.note == ""


def test_an_offset_of_the_clock_is_reckoned_with():
    start = Instant(datetime.fromisoformat("2026-10-25T01:59:00+02:00"), 5, "deck", "a")
    end = Instant(datetime.fromisoformat("2026-10-25T01:09:00+01:00"), 1, "deck", "b")
    assert elapsed(start, end).seconds == 600


@given(st.floats(0, 1e5), st.floats(0, 1e5), st.floats(-1e5, 1e5))
def test_in_one_run_no_setting_of_the_clock_moves_the_time_told(began, took, jump):
    found = elapsed(seen(0, began, run="a"), seen(took + jump, began + took, run="a"))
    assert found.seconds == pytest.approx(took, abs=1e-6)


class TestVacuumTimers:
    """The settle and the hold of the vacuum item."""

    @pytest.fixture
    def pool(self):
        pool = Poolside()
        pool.book = replace(pool.book, run="first")
        pool.logbook = Logbook(pool.book)
        return pool.dive()

    def start(self, pool, timer="settle"):
        return start_timer(pool.logbook, pool.record, "vacuum-hold", timer, by="otto")

    def left(self, pool):
        return [(t.timer, t.left_s) for t in timers_of(pool.logbook, pool.state())]

    def test_a_started_timer_runs_down_and_is_over(self, pool):
        self.start(pool)
        assert self.left(pool) == [("settle", 180)]
        pool.clock.advance(100)
        assert self.left(pool) == [("settle", 80)]
        pool.clock.advance(500)
        [timer] = timers_of(pool.logbook, pool.state())
        assert timer.is_over

    def test_it_survives_a_restart_and_a_closed_lid(self, pool):
        self.start(pool, "vacuum-hold")
        pool.clock.advance(400)
        pool.clock.elapsed_s = 0.4
        pool.book = replace(pool.book, run="second")
        pool.logbook = Logbook(pool.book)
        [timer] = timers_of(pool.logbook, pool.state())
        assert (timer.left_s, "started again" in timer.note) == (500, True)

    def test_a_clock_that_jumps_is_told_and_does_not_end_it(self, pool):
        self.start(pool, "vacuum-hold")
        pool.clock.advance(60)
        pool.clock.jump(7200)
        [timer] = timers_of(pool.logbook, pool.state())
        assert (timer.left_s, timer.is_over) == (840, False)
        assert "set forward by 7200 s" in timer.note

    def test_started_again_it_begins_anew(self, pool):
        self.start(pool)
        pool.clock.advance(100)
        self.start(pool)
        assert self.left(pool) == [("settle", 180)]

    def test_both_run_beside_each_other(self, pool):
        self.start(pool)
        self.start(pool, "vacuum-hold")
        assert [name for name, _ in self.left(pool)] == ["settle", "vacuum-hold"]

    def test_the_answer_ends_it_and_says_where_it_was_too_soon(self, pool):
        self.start(pool, "vacuum-hold")
        pool.clock.advance(600)
        answered = pool.tick(
            "vacuum-hold", start_below=25, start_temperature=20, end_below=24.9, end_temperature=20
        )
        assert "the timer vacuum hold has 300 s left" in answered.notes
        assert "the timer settle was not started here" in answered.notes
        assert self.left(pool) == []

    def test_an_opened_housing_ends_it(self, pool):
        from rovlog.usecases.dive_steps import log_event

        self.start(pool)
        log_event(pool.logbook, pool.record, "crew-changed", by="otto")
        assert len(self.left(pool)) == 1
        log_event(pool.logbook, pool.record, "housing-opened", by="otto")
        assert self.left(pool) == []

    def test_the_team_sets_its_length(self, pool):
        pool.book.files.tree["logbook.yaml"] += b"policy: {vacuum_settle_s: 300}\n"
        pool.logbook.forget()
        self.start(pool)
        assert self.left(pool) == [("settle", 300)]

    def test_a_timer_that_does_not_exist_is_refused_with_those_that_do(self, pool):
        with pytest.raises(UsageError, match="2 timers") as refused:
            start_timer(pool.logbook, pool.record, "vacuum-hold", by="otto")
        assert "settle, vacuum-hold" in refused.value.mend
        with pytest.raises(UsageError, match="has no timer"):
            start_timer(pool.logbook, pool.record, "fuse", by="otto")
