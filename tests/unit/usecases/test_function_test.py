"""The function test of a record: what comes next, what is refused, what is kept, and what counts."""

from __future__ import annotations

import pytest
from poolside import Poolside

from rovlog.domain.checks.dry_running import pending_burst
from rovlog.problems import UsageError
from rovlog.usecases.dive_steps import log_event, mark
from rovlog.usecases.function_test import (
    call_burst,
    dry_running_of,
    function_test_of,
    medium_of,
    observe_push,
)

ALL = ("bow-port", "bow-starboard", "stern-starboard", "stern-port", "lift-port", "lift-starboard")


@pytest.fixture
def pool():
    return Poolside().work()


def now(pool):
    return function_test_of(pool.logbook, pool.record)


def clear(pool, push=None, **more):
    return call_burst(pool.logbook, pool.record, push, by="otto", **more)


def see(pool, push=None, medium=None, **seen):
    words = {k.replace("_", "-"): v for k, v in seen.items()} or {"bow-port": "stern"}
    return observe_push(pool.logbook, pool.record, words, push, by="otto", medium=medium)


def test_the_test_begins_with_the_first_push_within_the_share(pool):
    test = now(pool)
    assert (test.watched, len(test.pushes), test.medium) == (0, 8, "dry")
    assert test.next.positions(is_dry=True) == (("left-stick-y", -0.3),)


def test_what_was_watched_is_left_out_and_the_test_ends(pool):
    pool.watch(most=3)
    test = now(pool)
    assert (test.watched, [p.name for p in test.left][:1]) == (3, [("left-stick-x", -1)])
    pool.watch()
    assert now(pool).next is None


def test_a_burst_is_called_with_what_it_is_and_waits_for_what_was_seen(pool):
    written = clear(pool)
    values = written.entry.fields["values"]
    assert (values["push"], values["medium"], values["duration_s"]) == ("left-stick-y=-0.3", "dry", 3.0)
    assert pending_burst(pool.record).id == written.entry.id
    found = see(pool, bow_port="stern", lift_port="none")
    assert dict(found.push) == {"left-stick-y": -0.3}
    assert dict(found.seen) == {"bow-port": "ahead", "lift-port": "still"}
    assert pending_burst(pool.record) is None
    assert found.excesses == ()


def test_the_next_burst_waits_for_the_rest_and_says_how_long(pool):
    clear(pool)
    pool.clock.advance(9)
    with pytest.raises(UsageError, match="the rest of 10 s is not over: wait 4 s"):
        clear(pool)
    pool.clock.advance(4)
    clear(pool)


def test_a_burst_beyond_the_share_is_refused_with_how_far_it_may_go(pool):
    with pytest.raises(UsageError, match="100 % of command; in air at most 30 %") as error:
        clear(pool, {"left-stick-y": -1.0})
    assert "left-stick-y=-0.3" in error.value.mend
    clear(pool, {"left-stick-y": -1.0}, medium="wet")


def test_the_day_is_counted_over_the_vehicles_records(pool):
    for _ in range(10):
        see(pool, {"left-stick-y": -0.3})
        pool.clock.advance(20)
    pool.close().work("again")
    for _ in range(9):
        see(pool, {"left-stick-y": 0.3})
        pool.clock.advance(20)
    clear(pool)
    pool.clock.advance(20)
    with pytest.raises(UsageError, match="60 of 60 s of dry running are used today"):
        clear(pool)
    pool.clock.advance(24 * 3600)
    assert dry_running_of(pool.logbook, pool.record).used_s == 0.0


def test_what_was_seen_is_kept_and_its_excess_named_in_the_answer_and_the_record(pool):
    kept = [see(pool, {"left-stick-y": -1.0}) for _ in range(25)]
    assert len(pool.record.of_kind("observation")) == 25
    assert "a thruster at 100 % of command in air, at most 30 %" in kept[0].excesses
    assert any("a rest of 10 s is asked for" in e for e in kept[1].excesses)
    assert any("at most 60 s" in e for e in kept[24].excesses)
    assert "beyond the limits in air" in kept[24].written.entry.fields["text"]


def test_nothing_in_water_goes_beyond_the_limits_in_air(pool):
    for _ in range(25):
        assert see(pool, {"left-stick-y": -1.0}, medium="wet").excesses == ()
    assert dry_running_of(pool.logbook, pool.record).bursts == 0


def test_the_teams_numbers_hold(pool):
    text = pool.book.files.tree["logbook.yaml"].decode()
    pool.book.files.tree["logbook.yaml"] = (
        text + "policy: {dry_command_share: 0.2, dry_rest_s: 40, dry_day_s: 6}\n"
    ).encode()
    pool.logbook.forget()
    assert now(pool).next.positions(is_dry=True) == (("left-stick-y", -0.2),)
    clear(pool)
    pool.clock.advance(20)
    with pytest.raises(UsageError, match="rest of 40 s"):
        clear(pool)
    pool.clock.advance(23)
    clear(pool)
    pool.clock.advance(50)
    with pytest.raises(UsageError, match="6 of 6 s"):
        clear(pool)


def test_a_flow_across_the_recorded_direction_is_kept_as_unseen_and_said(pool):
    found = see(pool, lift_port="bow", bow_port="port")
    assert dict(found.seen) == {"lift-port": "unseen", "bow-port": "ahead"}
    assert found.across == ("lift-port threw toward bow, across its recorded direction",)


def test_a_misspelt_word_or_thruster_is_refused_with_the_nearest(pool):
    with pytest.raises(UsageError, match="no observation of bow-port 'sternn'"):
        see(pool, bow_port="sternn")
    with pytest.raises(UsageError, match="no thruster 'bow-prt'"):
        see(pool, bow_prt="stern")
    assert pool.record.of_kind("observation") == ()


def test_a_change_of_the_wiring_begins_the_test_anew(pool):
    pool.watch(most=3)
    log_event(pool.logbook, pool.record, "connector-parted", by="otto", part="bow-port")
    assert now(pool).watched == 0


def test_in_the_water_pushes_are_full_and_nothing_is_counted():
    pool = Poolside().dive()
    mark(pool.logbook, pool.record, "in-water", by="ines")
    test = now(pool)
    assert medium_of(pool.record) == "wet"
    assert test.next.positions(is_dry=test.is_dry) == (("left-stick-y", -1.0),)


def test_a_burst_past_a_hold_point_is_refused():
    pool = Poolside().dive()
    with pytest.raises(UsageError, match="waits for release"):
        clear(pool)


class TestWhatTheListsCount:
    """Items take the number of pushes from the record."""

    def test_a_typed_number_that_is_not_on_record_is_asked_about_and_then_kept_as_said(self, pool):
        pool = self.search(pool)
        asked = pool.tick("fault-function", "otto", is_sure=False, pushes=8)
        assert any("8 typed, 0 on record" in q.text for q in asked.questions)
        assert pool.state().items["fault-function"].state == "open"
        kept = pool.tick("fault-function", "otto", is_sure=True, pushes=8)
        assert kept.written.entry.fields["source"] != "computed"

    def test_the_count_is_filled_in_as_computed_and_judged(self, pool):
        pool = self.search(pool)
        pool.watch(most=3)
        short = pool.tick("fault-function", "otto")
        assert (short.outcome, short.written.entry.fields["values"]) == ("fail", {"pushes": 3})
        pool.watch()
        whole = pool.tick("fault-function", "otto")
        fields = whole.written.entry.fields
        assert (whole.outcome, fields["values"], fields["source"]) == ("pass", {"pushes": 8}, "computed")

    def test_the_same_push_again_is_not_another_one(self, pool):
        pool = self.search(pool)
        for _ in range(8):
            see(pool, {"left-stick-y": -0.3})
        assert pool.tick("fault-function", "otto").written.entry.fields["values"] == {"pushes": 1}

    def test_what_is_on_paper_is_taken_as_it_is_said(self, pool):
        pool = self.search(pool)
        found = pool.tick("fault-function", "otto", pushes=8, source="paper")
        assert (found.outcome, found.written.entry.fields["source"]) == ("pass", "paper")

    @staticmethod
    def search(_):
        """Work after a fault, as far as the functional test."""
        from rovlog.usecases.attach_evidence import attach_evidence
        from rovlog.usecases.dive_steps import log_fault

        pool = Poolside().dive()
        log_fault(pool.logbook, pool.record, "yaw-dead", by="ines")
        pool.close().work()
        pool.tick("fault-power", "ines", choice="all-off")
        pool.tick("fault-quarantine", "ines")
        pool.tick("fault-readback", "otto", choice="none-possible", reason="it has no power")
        pool.book.files.tree["attachments/link.jpg"] = b"the plug"
        attach_evidence(pool.logbook, pool.record, "attachments/link.jpg", what="the plug", by="otto")
        pool.tick("fault-photos", "otto", photos=1)
        pool.tick("fault-parts", "otto", holder="otto")
        pool.tick("fault-last-good", "ines", dive="none")
        pool.tick("fault-changes", "ines", changes=0)
        return pool


def test_the_pattern_is_compared_with_what_was_seen_since_the_last_change(pool):
    see(pool, {"left-stick-y": -0.3}, bow_port="bow")
    assert pool.state().computed["direction_mismatches"] == 1.0
    log_event(pool.logbook, pool.record, "connector-parted", by="otto", part="bow-port")
    see(pool, {"left-stick-y": -0.3}, bow_port="stern")
    assert pool.state().computed["direction_mismatches"] == 0.0
