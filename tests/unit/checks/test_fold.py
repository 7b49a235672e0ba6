"""The fold over dives and work: what answers an item, how long that holds, and what ends it."""

from __future__ import annotations

import dataclasses
from datetime import timedelta
from typing import Any, ClassVar

import pytest

from rovlog.domain.checks.fold import remember
from rovlog.domain.checks.happenings import Policy
from rovlog.domain.checks.per_housing import for_each_housing
from rovlog.domain.dive import VOID_EVENTS, WHILE_AWAY

CREW = {"supervisor": "ines", "pilot": "otto", "tender": "ruth", "technician": "piet"}


def test_an_item_nobody_answered_is_open(diary):
    diary.start("one")
    assert diary.state("swimmers").state == "open"
    assert diary.state("swimmers").by == ""


def test_an_answer_is_kept_with_who_when_and_where_from(diary):
    state = diary.start("one").tick("swimmers", by="ines").state("swimmers")
    assert (state.state, state.by, state.source, state.carried_from) == ("answered", "ines", "seen", None)
    assert state.at == "2026-05-01T09:00:00+01:00"


def test_a_measured_item_without_its_value_stays_open(diary):
    state = diary.start("one").tick("sag").state("sag")
    assert (state.state, state.reason) == ("open", "not given: drop from resting voltage")


def test_a_choice_without_a_choice_stays_open(diary):
    assert diary.start("one").tick("payload", by="otto").state("payload").state == "open"
    assert diary.tick("payload", by="otto", choice="as-configured").state("payload").state == "answered"


def test_a_value_beyond_its_limit_fails_whatever_was_ticked(diary):
    state = diary.start("one").tick("sag", sag=1.4).state("sag")
    assert state.state == "failed"
    assert state.reason == "sag 1.4 V is not at most 1 V"
    assert state.limits[0].margin == pytest.approx(-0.4)


def test_an_answer_ticked_as_failed_fails_although_its_value_holds(diary):
    assert diary.start("one").tick("sag", outcome="fail", sag=0.2).state("sag").state == "failed"


def test_a_limit_is_judged_anew_when_the_configuration_changes(diary, make_diary):
    diary.start("one").tick("last-look-fuse", rating=20)
    assert diary.state("last-look-fuse").state == "answered"
    smaller = {**diary.resolved, "electrical": {**diary.resolved["electrical"], "fuse": {"rating_a": 10}}}
    state = dataclasses.replace(diary, resolved=smaller).state("last-look-fuse")
    assert (state.state, state.limits[0].limit) == ("failed", 10)


def test_what_cannot_be_computed_is_said_and_not_judged(diary):
    diary.start("one").tick("net-buoyancy", by="otto", net_up=1.2)
    assert diary.state("net-buoyancy").unjudged == ()
    diary.tick("reach", by="ruth", needed=12)
    state = diary.state("reach")
    assert state.state == "answered"
    assert [j.reason for j in state.unjudged] == ["tether_reach_m cannot be computed"]
    diary.computed = {"tether_reach_m": 10.0}
    assert diary.state("reach").state == "failed"


def test_an_answer_for_the_dive_does_not_reach_the_next_one(diary):
    diary.start("one").tick("jacket", by="ruth").wait(hours=1).start("two")
    state = diary.state("jacket")
    assert (state.state, state.by, state.void_reason) == ("open", "", "")


def test_an_answer_that_holds_until_voided_is_carried_over_and_says_so(diary):
    diary.start("one").tick("closures", closed=8).wait(days=3).start("two")
    state = diary.state("closures")
    assert (state.state, state.carried_from, state.by) == ("answered", "one", "piet")


def test_an_answer_of_work_on_the_bench_is_carried_into_the_dive(diary):
    diary.start("tub", kind="work").tick("closures", closed=8).wait(days=1).start("two")
    assert diary.state("closures").carried_from == "tub"


def test_a_setup_lasts_over_two_dives_of_one_day(diary):
    diary.start("one").tick("shore-end", by="ruth").wait(hours=2).start("two")
    assert (diary.state("shore-end").state, diary.state("shore-end").carried_from) == ("answered", "one")


@pytest.mark.parametrize(
    ("end", "reason"),
    [
        (lambda d: d.add("mark", "piet", mark="power-off").start("two"), "unplugged at power off 09:00"),
        (lambda d: d.start("two", site="weir"), "the kit was moved to weir"),
        (lambda d: d.add("place", "ines", site="weir"), "the kit was moved to weir"),
        (lambda d: d.wait(hours=16).start("two"), "it held for the setup, which ended with the day"),
    ],
)
def test_a_setup_ends_when_the_kit_is_unplugged_or_moved_or_the_day_ends(diary, end, reason):
    end(diary.start("one").tick("shore-end", by="ruth"))
    state = diary.state("shore-end")
    assert (state.state, state.void_reason) == ("expired", reason)


def test_a_day_ends_at_midnight_of_the_answer(diary):
    diary.start("one").tick("lag", by="otto", lag=120).wait(hours=14, minutes=59).start("two")
    assert diary.state("lag").state == "answered"
    assert diary.wait(minutes=1, seconds=1).state("lag").state == "expired"


def test_an_answer_runs_out_by_its_age(diary):
    diary.start("one").tick("resting-voltage", voltage=12.6)
    assert diary.state("resting-voltage").expires_at == diary.clock + timedelta(minutes=30)
    assert diary.wait(minutes=30).state("resting-voltage").state == "answered"
    state = diary.wait(seconds=1).state("resting-voltage")
    assert (state.state, state.void_reason) == ("expired", "older than 30 min")


def test_months_are_calendar_months(diary):
    diary.start("one", kind="work").tick("fuse-holder").tick("restore-drill")
    later = diary.clock.replace(year=2027)
    assert diary.state("restore-drill", now=later).state == "answered"
    assert diary.state("restore-drill", now=later + timedelta(seconds=1)).state == "expired"


def test_running_hours_end_an_answer(diary):
    diary.start("one", kind="work").tick("shaft-wear", play=0.1).start("two")
    diary.add("mark", "piet", mark="power-on").wait(hours=25).add("mark", "piet", mark="power-off")
    assert diary.state("shaft-wear").state == "answered"
    diary.start("three").add("mark", "piet", mark="power-on").wait(minutes=1)
    assert diary.state("shaft-wear").void_reason == "older than 25 running h"


@pytest.mark.parametrize("event", VOID_EVENTS)
def test_an_event_reopens_exactly_the_items_it_voids(diary, event):
    diary.start("one")
    for item in [i for c in diary.lists for i in c.items() if i.witness == "none" and i.kind != "release"]:
        values = {a.value: a.options[0] if a.options else "x" if a.type == "text" else 0 for a in item.asks}
        diary.tick(item.item, by="piet", **values)
    before = diary.states()
    after = diary.add("event", "ruth", event=event).states()
    for item in [i for c in diary.lists for i in c.items()]:
        was, now = before[item.item], after[item.item]
        voids = WHILE_AWAY if event == "returned" else (event,)
        if set(voids) & set(item.voided_by) and was.by:
            assert (now.state, VOID_EVENTS[event] in now.void_reason) == ("expired", True)
        else:
            assert now == was


def test_an_item_answered_after_the_event_holds(diary):
    diary.start("one").tick("shake", by="ruth").add("event", "otto", event="knocked")
    state = diary.state("shake")
    assert (state.state, state.void_reason) == ("expired", "knock or drop, otto at 09:00")
    assert diary.tick("shake", by="ruth").state("shake").state == "answered"


def test_an_event_of_an_earlier_record_voids_what_was_answered_before_it(diary):
    diary.start("one").tick("closures", closed=8).start("bench", kind="work")
    diary.add("event", "piet", event="housing-opened", part="tube").start("two")
    assert diary.state("closures").void_reason == "housing opened (tube), piet at 09:00"


def test_work_that_overlaps_the_dive_is_taken_at_its_time(diary):
    diary.start("bench", kind="work").wait(minutes=5).start("dive").tick("closures", closed=8).wait(minutes=5)
    diary.here = "bench"
    diary.add("event", "piet", event="housing-opened")
    assert diary.state("closures", name="dive").state == "expired"


def test_changed_people_void_what_hangs_on_them(diary):
    diary.start("one").tick("stop-word", by="ines")
    assert diary.add("crew", "ines", crew=CREW).state("stop-word").state == "answered"
    diary.add("crew", "ines", crew={**CREW, "pilot": "ruth", "tender": "otto"})
    assert diary.state("stop-word").void_reason == "people changed: pilot, tender, ines at 09:00"


def test_another_crew_in_the_next_dive_voids_too(diary):
    diary.start("one").tick("stop-word", by="ines").start("two", crew={**CREW, "pilot": "mo"})
    assert diary.state("stop-word").state == "expired"


def test_another_water_voids_the_buoyancy(diary):
    diary.start("one").tick("net-buoyancy", by="otto", net_up=1.0)
    diary.start("two", water={"kind": "salt", "temperature_c": 12.0, "salinity": 33})
    assert diary.state("net-buoyancy").void_reason.startswith("water changed from fresh to salt")


def test_small_steps_of_temperature_add_up(diary):
    rise = {
        "start_below": 25,
        "start_temperature": 20,
        "end_below": 24.8,
        "end_temperature": 20,
        "corrected_rise": 0.2,
    }
    diary.start("one").tick("vacuum-hold", **rise)
    for temperature, state in ((15.0, "answered"), (17.0, "answered"), (17.1, "expired")):
        diary.add("place", "ines", water={"kind": "fresh", "temperature_c": temperature})
        assert diary.state("vacuum-hold").state == state


def test_another_configuration_voids_what_rests_on_it(diary):
    diary.start("one").tick("link-back", by="otto").start("two", working="sha256:two")
    assert diary.state("link-back").void_reason.startswith("configuration changed")


def test_a_configuration_edited_during_the_dive_voids_too(diary):
    diary.start("one").tick("link-back", by="otto")
    assert diary.state("link-back", digest="sha256:one").state == "answered"
    assert diary.state("link-back", digest="sha256:two").void_reason == "configuration changed since"


def test_fitting_a_fuse_voids_the_fuse_items_alone(diary):
    diary.start("one").tick("last-look-fuse", rating=20).tick("last-look-closures")
    diary.add("fitted", "piet", part="fuse-b", to="main fuse holder")
    assert diary.state("last-look-fuse").void_reason.startswith("fuse-b fitted to main fuse holder")
    assert diary.state("last-look-closures").state == "answered"


def test_a_fault_voids_every_item_that_names_the_part(diary):
    diary.start("one").tick("stop-released", by="otto").tick("sound", by="ruth").tick("shake", by="ruth")
    diary.add("fault", "otto", symptom="surge-weak", part="stern-right")
    assert diary.state("sound").void_reason == "fault logged: surge-weak (stern-right), otto at 09:00"
    assert diary.state("stop-released").state == "answered"
    assert diary.state("shake").state == "answered"


def test_a_part_is_known_by_where_it_was_fitted(diary):
    diary.start("one").add("fitted", "piet", part="red-reel", to="tether").tick("strain-relief", by="ruth")
    assert (
        diary.add("fault", "otto", symptom="cut", part="red-reel").state("strain-relief").state == "expired"
    )


def test_an_opened_fuse_voids_the_fuse_items(diary):
    diary.start("one").tick("last-look-fuse", rating=20).add("fault", "otto", symptom="fuse-opened")
    assert diary.state("last-look-fuse").state == "expired"


class TestBox:
    """What the box says, and what the pilot wrote down."""

    same: ClassVar[dict[str, Any]] = {"steering_scheme": 4, "thruster_map": 2, "trim": {"heave": 0.05}}

    def read(self, diary, **in_use):
        return diary.add("readback", "piet", box="grey-box", firmware="1.2", in_use=in_use, source="box-read")

    def test_a_readback_as_approved_voids_nothing(self, diary):
        diary.start("one").tick("stop-released", by="otto")
        assert self.read(diary, **self.same).state("stop-released").state == "answered"

    def test_a_readback_that_differs_voids(self, diary):
        diary.start("one").tick("stop-released", by="otto")
        state = self.read(diary, **{**self.same, "thruster_map": 3}).state("stop-released")
        assert state.void_reason == "the box reads back differently: thruster map, piet at 09:00"

    def test_a_difference_voids_once(self, diary):
        self.read(diary.start("one"), **{**self.same, "thruster_map": 3}).tick("stop-released", by="otto")
        assert self.read(diary, **{**self.same, "thruster_map": 3}).state("stop-released").state == "answered"

    @pytest.mark.parametrize(("heave", "state"), [(0.07, "answered"), (0.0701, "expired")])
    def test_a_trim_within_tolerance_is_no_difference(self, diary, heave, state):
        diary.start("one").tick("stop-released", by="otto")
        assert (
            self.read(diary, **{**self.same, "trim": {"heave": heave}}).state("stop-released").state == state
        )

    def test_a_trim_that_was_logged_is_no_surprise(self, diary):
        self.read(diary.start("one"), **self.same).tick("stop-released", by="otto")
        diary.add("trim", "otto", trim={"heave": 0.2})
        changed = {**self.same, "trim": {"heave": 0.2}}
        assert self.read(diary, **changed).state("stop-released").state == "answered"

    def test_a_trim_gone_from_the_box_is_a_difference(self, diary):
        self.read(diary.start("one"), **self.same).tick("stop-released", by="otto")
        assert self.read(diary, **{**self.same, "trim": {}}).state("stop-released").state == "expired"

    def test_another_firmware_is_a_difference(self, diary):
        self.read(diary.start("one"), **self.same).tick("stop-released", by="otto")
        diary.add("readback", "piet", box="grey-box", firmware="1.3", in_use=self.same, source="box-read")
        assert "firmware" in diary.state("stop-released").void_reason

    def test_what_the_pilot_says_is_set_counts(self, diary):
        diary.start("one").tick("stop-released", by="otto").add(
            "setup", "otto", values={"steering_scheme": 5}
        )
        assert diary.state("stop-released").void_reason.startswith("the pilot says it is set differently")


class TestTwoPeople:
    """The second person's answer."""

    def test_a_blind_item_waits_for_the_second(self, diary):
        state = diary.start("one").tick("fuse", rating=20).state("fuse")
        assert (state.state, state.waits_for_second) == ("open", True)
        assert state.reason == "the second person's answer is missing"

    def test_two_equal_answers_settle_it(self, diary):
        state = diary.start("one").tick("fuse", rating=20).tick("fuse", "ruth", True, rating=20).state("fuse")
        assert (state.state, state.by, state.second_by) == ("answered", "piet", "ruth")

    def test_the_second_may_answer_first(self, diary):
        diary.start("one").tick("fuse", "ruth", True, rating=20)
        assert diary.state("fuse").reason == "the first person's answer is missing"
        assert diary.tick("fuse", rating=20).state("fuse").state == "answered"

    def test_a_disagreement_shows_both_and_counts_as_failed(self, diary):
        diary.start("one").tick("fuse", rating=20).tick("fuse", "ruth", True, rating=15)
        state = diary.state("fuse")
        assert state.state == "failed"
        assert state.reason == "the two answers differ: rating on the body: piet says 20 A, ruth says 15 A"

    def test_a_disagreement_is_ended_only_by_both_answering_again(self, diary):
        diary.start("one").tick("fuse", rating=20).tick("fuse", "ruth", True, rating=15)
        assert diary.tick("fuse", rating=20).state("fuse").state == "open"
        assert diary.tick("fuse", "ruth", True, rating=20).state("fuse").state == "answered"

    def test_after_a_void_the_second_may_answer_first_again(self, diary):
        diary.start("one").tick("fuse", rating=20).tick("fuse", "ruth", True, rating=20)
        diary.add("event", "otto", event="fuse-changed").tick("fuse", "ruth", True, rating=20)
        assert diary.state("fuse").state == "open"
        assert diary.tick("fuse", rating=20).state("fuse").state == "answered"

    def test_one_person_cannot_be_both(self, diary):
        diary.start("one").tick("fuse", rating=20).tick("fuse", "piet", True, rating=20)
        assert diary.state("fuse").reason == "piet gave both answers; a second person answers"

    def test_a_crew_of_one_may_and_it_shows(self, diary):
        diary.start("one", crew={"supervisor": "piet", "pilot": "piet"})
        diary.tick("fuse", rating=20).tick("fuse", "piet", True, rating=20)
        assert (diary.state("fuse").state, diary.state("fuse").is_alone) == ("answered", True)

    def test_a_watching_witness_needs_no_value(self, diary):
        diary.start("one").tick("mains", choice="no-mains").tick("mains", "ruth", True)
        assert diary.state("mains").state == "answered"

    def test_a_witness_who_saw_it_fail_makes_it_fail(self, diary):
        diary.start("one").tick("seals").tick("seals", "ruth", True, "fail")
        assert diary.state("seals").reason == "the two answers differ: piet says pass, ruth says fail"

    def test_a_void_ends_both_answers(self, diary):
        diary.start("one").tick("fuse", rating=20).tick("fuse", "ruth", True, rating=20)
        diary.add("event", "otto", event="fuse-changed").tick("fuse", rating=20)
        assert diary.state("fuse").waits_for_second


class TestSettingAside:
    """Deferred, not applicable, waived."""

    def test_a_deferred_item_says_who_why_and_until(self, diary):
        diary.start("one").add(
            "deferral", "piet", item="sag", reason="no load here", until="2026-05-01T09:30:00+01:00"
        )
        state = diary.state("sag")
        assert (state.state, state.by, state.reason) == ("deferred", "piet", "no load here")
        assert not state.is_past_due
        assert diary.wait(minutes=31).state("sag").is_past_due

    def test_an_answer_ends_a_deferral(self, diary):
        diary.start("one").add("deferral", "piet", item="sag", reason="later").tick("sag", sag=0.3)
        assert diary.state("sag").state == "answered"

    def test_a_deferral_does_not_reach_the_next_dive(self, diary):
        diary.start("one").add("deferral", "piet", item="sag", reason="later").start("two")
        assert diary.state("sag").state == "open"

    def test_a_failed_item_is_not_hidden_by_deferring_it(self, diary):
        diary.start("one").tick("sag", sag=3).add("deferral", "piet", item="sag", reason="later")
        assert diary.state("sag").state == "failed"

    def test_an_item_may_be_left_out_with_a_reason(self, diary):
        diary.start("one").add("not-applicable", "piet", item="leak-alarm", reason="none is fitted")
        assert (diary.state("leak-alarm").state, diary.state("leak-alarm").reason) == (
            "not-applicable",
            "none is fitted",
        )

    def test_an_item_left_out_of_one_dive_is_asked_again_on_the_next(self, diary):
        diary.start("one").add("not-applicable", "piet", item="leak-alarm", reason="none is fitted")
        assert diary.state("leak-alarm").state == "not-applicable"
        diary.wait(hours=2).start("two")
        assert (diary.state("leak-alarm").state, diary.state("leak-alarm").reason) == ("open", "")

    def test_an_item_that_always_stops_may_not_be_left_out(self, diary):
        diary.start("one").add("not-applicable", "piet", item="swimmers", reason="nobody swims in May")
        assert diary.state("swimmers").state == "open"

    def test_the_configuration_may_rule_an_item_out(self, diary):
        diary.start("one")
        assert diary.state("vacuum-port").state == "open"
        diary.resolved = {**diary.resolved, "housings": {"tube": {"depth_rating_m": 30}}}
        state = diary.state("vacuum-port")
        assert state.state == "not-applicable"
        assert state.reason == "the configuration does not say true at /housings/*/vacuum_port"

    def test_a_waiver_by_the_supervisor_holds_until_its_end(self, diary):
        diary.start("one").add("waiver", "ines", item="sag", reason="new cells", until="2026-05-02")
        assert diary.state("sag").state == "waived"
        diary.wait(days=1).start("two")
        assert diary.state("sag").state == "waived"
        assert diary.wait(days=1).state("sag").state == "open"

    def test_a_waiver_without_a_time_holds_for_this_dive(self, diary):
        diary.start("one").add("waiver", "ines", item="sag", reason="new cells", until="end of this dive")
        assert diary.state("sag").state == "waived"
        assert diary.start("two").state("sag").state == "open"

    def test_a_waiver_by_anybody_else_counts_for_nothing(self, diary):
        diary.start("one").add("waiver", "otto", item="sag", reason="new cells", until="2026-05-02")
        assert diary.state("sag").state == "open"

    def test_no_waiver_exists_for_what_always_stops(self, diary):
        diary.start("one").add("waiver", "ines", item="swimmers", reason="they are far", until="2026-05-02")
        state = diary.state("swimmers")
        assert (state.state, state.reason) == ("open", "it always stops the dive: there is no waiver")

    def test_an_answer_stands_before_a_waiver(self, diary):
        diary.start("one").add("waiver", "ines", item="sag", reason="new cells", until="2026-05-02")
        assert diary.tick("sag", sag=0.4).state("sag").state == "answered"


class TestPauses:
    """A list that was interrupted."""

    def test_after_a_short_pause_the_last_item_is_asked_again(self, diary):
        diary.start("one").tick("jacket", by="ruth").tick("strain-relief", by="ruth")
        diary.add("pause", "ruth", item="shore-end", reason="a visitor").wait(minutes=2).add("resume", "ruth")
        assert diary.state("jacket").state == "answered"
        state = diary.state("strain-relief")
        assert (state.state, state.reason) == ("open", "asked again after the pause")
        assert diary.tick("strain-relief", by="ruth").state("strain-relief").state == "answered"

    def test_past_the_gap_the_group_starts_again(self, diary):
        diary.start("one").tick("shake", by="ruth").tick("jacket", by="ruth").tick("strain-relief", by="ruth")
        diary.add("pause", "ruth", item="shore-end", reason="rain").wait(minutes=14).add("resume", "ruth")
        assert diary.state("jacket").void_reason == (
            "the group starts again after a pause of 14 min, over the limit of 10 min"
        )
        assert diary.state("strain-relief").state == "expired"
        assert diary.state("shake").state == "answered"

    def test_a_long_pause_voids_what_a_long_pause_voids(self, diary):
        diary.start("one").tick("swimmers", by="ines").add("pause", "ruth", item="lay", reason="rain")
        diary.wait(minutes=14).add("resume", "ruth")
        assert diary.state("swimmers").state == "expired"

    def test_the_gap_is_the_teams_to_set(self, diary):
        diary.start("one").tick("swimmers", by="ines").add("pause", "ruth", item="lay", reason="rain")
        diary.wait(minutes=14).add("resume", "ruth")
        assert diary.state("swimmers", policy=Policy(pause_gap_s=900)).state == "open"

    def test_answering_ends_a_pause_as_resuming_does(self, diary):
        diary.start("one").tick("swimmers", by="ines").add("pause", "ruth", item="lay", reason="rain")
        assert diary.wait(minutes=14).tick("lay", by="ruth").state("swimmers").state == "expired"

    def test_a_clock_set_back_does_not_shorten_a_pause(self, diary):
        diary.start("one").tick("swimmers", by="ines").add("pause", "ruth", item="lay", reason="rain")
        diary.wait(minutes=-60)
        diary.mono_s += 1200
        assert diary.add("resume", "ruth").state("swimmers").state == "expired"


class TestClocks:
    """Wall clocks are shown, never trusted."""

    def test_an_answer_from_the_future_has_no_age(self, diary):
        diary.start("one").wait(days=400).tick("resting-voltage", voltage=12.6).tick("closures", closed=8)
        diary.wait(days=-400).start("two")
        assert (
            diary.state("resting-voltage").void_reason
            == "the clock went back since: its age cannot be judged"
        )
        assert diary.state("closures").state == "answered"

    def test_the_order_in_a_record_is_its_own_whatever_the_clock_says(self, diary):
        diary.start("one").tick("shake", by="ruth").wait(days=-900).add("event", "ruth", event="knocked")
        assert diary.state("shake").state == "expired"
        assert diary.wait(days=900).tick("shake", by="ruth").state("shake").state == "answered"

    def test_a_dive_with_a_clock_far_back_still_comes_after_the_one_before(self, diary):
        diary.start("one").tick("closures", closed=8).wait(days=-3000).start("two")
        diary.add("event", "ruth", event="housing-opened")
        assert diary.state("closures").state == "expired"

    @pytest.mark.parametrize(
        "at", ["", "yesterday", "2026-05-01", "2026-05-01T10:00:00", "9999-12-31T23:59:59Z"]
    )
    def test_a_time_that_cannot_be_read_stops_nothing_from_being_told(self, diary, at):
        diary.start("one").tick("resting-voltage", voltage=12.6)
        entries = diary.records["one"]
        entries[-1] = dataclasses.replace(entries[-1], at=at)
        diary.add("mark", "piet", mark="in-water")
        assert diary.state("resting-voltage").state in ("answered", "expired")


def answered(diary, item, by="piet", **values):
    """An item answered by two people where it asks for that."""
    asked = next(i for c in diary.lists for i in c.items() if i.item == item)
    diary.tick(item, by, **values)
    return diary.tick(item, "ruth", True, **values) if asked.witness != "none" else diary


HELD = {
    "start_below": 25,
    "start_temperature": 20,
    "end_below": 24.8,
    "end_temperature": 20,
    "corrected_rise": 0.2,
}


@pytest.mark.parametrize(
    ("item", "values", "reopened"),
    [
        ("vacuum-pulled", {"below_outside": 25}, {"vacuum-hold", "vacuum-port", "last-look-closures"}),
        ("vacuum-hold", HELD, {"vacuum-port", "last-look-closures"}),
    ],
)
def test_a_new_vacuum_reopens_the_plug_and_the_last_look(diary, item, values, reopened):
    answered(diary.start("one"), "vacuum-pulled", below_outside=25)
    answered(diary, "vacuum-hold", **HELD)
    answered(diary, "vacuum-port", choice="released-plug-in")
    answered(diary, "last-look-closures")
    before = diary.states()
    assert {before[i].state for i in ("vacuum-pulled", "vacuum-hold", *reopened)} == {"answered"}
    after = diary.wait(minutes=2).tick(item, "piet", **values).states()
    assert {name for name, s in after.items() if s.state != before[name].state} == reopened
    code = {"vacuum-pulled": "C4 Vacuum pulled", "vacuum-hold": "C5 Settle 3 min, then vacuum hold 15 min"}[
        item
    ]
    assert {after[i].void_reason for i in reopened} == {f"{code} answered anew, piet at 09:02"}


def test_a_second_persons_answer_reopens_nothing(make_list, make_diary):
    one = {"item": "hatch", "witness": "concurrent", "reopens": ["plug"]}
    diary = make_diary(make_list(one, {"item": "plug"}))
    diary.start("one").tick("hatch").tick("plug").tick("hatch", "ruth", True)
    assert diary.state("plug").state == "answered"
    assert diary.tick("hatch").state("plug").state == "expired"


def test_of_several_housings_an_answer_reopens_what_is_asked_of_the_same(all_lists, diary, make_diary):
    two = {"tube": {"vacuum_port": True}, "pod": {"vacuum_port": True}}
    lists = tuple(for_each_housing(c, two) for c in all_lists)
    diary = make_diary(*lists, resolved={**diary.resolved, "housings": two}).start("one")
    for port in ("vacuum-port-tube", "vacuum-port-pod"):
        answered(diary, port, choice="kept-plug-in")
    states = diary.tick("vacuum-hold-pod", **HELD).states()
    assert (states["vacuum-port-tube"].state, states["vacuum-port-pod"].state) == ("answered", "expired")


def test_a_trim_reopens_what_states_the_trim(diary):
    diary.start("one").tick("trim-in-box", heave=0.05).tick("last-look-setup", differences=0)
    diary.tick("put-back", choice="no-changes").add("trim", "otto", trim={"heave": 0.1})
    for item in ("trim-in-box", "last-look-setup", "put-back"):
        state = diary.state(item)
        assert (state.state, state.void_reason) == ("expired", "control trim changed: heave, otto at 09:00")


def test_in_the_water_a_trim_leaves_the_lists_before_the_launch_and_reopens_the_one_after(diary):
    diary.start("one").tick("trim-in-box", heave=0.05).tick("put-back", choice="no-changes")
    diary.add("mark", "ruth", mark="in-water").add("trim", "otto", trim={"heave": 0.1})
    assert diary.state("trim-in-box").state == "answered"
    assert diary.state("put-back").state == "expired"


@pytest.mark.parametrize(("item", "choice"), [("put-back", "no-changes"), ("opening", "not-opened")])
def test_what_is_asked_about_this_dive_is_not_carried_to_the_next(diary, item, choice):
    diary.start("one").tick(item, choice=choice).wait(days=1)
    assert diary.state(item).state == "answered"
    assert diary.start("two").state(item).state == "open"


def test_a_remembered_past_tells_the_same_as_walking_it_again(diary):
    diary.start("one").tick("closures", closed=8).tick("shake", by="ruth").wait(hours=2)
    diary.start("two").add("event", "otto", event="knocked").tick("fuse", rating=20).wait(hours=2)
    diary.start("three").tick("fuse", "ruth", True, rating=20).tick("sag", sag=0.3)
    memory = remember(diary.lists, [diary.record("one"), diary.record("two")], diary.resolved, diary.clock)
    again = diary.states(memory=memory)
    assert again == diary.states()
    assert again == diary.states(memory=memory)  # the first walk left the memory as it was
    assert diary.state("fuse", memory=memory).state == "answered"


def test_what_was_voided_on_another_day_is_told_with_that_day_from_a_remembered_past_too(diary):
    diary.start("one").tick("closures", closed=8).wait(minutes=5)
    diary.add("event", "otto", event="housing-opened").wait(hours=30)
    diary.start("two").tick("shake", by="ruth")
    memory = remember(diary.lists, [diary.record("one")], diary.resolved, diary.clock)
    told = diary.state("closures", memory=memory)
    assert told == diary.state("closures")
    assert str(diary.clock.date() - timedelta(days=1)) in told.void_reason


def test_who_comes_after_two_faults_has_been_there_for_both(diary):
    diary.start("one", crew={"pilot": "piet"}).add("fault", "piet", symptom="yaw-dead")
    diary.add("crew", "ines", crew={"pilot": "otto"}).add("fault", "otto", symptom="dark")
    diary.add("crew", "ines", crew={"pilot": "ruth", "tender": "ines"}).add("note", "ruth", text="seen")
    assert [f.people for f in diary.fold().faults] == [
        {"piet", "otto", "ruth", "ines"},
        {"otto", "ruth", "ines"},
    ]


def test_a_past_that_overlaps_is_walked_again(diary):
    diary.start("bench", kind="work").wait(minutes=5).start("dive").tick("closures", closed=8).wait(minutes=5)
    diary.here = "bench"
    diary.add("event", "piet", event="housing-opened")
    memory = remember(diary.lists, [diary.record("bench")], diary.resolved, diary.clock)
    assert diary.state("closures", name="dive", memory=memory).state == "expired"


def test_once_in_the_water_the_last_look_has_served(diary):
    diary.start("one").tick("last-look-stop", by="otto").wait(minutes=4).add("mark", "ruth", mark="in-water")
    assert diary.wait(minutes=40).state("last-look-stop").state == "answered"
    diary.add("mark", "ruth", mark="out-of-water")
    assert diary.state("last-look-stop").state == "expired"


def test_a_last_look_too_old_at_the_launch_stays_too_old(diary):
    diary.start("one").tick("last-look-stop", by="otto").wait(minutes=6).add("mark", "ruth", mark="in-water")
    assert diary.state("last-look-stop").state == "expired"
