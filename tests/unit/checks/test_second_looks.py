"""Two people, or one who looks twice: order, disagreement, who may release and waive, and until when."""

from __future__ import annotations

import pytest
from poolside import ALONE, CREW, Poolside

from rovlog.domain.checks.second_looks import second_looks
from rovlog.faces.reports.watch_text import looks_words
from rovlog.problems import UsageError
from rovlog.usecases.complete_list import release_point
from rovlog.usecases.dive_state import dive_state
from rovlog.usecases.give_waiver import waive_item
from rovlog.usecases.recording import append
from rovlog.usecases.set_item_aside import defer_item

TODAY = "2026-06-13"


@pytest.fixture
def alone(make_list, make_diary):
    """A list of four items, two of them for two people, and a crew of one."""
    four = make_list(
        {"item": "rope"},
        {"item": "seal", "witness": "concurrent"},
        {"item": "hatch", "witness": "concurrent"},
        {"item": "lamp"},
        {"item": "gate", "kind": "release", "by": "supervisor"},
        {"item": "horn"},
    )
    return make_diary(four).start("one", crew={"supervisor": "ines", "pilot": "ines"})


def looks(diary):
    return second_looks(diary.lists[0], diary.states(), diary.fold())


class TestACrewOfOne:
    """After the rest, the other way round."""

    def test_the_second_looks_are_proposed_in_reverse(self, alone):
        for name in ("rope", "seal", "hatch", "lamp"):
            alone.tick(name, "ines")
        found = looks(alone)
        assert (found.items, found.is_time) == (("hatch", "seal"), True)
        assert looks_words(found) == "a crew of one: look again now, the other way round: hatch; seal"

    def test_they_come_after_the_rest(self, alone):
        alone.tick("rope", "ines").tick("seal", "ines")
        found = looks(alone)
        assert (found.items, found.rest, found.is_time) == (("seal",), ("hatch", "lamp"), False)
        words = "a crew of one: look again after the rest (2 left), the other way round: seal"
        assert looks_words(found) == words

    def test_what_lies_past_a_hold_point_is_not_the_rest(self, alone):
        for name in ("rope", "seal", "hatch", "lamp"):
            alone.tick(name, "ines")
        assert "horn" not in looks(alone).rest

    def test_a_second_look_taken_leaves_the_proposal(self, alone):
        for name in ("rope", "seal", "hatch", "lamp"):
            alone.tick(name, "ines")
        alone.tick("hatch", "ines", True)
        assert looks(alone).items == ("seal",)

    def test_with_two_people_there_is_no_such_order(self, make_list, make_diary):
        diary = make_diary(make_list({"item": "seal", "witness": "concurrent"})).start("one").tick("seal")
        assert looks(diary).items == ()

    def test_a_second_look_before_the_rest_is_kept_and_the_order_is_said(self):
        pool = Poolside().dive(crew=ALONE)
        pool.tick("seals", "ines")
        answered = pool.tick("seals", "ines", is_second=True)
        assert "a crew of one looks again after the rest, the other way round" in answered.notes[0]
        assert (answered.state, pool.state().items["seals"].is_alone) == ("answered", True)


class TestDisagreement:
    """It is shown with both answers and counts as not done."""

    def test_two_ratings_that_differ_fail_and_stop_the_dive(self):
        pool = Poolside().dive()
        pool.tick("fuse", "otto", rating=20)
        pool.tick("fuse", "ruth", rating=15)
        state = pool.state()
        assert state.items["fuse"].state == "failed"
        assert "otto says 20 A, ruth says 15 A" in state.items["fuse"].reason
        assert any(s.id == "fuse" and s.clears.startswith("both answer again") for s in state.stops)

    def test_the_first_answer_is_hidden_until_the_second_is_there(self):
        pool = Poolside().dive()
        pool.tick("fuse", "otto", rating=15)
        waiting = pool.state().items["fuse"]
        assert (waiting.state, waiting.waits_for_second) == ("open", True)


class TestLeave:
    """Releases and waivers by those entitled, and until when."""

    def test_a_release_by_anybody_else_is_refused(self):
        pool = Poolside().dive()
        with pytest.raises(UsageError, match="otto is not the supervisor"):
            release_point(pool.logbook, pool.record, "release-power-on", by="otto")

    def test_a_waiver_by_anybody_else_is_refused(self):
        pool = Poolside().dive()
        with pytest.raises(UsageError, match="may not waive"):
            waive_item(pool.logbook, pool.record, by="otto", item="run-time", reason="short", until="dive")

    def test_nobody_becomes_a_supervisor_by_being_named_in_a_crew(self):
        pool = Poolside().dive(crew={**CREW, "supervisor": "otto"})
        with pytest.raises(UsageError, match="a role the logbook does not give"):
            waive_item(pool.logbook, pool.record, by="otto", item="run-time", reason="short", until="dive")
        with pytest.raises(UsageError, match=r"logbook\.yaml does not give otto that role"):
            release_point(pool.logbook, pool.record, "release-power-on", by="otto")

    def test_a_waiver_that_a_hand_wrote_for_a_crews_supervisor_without_the_role_does_not_count(self):
        pool = Poolside().dive(crew={**CREW, "supervisor": "otto"})
        fields = {"item": "run-time", "reason": "short", "until": "dive"}
        append(pool.logbook, pool.record, "waiver", "otto", fields)
        assert pool.state().items["run-time"].state == "open"

    @pytest.mark.parametrize("until", ["2020-01-01", "2026-06-12", "2026-06-13T00:00:00Z"])
    def test_a_waiver_that_would_be_over_before_it_is_given_is_refused(self, until):
        pool = Poolside().dive()
        with pytest.raises(UsageError, match="over before it is given"):
            waive_item(pool.logbook, pool.record, by="ines", item="run-time", reason="short", until=until)

    def test_a_waiver_ends_with_its_day_and_the_item_stops_again(self):
        pool = Poolside().dive()
        waive_item(pool.logbook, pool.record, by="ines", item="run-time", reason="short", until=TODAY)
        assert pool.state().items["run-time"].state == "waived"
        late = dive_state(pool.logbook, pool.record, now=f"{TODAY}T23:59:58+01:00")
        assert late.items["run-time"].state == "waived"
        over = dive_state(pool.logbook, pool.record, now="2026-06-14T00:00:01+01:00")
        assert over.items["run-time"].state == "open"
        assert any(s.id == "run-time" for s in over.stops)

    def test_a_waiver_may_name_the_item_by_its_code(self):
        pool = Poolside().dive()
        written = waive_item(pool.logbook, pool.record, by="ines", item="b6", reason="short", until="dive")
        assert written.entry.fields["item"] == "run-time"
        assert pool.state().items["run-time"].state == "waived"

    def test_a_waiver_for_the_dive_ends_with_it(self):
        pool = Poolside().dive()
        waive_item(pool.logbook, pool.record, by="ines", item="run-time", reason="short", until="dive")
        pool.close().dive()
        assert pool.state().items["run-time"].state == "open"


class TestPutOff:
    """Deferred: who, why, by when; and by when is a moment."""

    @pytest.mark.parametrize("until", ["banana", "tomorrow", "99:10"])
    def test_any_text_is_no_moment(self, until):
        pool = Poolside().dive()
        with pytest.raises(UsageError, match="is no moment to put an item off to"):
            defer_item(pool.logbook, pool.record, "reach", by="otto", reason="later", until=until)

    def test_a_moment_that_is_past_is_refused(self):
        pool = Poolside().dive()
        with pytest.raises(UsageError, match="is past"):
            defer_item(pool.logbook, pool.record, "reach", by="otto", reason="later", until="00:01")

    @pytest.mark.parametrize(
        ("given", "kept"), [("launch", "launch"), ("c5", "vacuum-hold"), (None, "launch")]
    )
    def test_launch_and_an_item_are_moments(self, given, kept):
        pool = Poolside().dive()
        put_off = defer_item(pool.logbook, pool.record, "reach", by="otto", reason="later", until=given)
        assert put_off.written.entry.fields["until"] == kept

    def test_a_time_of_today_is_kept_with_its_day_and_offset(self):
        pool = Poolside().dive()
        put_off = defer_item(pool.logbook, pool.record, "reach", by="otto", reason="later", until="23:30")
        assert put_off.written.entry.fields["until"] == f"{TODAY}T23:30:00+01:00"

    def test_an_answer_that_still_holds_is_not_put_off(self):
        pool = Poolside().dive()
        pool.tick("shore-end", "otto")
        with pytest.raises(UsageError, match="still holds"):
            defer_item(pool.logbook, pool.record, "shore-end", by="otto", reason="later")
