"""Completion calls, hold points, quarantine, and what stops the dive."""

from __future__ import annotations

import pytest

from rovlog.domain.checks.groups import (
    group_state,
    keeps_closed,
    may_answer,
    may_complete,
    may_release,
    next_hold,
)
from rovlog.domain.checks.quarantine import quarantine
from rovlog.domain.checks.state import states_of
from rovlog.domain.checks.stops import NOTHING_STOPS, Standing, stop_words, what_stops
from rovlog.domain.findings import Finding

CREW = {"supervisor": "ines", "pilot": "otto", "tender": "ruth", "technician": "piet"}


@pytest.fixture
def short(make_list, make_diary):
    """Two items, a hold point, two items past it; all always stop but the last."""
    before = make_list(
        {"item": "rope"},
        {"item": "hatch", "stops": "unless-waived"},
        {"item": "gate", "kind": "release", "by": "supervisor"},
        {"item": "lamp"},
        {"item": "horn", "stops": "no"},
    )
    launch = make_list(
        {"item": "hook", "stops": "unless-waived", "valid_for": "now"}, name="later", phase="launch"
    )
    return make_diary(before, launch)


@pytest.fixture
def coded(make_list, make_diary):
    """Two items, a hold point, then a word for the moment and a second hold point, each with its code."""
    return make_diary(
        make_list(
            {"item": "rope", "code": "X1", "challenge": "Rope"},
            {"item": "hatch", "code": "X2", "challenge": "Hatch", "stops": "unless-waived"},
            {"item": "gate", "code": "X-hold", "challenge": "Gate", "kind": "release", "by": "supervisor"},
            {"item": "word", "code": "Y1", "challenge": "Word", "valid_for": "now"},
            {"item": "last-gate", "code": "Y-", "challenge": "Away", "kind": "release", "by": "supervisor"},
        )
    )


def stops(diary, **options):
    fold = diary.fold()
    return what_stops(diary.lists, states_of(fold, diary.computed), quarantine=quarantine(fold), **options)


def good_values(item, otherwise):
    """Values that keep the item's limits; `otherwise` for numbers that have none."""
    values = {}
    for ask in item.asks:
        word = ask.options[0] if ask.options else "red"
        values[ask.value] = GOOD.get(ask.value, otherwise) if ask.type == "number" else word
    return values


def answer_all(diary, *, but=(), release=True):
    """Answer every item of the diary's pre-dive list in its order, with two people where asked."""
    for item in diary.lists[1].items():
        if item.item in but:
            continue
        if item.kind == "release":
            if release:
                diary.add("release", "ines", item=item.item, point=item.item)
            continue
        values = good_values(item, 1)
        diary.tick(item.item, "piet", **values)
        if item.witness != "none":
            diary.tick(item.item, "ruth", True, **values)
    return diary


GOOD = {
    "supply_from_edge": 3, "visibility": 2, "flow": 0.1, "voltage": 12.6, "below_outside": 25, "sag": 0.2,
    "largest": 1, "least": 98, "steering_scheme": 4, "thruster_map": 2, "differences": 0, "heave": 0.05,
    "surge": 0, "sway": 0, "roll": 0, "pitch": 0, "yaw": 0, "stop_time": 0.4, "thrusters_still": 0,
    "mismatches": 0, "margin": 4, "rating": 20,
}  # fmt: skip


class TestGroups:
    def test_a_group_with_open_items_is_not_complete_though_it_was_called(self, short):
        short.start("one").add("completion", "ines", checklist="short", section="short-one")
        fold = short.fold()
        group = group_state(short.lists[0], short.lists[0].sections[0], states_of(fold, {}), fold)
        assert (group.is_complete, group.called_by, len(group.unsettled)) == (False, "ines", 5)

    def test_a_group_is_complete_once_settled_and_called(self, short):
        short.start("one").tick("rope").tick("lamp").tick("horn").add("release", "ines", item="gate")
        short.add("deferral", "piet", item="hatch", reason="stuck")
        section = short.lists[0].sections[0]
        assert may_complete(section, short.states()) is None
        fold = short.add("completion", "ines", checklist="short", section="short-one").fold()
        group = group_state(short.lists[0], section, states_of(fold, {}), fold)
        assert (group.is_complete, group.deferred) == (True, ("hatch",))

    def test_a_completion_names_what_is_left(self, short):
        short.start("one").tick("rope")
        assert (
            may_complete(short.lists[0].sections[0], short.states())
            == "4 items are open: Thing; Thing; Thing; Thing"
        )


class TestHoldPoints:
    def test_nothing_past_a_hold_point_is_answered_before_its_release(self, short):
        short.start("one").tick("rope")
        assert may_answer("hatch", short.lists, short.states()) is None
        assert may_answer("lamp", short.lists, short.states()) == "Thing waits for release"
        short.add("release", "ines", item="gate", point="gate")
        assert may_answer("lamp", short.lists, short.states()) is None

    def test_the_launch_waits_for_the_hold_points_before_it(self, short):
        short.start("one").tick("rope")
        assert may_answer("hook", short.lists, short.states()) == "Thing waits for release"

    def test_a_release_is_the_supervisors(self, short):
        short.start("one").tick("rope").tick("hatch").add("release", "otto", item="gate", point="gate")
        fold = short.fold()
        assert short.state("gate").state == "open"
        assert may_release("gate", "otto", short.lists, states_of(fold, {}), fold) == (
            "otto is not the supervisor of this crew"
        )
        assert may_release("gate", "ines", short.lists, states_of(fold, {}), fold) is None

    def test_a_release_waits_for_what_stops_unless_waived_in_its_own_group(self, short):
        fold = short.start("one").tick("rope").fold()
        reason = may_release("gate", "ines", short.lists, states_of(fold, {}), fold)
        assert reason == "answer these, or have them waived in writing: Thing"
        fold = short.add("waiver", "ines", item="hatch", reason="calm", until="dive").fold()
        assert may_release("gate", "ines", short.lists, states_of(fold, {}), fold) is None

    def test_no_release_goes_over_what_always_stops(self, short):
        fold = short.start("one").tick("hatch").fold()
        reason = may_release("gate", "ines", short.lists, states_of(fold, {}), fold)
        assert reason == "Thing is open; answer it: what always stops the dive has no waiver"

    def test_no_release_goes_over_what_always_stops_and_was_put_off(self, coded):
        coded.start("one").tick("hatch").add("deferral", "ines", item="rope", reason="fetching it")
        fold = coded.fold()
        states = states_of(fold, {})
        assert states["rope"].state == "deferred"
        assert may_release("gate", "ines", coded.lists, states, fold) == (
            "X1 Rope is deferred; it was put off only as far as this hold: answer it:"
            " what always stops the dive has no waiver"
        )
        assert [i.item for i in keeps_closed("gate", coded.lists, states)] == ["rope"]
        fold = coded.tick("rope").fold()
        assert may_release("gate", "ines", coded.lists, states_of(fold, {}), fold) is None

    def test_a_word_for_the_moment_that_failed_or_was_put_off_is_not_spent(self, coded):
        coded.start("one").tick("rope").tick("hatch").add("release", "ines", item="gate")
        coded.tick("word", outcome="fail")
        fold = coded.fold()
        refusal = may_release("last-gate", "ines", coded.lists, states_of(fold, {}), fold)
        assert refusal is not None
        assert refusal.startswith("Y1 Word is answered as failed; mend it and answer it again")
        fold = coded.add("deferral", "otto", item="word", reason="later").tick("word").fold()
        assert may_release("last-gate", "ines", coded.lists, states_of(fold, {}), fold) is None

    def test_what_may_be_waived_can_be_put_off_past_a_hold(self, coded):
        coded.start("one").tick("rope").add("deferral", "otto", item="hatch", reason="stuck")
        fold = coded.fold()
        assert may_release("gate", "ines", coded.lists, states_of(fold, {}), fold) is None

    def test_the_hold_that_an_item_comes_back_before(self, coded, diary):
        found = [next_hold(i, coded.lists) for i in ("rope", "gate", "word", "last-gate")]
        assert [f.item if f else None for f in found] == ["gate", "last-gate", "last-gate", None]
        hold = next_hold("swimmers", diary.lists)
        assert hold is not None
        assert hold.item == "release-power-on"

    def test_without_a_supervisor_in_the_crew_a_supervisor_of_the_logbook_releases(self, short):
        short.start("one", crew={"pilot": "otto"}).tick("rope").add("release", "otto", item="gate")
        roles = {"otto": frozenset({"pilot"}), "ines": frozenset({"supervisor"})}
        assert short.state("gate", roles=roles).state == "open"
        assert short.state("gate").state == "answered"

    def test_recovery_never_waits(self, diary):
        states = diary.start("one").states()
        for item in (
            i for c in diary.lists if c.phase in ("recovery", "emergency", "post-dive") for i in c.items()
        ):
            assert may_answer(item.item, diary.lists, states) is None

    def test_the_shipped_list_can_be_worked_from_end_to_end(self, diary):
        diary.start("one")
        for checklist in diary.lists[1:3]:
            for item in checklist.items():
                fold = diary.fold()
                assert may_answer(item.item, diary.lists, states_of(fold, {})) is None, item.item
                if item.kind == "release":
                    assert may_release(item.item, "ines", diary.lists, states_of(fold, {}), fold) is None
                    diary.add("release", "ines", item=item.item, point=item.item)
                    continue
                values = good_values(item, 1)
                values |= {"watched": 130} if "watched" in values else {}
                values |= {"voltage": 12.4} if "voltage" in values else {}
                diary.tick(item.item, "piet", **values)
                if item.witness != "none":
                    diary.tick(item.item, "ruth", True, **values)
        assert [s.reason for s in stops(diary, is_launched=True)] == []


class TestStops:
    def test_nothing_left_says_only_that_nothing_is_recorded(self, diary):
        assert stops(answer_all(diary.start("one"))) == ()
        assert stop_words(()) == NOTHING_STOPS == "nothing recorded stops this dive"

    def test_every_open_stop_item_stops(self, diary):
        diary.start("one")
        wanted = [i.item for i in diary.lists[1].items() if i.stops != "no"]
        assert sorted(s.id for s in stops(diary)) == sorted(wanted)

    def test_each_reason_says_what_would_clear_it(self, diary):
        found = {
            s.id: s for s in stops(answer_all(diary.start("one"), but=("fuse", "sag", "clear-to-launch")))
        }
        assert found["fuse"].clears == "answer it; there is no waiver"
        assert found["sag"].clears == "answer it, or have it waived in writing by the supervisor"
        assert found["clear-to-launch"].clears == "the supervisor releases; there is no waiver"

    def test_a_noted_item_stops_nothing(self, diary):
        answer_all(diary.start("one"), but=("lag",))
        assert stops(diary.tick("lag", "otto", lag=900)) == ()

    def test_a_waived_item_stops_nothing_and_a_deferred_one_does(self, diary):
        answer_all(diary.start("one"), but=("sag", "blanks"))
        diary.add("waiver", "ines", item="sag", reason="new cells", until="2026-05-02")
        diary.add("deferral", "piet", item="blanks", reason="in the van", until="2026-05-01T09:10:00+01:00")
        assert [s.reason for s in stops(diary)] == [
            "E2 Blanks on unused sockets is deferred until 2026-05-01T09:10:00+01:00: in the van"
        ]
        assert "past due" in next(s.reason for s in stops(diary.wait(minutes=11)) if s.id == "blanks")

    def test_the_most_serious_comes_first(self, diary):
        answer_all(diary.start("one"), but=("sag", "jacket"))
        diary.tick("swimmers", "ines", outcome="fail").add("fault", "otto", symptom="sinks")
        findings = [
            Finding("drift-x", "stops", "the box holds another map", clears="put it back"),
            Finding("backwards-surge", "stops", "surge answers backwards"),
            Finding("unused-x", "note", "a thruster is not used"),
        ]
        found = stops(diary, findings=findings, baseline=Standing("it was never approved"))
        order = [
            s.id
            for s in found
            if s.id in ("swimmers", "backwards-surge", "baseline", "drift-x", "jacket", "sag")
        ]
        assert found[0].reason.startswith("the vehicle is in quarantine")
        assert order == ["swimmers", "backwards-surge", "baseline", "drift-x", "jacket", "sag"]
        assert not any(s.id == "unused-x" for s in found)

    def test_a_contested_revision_is_worse_than_none(self, diary):
        answer_all(diary.start("one"))
        both = Standing("two baselines claim revision 3", is_contested=True)
        (stop,) = stops(diary, baseline=both, findings=[Finding("no-baseline", "stops", "none")])
        assert (stop.reason, stop.rank) == ("no baseline is in force: two baselines claim revision 3", 2)

    def test_a_finding_under_a_waiver_stops_nothing(self, diary):
        answer_all(diary.start("one"))
        assert stops(diary, findings=[Finding("drift-x", "stops", "x")], waived={"drift-x"}) == ()

    def test_a_disagreement_stops_until_both_answer_again(self, diary):
        answer_all(diary.start("one"), but=("fuse",)).tick("fuse", rating=20).tick(
            "fuse", "ruth", True, rating=10
        )
        (stop,) = [s for s in stops(diary) if s.id == "fuse"]
        assert "piet says 20 A, ruth says 10 A" in stop.reason
        assert stop.clears == "both answer again; there is no waiver"

    def test_periodic_care_stops_once_it_ran_out_not_before_it_was_ever_written(self, diary):
        diary.start("care", kind="work").tick("fuse-holder").wait(days=91)
        answer_all(diary.start("one"))
        assert [s.id for s in stops(diary)] == ["fuse-holder"]

    def test_what_the_last_dive_left_stops_the_next_once(self, diary):
        before = diary.start("one").tick("look-over", "ruth", outcome="fail").states()
        answer_all(diary.start("two"))
        found = stops(diary, before=before)
        assert [s.id for s in found] == ["look-over", "post-dive"]
        assert "Q3 Opening; Q4 Trim and setup changes; Q7 Battery; Q9" in found[1].reason

    def test_the_launch_list_counts_once_launched(self, diary):
        answer_all(diary.start("one"))
        found = stops(diary, is_launched=True)
        assert {s.id for s in found} == {i.item for i in diary.lists[2].items() if i.stops != "no"}


class TestQuarantine:
    def redo(self, diary, by="piet"):
        for name in quarantine(diary.fold()).left:
            item = next(i for c in diary.lists for i in c.items() if i.item == name)
            values = good_values(item, 0)
            diary.tick(name, by, **values)
            if item.witness != "none":
                diary.tick(name, "ruth", True, **values)
        return diary

    def test_a_fault_puts_the_vehicle_in_quarantine_over_records(self, diary):
        diary.start("one").add("fault", "otto", symptom="surge-dead", part="bow-left").start("two")
        held = quarantine(diary.fold())
        assert [(f.record, f.symptom, f.part) for f in held.faults] == [("one", "surge-dead", "bow-left")]
        assert held.since == "2026-05-01T09:00:00+01:00"
        assert stops(diary)[0].rank == 0

    def test_what_must_be_redone_is_what_was_voided_and_holds_for_long(self, diary):
        answer_all(diary.start("one")).add("fault", "otto", symptom="surge-dead", part="bow-left")
        left = set(quarantine(diary.fold()).left)
        assert {"direction", "direction-pattern", "sound", "thruster-map", "vacuum-hold"} <= left
        assert {"fault-power", "fault-quarantine", "fault-redo"} <= left
        assert not {"open-faults", "stop-control", "blown-fuse-off", "closures", "sag"} & left

    def test_the_item_that_counts_what_is_left_is_not_among_them(self, diary):
        (fault,) = diary.start("one").add("fault", "otto", symptom="sinks").fold().faults
        assert (fault.left, fault.last) == ({"fault-power", "fault-quarantine"}, {"fault-redo"})

    def test_a_blown_fuse_asks_for_its_own_steps(self, diary):
        answer_all(diary.start("one")).add("fault", "otto", symptom="fuse-opened")
        assert "blown-fuse-one-by-one" in quarantine(diary.fold()).left
        assert diary.state("blown-fuse-off").state == "open"

    def test_a_later_fault_of_another_kind_does_not_ask_for_the_blown_fuses_steps_again(self, diary):
        answer_all(diary.start("one")).add("fault", "otto", symptom="fuse-opened")
        self.redo(diary.start("mend", kind="work"))
        diary.add("release", "ines", item="return-to-service", point="return-to-service")
        assert quarantine(diary.fold()) is None
        diary.start("two").add("fault", "otto", symptom="heave-weak")
        left = quarantine(diary.fold()).left
        assert left
        assert not [name for name in left if name.startswith("blown-fuse")]
        assert diary.state("blown-fuse-off").state == "not-applicable"
        self.redo(diary.start("mend again", kind="work"))
        diary.add("release", "ines", item="return-to-service", point="return-to-service")
        assert quarantine(diary.fold()) is None

    def test_without_a_blown_fuse_its_steps_do_not_apply(self, diary):
        diary.start("one").add("fault", "otto", symptom="sinks")
        assert diary.state("blown-fuse-off").state == "not-applicable"

    def test_a_release_before_the_items_are_redone_does_not_count(self, diary):
        diary.start("one").add("fault", "otto", symptom="sinks").start("mend", kind="work")
        diary.add("release", "ines", item="return-to-service", point="return-to-service")
        assert "items are not redone" in quarantine(diary.fold()).refused

    def test_the_items_redone_and_a_release_end_it(self, diary):
        answer_all(diary.start("one")).add("fault", "otto", symptom="surge-dead", part="bow-left")
        self.redo(diary.start("mend", kind="work"))
        assert quarantine(diary.fold()).left == ()
        diary.add("release", "ines", item="return-to-service", point="return-to-service")
        assert quarantine(diary.fold()) is None
        assert quarantine(diary.start("two").fold()) is None

    def test_who_did_the_repair_does_not_release_while_somebody_else_is_there(self, diary):
        diary.start("one").add("fault", "otto", symptom="sinks").start("mend", kind="work")
        diary.add("fitted", "ines", part="bow-seal", to="/housings/tube")
        self.redo(diary).add("release", "ines", item="return-to-service", point="return-to-service")
        assert quarantine(diary.fold()).refused.startswith(
            "ines did the repair; somebody else releases: otto"
        )

    def test_a_crew_of_one_may_release_its_own_repair(self, diary):
        alone = {"supervisor": "ines"}
        diary.start("one", crew=alone).add("fault", "ines", symptom="sinks").start(
            "mend", kind="work", crew=alone
        )
        for name in quarantine(diary.fold()).left:
            item = next(i for c in diary.lists for i in c.items() if i.item == name)
            values = {a.value: a.options[0] if a.options else 0 for a in item.asks}
            diary.tick(name, "ines", **values).tick(name, "ines", True, **values)
        diary.add("release", "ines", item="return-to-service", point="return-to-service")
        assert quarantine(diary.fold()) is None

    def test_a_logbook_without_the_list_after_a_fault_can_still_end_it(self, short):
        short.start("one").tick("rope").add("fault", "otto", symptom="sinks")
        assert quarantine(short.fold()).left == ()
        short.add("release", "otto", point="return-to-service")
        assert quarantine(short.fold()) is not None
        short.add("release", "ines", point="return-to-service")
        assert quarantine(short.fold()) is None

    def test_a_further_fault_opens_it_again(self, diary):
        diary.start("one").add("fault", "otto", symptom="sinks")
        self.redo(diary).add("release", "ines", item="return-to-service")
        assert quarantine(diary.fold()) is None
        held = quarantine(diary.add("fault", "otto", symptom="rises").fold())
        assert [f.symptom for f in held.faults] == ["rises"]
        assert "fault-power" in held.left
