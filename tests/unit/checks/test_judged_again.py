"""Limits are judged at entry and again when the configuration, the supply or the water changes."""

from __future__ import annotations

import pytest
from poolside import SALT, Poolside

from rovlog.usecases.dive_steps import correct, log, log_trim


@pytest.fixture
def pool():
    return Poolside().dive()


def test_the_judgement_at_entry_stays_on_record_and_the_new_one_counts(pool):
    pool.tick("deck", "ruth", supply_from_edge=3)
    kept = pool.record.of_kind("check")[-1]
    assert kept.fields["limits"][0]["margin"] == 1.0
    pool.change("/limits/supply_from_edge_m", 5.0)
    state = pool.state().items["deck"]
    assert (state.state, state.reason) == ("failed", "supply from edge 3 m is not at least 5 m")
    assert pool.record.of_kind("check")[-1].fields["limits"][0]["margin"] == 1.0


def test_another_fuse_in_the_configuration_fails_the_fuse_that_was_read(pool):
    pool.tick("fuse", "otto", rating=20)
    pool.tick("fuse", "ruth", rating=20)
    assert pool.state().items["fuse"].state == "answered"
    pool.change("/electrical/fuse/rating_a", 15)
    assert pool.state().items["fuse"].state == "failed"
    pool.change("/electrical/fuse/rating_a", 20)
    assert pool.state().items["fuse"].state == "answered"


def test_a_weaker_supply_is_judged_against_the_voltage_accepted_before():
    pool = Poolside().work("bench")
    pool.tick("bench-voltage", "otto")
    assert pool.state().items["bench-voltage"].state == "answered"
    pool.change("/electrical/supply/internal_resistance_ohm", 0.4)
    pool.change("/electrical/least_working_v", 12.4)
    assert pool.state().items["bench-voltage"].state in ("failed", "expired")


def test_salt_water_voids_the_buoyancy_and_asks_for_it_anew(pool):
    pool.tick("net-buoyancy", "ines")
    fresh = pool.state()
    assert fresh.items["net-buoyancy"].state in ("answered", "failed")
    log(pool.logbook, pool.record, "place", {"water": SALT}, by="ines")
    salt = pool.state()
    assert salt.items["net-buoyancy"].state == "expired"
    assert "water changed from fresh to salt" in salt.items["net-buoyancy"].void_reason
    assert salt.computed["net_up_n"] > fresh.computed["net_up_n"]


def test_an_answer_that_failed_its_limit_is_not_mended_by_another_limit(pool):
    pool.tick("deck", "ruth", supply_from_edge=1)
    assert pool.state().items["deck"].reason == "supply from edge 1 m is not at least 2 m"
    pool.change("/limits/supply_from_edge_m", 0.5)
    found = pool.state().items["deck"]
    assert (found.state, found.reason) == (
        "failed",
        "supply from edge 1 was not at least 2 when it was answered; answer it again",
    )


class TestTrimsCarryTheirWater:
    """A trim found in one water is no trim for another."""

    def left(self, pool, water):
        log_trim(pool.logbook, pool.record, {"heave": 0.08}, by="ines", reason="rose")
        pool.close().dive(water=water)
        drift = pool.state().drift
        assert drift is not None
        return drift.notes

    def test_the_water_is_said_beside_the_trim_left_behind(self, pool):
        notes = self.left(pool, {"kind": "fresh", "temperature_c": 14.0})
        assert "left heave trim +0.08 (down) in fresh 15 °C" in notes[0]
        assert len(notes) == 1

    def test_another_water_asks_for_it_anew(self, pool):
        notes = self.left(pool, SALT)
        assert notes[1].endswith("in fresh 15 °C; this dive is in salt 15 °C salinity 35: find it anew")

    def test_the_water_is_the_one_at_the_time_of_the_trim(self, pool):
        log_trim(pool.logbook, pool.record, {"heave": 0.02}, by="ines")
        log(pool.logbook, pool.record, "place", {"water": SALT}, by="ines")
        notes = self.left(pool, SALT)
        assert "in salt 15 °C salinity 35" in notes[0]

    def test_a_trim_answered_in_the_water_is_voided_by_another_water(self, pool):
        item = pool.state().item("trim-in-water")
        assert item is not None
        assert "water-changed" in item.voided_by


class TestCorrections:
    """A corrected value is judged by the program."""

    def correct(self, pool, changes):
        entry = pool.record.of_kind("check")[-1]
        return correct(pool.logbook, pool.record, entry.id, changes, by="ruth", reason="read again")

    def test_a_value_that_failed_and_is_corrected_passes(self, pool):
        assert pool.tick("deck", "ruth", supply_from_edge=0.3).outcome == "fail"
        self.correct(pool, {"values": {"supply_from_edge": 3}})
        kept = pool.record.of_kind("check")[-1]
        assert (kept.fields["outcome"], kept.fields["limits"][0]["margin"]) == ("pass", 1.0)
        assert pool.state().items["deck"].state == "answered"

    def test_a_value_that_passed_and_is_corrected_fails(self, pool):
        pool.tick("deck", "ruth", supply_from_edge=3)
        self.correct(pool, {"values": {"supply_from_edge": 0.3}})
        assert pool.record.of_kind("check")[-1].fields["outcome"] == "fail"
        assert pool.state().items["deck"].state == "failed"

    def test_what_a_person_said_has_failed_stays_failed_until_that_is_corrected(self, pool):
        pool.tick("deck", "ruth", supply_from_edge=3, outcome="fail", text="a lead lies across the walkway")
        self.correct(pool, {"values": {"supply_from_edge": 4}})
        assert pool.state().items["deck"].state == "failed"
        self.correct(pool, {"outcome": "pass"})
        assert pool.state().items["deck"].state == "answered"

    def test_another_correction_is_left_alone(self, pool):
        pool.tick("deck", "ruth", supply_from_edge=3)
        written = self.correct(pool, {"by": "otto"})
        assert dict(written.entry.fields["set"]) == {"by": "otto"}
