"""Entries that look like a slip are asked about once and kept either way."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from poolside import Poolside

from rovlog.domain.checks.checklist import Ask, Item, Limit, Reference
from rovlog.domain.checks.limits import judge
from rovlog.domain.checks.plausible import Reading, questions_of


def one(value, *, least=None, most=None, equal=None, band=None, last=(), unit="V", record="now", varies=True):
    """The question about one value of an item, or ""."""
    ref = lambda x: Reference(value=x) if x is not None else None  # noqa: E731
    middle, by = band or (None, None)
    limit = Limit(at_least=ref(least), at_most=ref(most), equals=ref(equal), middle=ref(middle), by=ref(by))
    ask = Ask("volts", unit, "meter", limit=limit, varies=varies)
    item = Item("meter", "short", "one", "Meter", "the volts", "measure", ("technician",), asks=(ask,))
    readings = [r if isinstance(r, Reading) else Reading(r, f"dive-{n}") for n, r in enumerate(last)]
    found = questions_of(item, {"volts": value}, judge(ask, value, {}, {}), {"volts": readings}, record)
    return found[0].text if found else ""


@pytest.mark.parametrize(
    ("value", "limits", "words"),
    [
        (126.0, {"least": 11.5, "most": 15.0}, "over 5 times its limit, 15 V"),
        (1.26, {"least": 11.5, "most": 15.0}, "under a fifth of its limit, 11.5 V"),
        (150, {"equal": 20}, "over 5 times its limit, 20 V"),
        (3, {"equal": 20}, "under a fifth of its limit, 20 V"),
        (-2.0, {"band": (0.05, 0.15)}, "over 5 times its limit, -0.1 V"),
        (12600.0, {"least": 11.5, "most": 15.0}, "about a thousand times its limit, 15 V; was it read in"),
        (0.0126, {"least": 11.5, "most": 15.0}, "about a thousandth of its limit, 11.5 V; was it read in"),
        (-12.6, {"least": 11.5, "most": 15.0}, "with the other sign it would keep its limit"),
    ],
)
def test_far_from_the_limit_is_asked_about(value, limits, words):
    assert words in one(value, **limits)


@pytest.mark.parametrize(
    ("value", "limits"),
    [
        (12.6, {"least": 11.5, "most": 15.0}),
        (10.9, {"least": 11.5, "most": 15.0}),
        (74.0, {"least": 11.5, "most": 15.0}),
        (0.0, {"most": 10.0}),
        (0.2, {"most": 10.0}),
        (180.0, {"least": 1.0}),
        (-0.08, {"band": (0.05, 0.15)}),
        (20, {"equal": 20}),
        (7.0, {}),
    ],
)
def test_what_lies_near_the_limit_or_well_on_its_good_side_is_not_asked_about(value, limits):
    assert one(value, **limits) == ""


def test_a_slip_of_a_thousand_is_asked_about_on_the_good_side_too():
    assert "a thousand times its limit" in one(2000.0, least=1.0, unit="Mohm")
    assert one(2000.0, least=1.0, unit="Mohm", last=(1900.0,)) == ""


@pytest.mark.parametrize(
    ("value", "words"),
    [
        (70.0, "over 5 times the last reading, 12.4 V"),
        (2.3, "under a fifth of the last reading, 12.4 V"),
        (12400.0, "about a thousand times the last reading"),
        (-12.5, "the last 3 readings have the other sign"),
        (12.4, ""),
        (61.0, ""),
    ],
)
def test_far_from_the_last_three_readings_is_asked_about(value, words):
    said = one(value, last=(12.4, 12.6, 12.5))
    assert words in said if words else said == ""


def test_between_the_least_and_the_greatest_of_the_last_readings_nothing_is_odd():
    assert one(3.0, last=(0.1, 20.0, 1.0)) == ""


class TestTheSameReading:
    """The same to the last digit, three dives running."""

    def test_on_the_third_dive_it_is_asked_about(self):
        assert "for the third dive running" in one(12.62, last=(12.62, 12.62))

    def test_on_the_second_dive_it_is_not(self):
        assert one(12.62, last=(12.62,)) == ""

    def test_a_digit_apart_it_is_not(self):
        assert one(12.62, last=(12.63, 12.62)) == ""

    def test_twice_on_one_dive_is_one_reading(self):
        twice = (Reading(12.62, "before"), Reading(12.62, "before"))
        assert one(12.62, last=twice) == ""

    def test_once_confirmed_it_is_not_asked_about_again_while_it_goes_on(self):
        assert one(12.62, last=(Reading(12.62, "b", is_confirmed=True), Reading(12.62, "a"))) == ""

    def test_a_plan_a_setting_or_a_count_may_be_the_same_every_time(self):
        assert one(4.0, last=(4.0, 4.0), varies=False) == ""

    def test_nothing_at_all_may_be_the_same_every_time(self):
        assert one(0.0, last=(0.0, 0.0)) == ""

    def test_the_shipped_lists_ask_of_instruments_alone(self, all_lists):
        varies = {(i.item, a.value) for c in all_lists for i in c.items() for a in i.asks if a.varies}
        assert {("resting-voltage", "voltage"), ("idle-current", "current"), ("sag", "sag")} <= varies
        assert not {("reach", "needed"), ("site-limits", "flow"), ("site-limits", "depth"),
                    ("vacuum-pulled", "below_outside"), ("run-time", "planned")} & varies  # fmt: skip

    def test_what_has_to_equal_one_number_is_the_same_by_nature(self):
        assert one(20.0, equal=20.0, last=(20.0, 20.0)) == ""


@given(st.floats(0.01, 1e4), st.lists(st.floats(0.01, 1e4), min_size=1, max_size=3))
def test_a_value_within_five_times_all_of_the_last_readings_is_never_far(value, last):
    said = one(value, last=last)
    is_near = max(last) * 5 >= value >= min(last) / 5
    assert is_near == (said == "" or "third dive" in said)


@given(st.floats(allow_nan=False, allow_infinity=False), st.floats(-1e6, 1e6), st.floats(0, 1e6))
def test_any_number_can_be_asked_about_without_failing(value, middle, width):
    assert isinstance(one(value, band=(middle, width), last=(middle, value, width)), str)


class TestAnswering:
    """The use case: nothing is written before the question is answered."""

    @pytest.fixture
    def pool(self):
        return Poolside().dive()

    def test_a_slip_is_not_written_and_comes_back_as_a_question(self, pool):
        before = len(pool.record.entries)
        answered = pool.tick("resting-voltage", is_sure=False, voltage="126")
        assert [q.value for q in answered.questions] == ["voltage"]
        assert answered.kept is None
        assert len(pool.record.entries) == before

    def test_once_confirmed_it_is_kept_with_the_question(self, pool):
        answered = pool.tick("resting-voltage", is_sure=True, voltage="126")
        fields = answered.written.entry.fields
        assert (fields["confirmed"], fields["values"]) == (True, {"voltage": 126})
        assert "over 5 times its limit" in fields["questions"][0]
        assert pool.state().items["resting-voltage"].state == "failed"

    def test_a_plain_reading_is_kept_without_a_question_or_a_mark(self, pool):
        answered = pool.tick("resting-voltage", is_sure=False, voltage="12,6")
        assert answered.questions == ()
        assert "confirmed" not in answered.written.entry.fields

    def test_the_third_dive_running_with_one_reading_asks_and_the_fourth_does_not(self):
        pool = Poolside()
        asked = []
        for _ in range(4):
            pool.dive()
            answered = pool.tick("resting-voltage", is_sure=False, voltage="12.62")
            asked.append(len(answered.questions))
            if answered.questions:
                pool.tick("resting-voltage", is_sure=True, voltage="12.62")
            pool.close()
        assert asked == [0, 0, 1, 0]

    def test_the_teams_factor_stands_before_the_project_default(self, pool):
        settings = pool.book.files.tree["logbook.yaml"]
        pool.book.files.tree["logbook.yaml"] = settings + b"policy: {implausible_factor: 10}\n"
        pool.logbook.forget()
        assert pool.tick("resting-voltage", is_sure=False, voltage="126").questions == ()

    def test_what_the_program_proposed_is_not_asked_about(self):
        pool = Poolside()
        for _ in range(3):
            assert pool.dive().tick("depth-rating", "ines", is_sure=False).questions == ()
            pool.close()

    def test_a_blind_second_persons_question_gives_nothing_of_the_first_answer_away(self, pool):
        pool.tick("fuse", "otto", rating="3", is_sure=True)
        asked = pool.tick("fuse", "ruth", rating="200", is_sure=False)
        assert "3 A" not in asked.questions[0].text
