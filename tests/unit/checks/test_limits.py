"""Judging a value against its limit, and turning what is typed into a value."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rovlog.domain.checks.answer import parse_answer
from rovlog.domain.checks.checklist import Ask, Limit, Reference
from rovlog.domain.checks.limits import judge, resolve, value_at
from rovlog.problems import UsageError

NUMBERS = st.floats(-1e6, 1e6)


def number(value):
    return Reference(value=value)


def one(limit, observed, resolved=None, computed=None, unit="A"):
    (judged,) = judge(Ask("x", unit, limit=limit), observed, resolved or {}, computed or {})
    return judged


def test_without_a_limit_or_a_value_nothing_is_judged():
    assert judge(Ask("x"), 3.0, {}, {}) == ()
    assert judge(Ask("x", limit=Limit(at_most=number(3))), None, {}, {}) == ()


@pytest.mark.parametrize(
    ("limit", "observed", "passed", "margin"),
    [
        (Limit(at_least=number(2)), 2, True, 0),
        (Limit(at_least=number(2)), 1.5, False, -0.5),
        (Limit(at_most=number(2)), 1.5, True, 0.5),
        (Limit(at_most=number(2)), 2.5, False, -0.5),
        (Limit(equals=number(15)), 15.0, True, 0),
        (Limit(equals=number(15)), 20, False, -5),
        (Limit(middle=number(10), share=number(0.1)), 11, True, 0),
        (Limit(middle=number(10), share=number(0.1)), 8.9, False, -0.1),
        (Limit(middle=number(-10), share=number(0.1)), -11, True, 0),
        (Limit(middle=number(0), by=number(5)), -5, True, 0),
        (Limit(middle=number(0), by=number(5)), 5.5, False, -0.5),
    ],
)
def test_the_margin_is_how_far_the_limit_holds(limit, observed, passed, margin):
    judged = one(limit, observed)
    assert judged.passed is passed
    assert judged.margin == pytest.approx(margin)


def test_every_part_of_a_limit_is_judged():
    limit = Limit(at_least=number(11.5), at_most=number(15))
    assert [(j.kind, j.passed) for j in judge(Ask("v", "V", limit=limit), 16, {}, {})] == [
        ("at_least", True),
        ("at_most", False),
    ]


def test_a_pointer_is_followed_into_the_configuration():
    limit = Limit(equals=Reference(pointer="/electrical/fuse/rating_a"))
    judged = one(limit, 20, {"electrical": {"fuse": {"rating_a": 20}}})
    assert (judged.passed, judged.limit, judged.origin) == (
        True,
        20,
        "the configuration: /electrical/fuse/rating_a",
    )


def test_the_builders_limit_stands_before_the_project_default():
    limit = Limit(at_most=Reference(pointer="/limits/sag_v"))
    assert one(limit, 0.8).origin == "project default"
    judged = one(limit, 0.8, {"limits": {"sag_v": 0.5}})
    assert (judged.passed, judged.origin) == (False, "the configuration: /limits/sag_v")


def test_a_published_default_names_its_source():
    judged = one(Limit(at_most=Reference(pointer="/limits/fuse_distance_mm")), 250)
    assert (judged.limit, judged.origin) == (300, "competition rule, 2018")


def test_a_limit_only_the_builder_knows_is_not_judged_without_it():
    judged = one(Limit(equals=Reference(pointer="/limits/closures")), 8)
    assert (judged.passed, judged.reason) == (None, "the configuration has nothing at /limits/closures")


def test_an_absent_trim_is_zero():
    limit = Limit(middle=Reference(pointer="/trim_defaults/yaw"), by=number(0.1))
    assert one(limit, 0.05, {"trim_defaults": {}}).passed is True
    assert one(limit, 0.15, {}).passed is False


@pytest.mark.parametrize("value", [None, math.inf, math.nan])
def test_a_quantity_that_cannot_be_computed_is_not_judged(value):
    judged = one(Limit(at_most=Reference(computed="box_v")), 3, computed={"box_v": value})
    assert (judged.passed, judged.margin, judged.reason) == (None, None, "box_v cannot be computed")


def test_a_word_is_compared_without_case_and_outer_blanks():
    assert one(Limit(equals=number("Red-Reel ")), "red-reel").passed is True
    assert one(Limit(equals=number("red")), "blue").passed is False


def test_a_number_is_never_a_word_nor_yes():
    assert one(Limit(equals=number(1)), "1").passed is False
    assert one(Limit(equals=number(True)), 1).passed is False
    assert one(Limit(equals=number(True)), True).passed is True
    assert one(Limit(at_most=number(1)), "none").passed is False
    assert one(Limit(at_most=number(1)), True).passed is False


def test_a_pointer_may_hold_escaped_signs_and_places_in_lists():
    # RFC 6901, section 4: ~1 is a slash, ~0 a tilde.
    assert value_at("/a~1b/1/m~0n", {"a/b": [0, {"m~n": 7}]}) == 7
    assert value_at("/a/2", {"a": [0, 1]}) is None
    assert resolve(Reference(pointer="/a"), {"a": {"b": 1}}, {}).value is None


@given(NUMBERS, NUMBERS)
def test_at_least_and_at_most_agree_only_where_they_meet(limit, observed):
    low = one(Limit(at_least=number(limit)), observed)
    high = one(Limit(at_most=number(limit)), observed)
    assert low.margin == pytest.approx(-high.margin)
    assert low.passed or high.passed
    assert (low.passed and high.passed) == math.isclose(limit, observed, rel_tol=1e-9, abs_tol=1e-12)


@given(NUMBERS, st.floats(0, 1e6), NUMBERS)
def test_a_band_is_two_sided(middle, width, observed):
    judged = one(Limit(middle=number(middle), by=number(width)), observed)
    mirrored = one(Limit(middle=number(middle), by=number(width)), 2 * middle - observed)
    assert judged.margin == pytest.approx(mirrored.margin, rel=1e-6, abs=1e-6)
    assert judged.passed == (abs(observed - middle) <= width or math.isclose(abs(observed - middle), width, rel_tol=1e-9, abs_tol=1e-12))  # fmt: skip  # noqa: E501


class TestTyping:
    amps = Ask("rating", "A", label="rating on the body")

    @pytest.mark.parametrize(
        ("typed", "value"),
        [
            ("15", 15), ("15 A", 15), ("12,5", 12.5), ("12.5A", 12.5), (" -0,2 ", -0.2), ("−3", -3),
            ("+4", 4), (",5", 0.5), ("5.", 5.0), ("1e3", 1000.0), ("2,5e-1", 0.25),
        ],
    )  # fmt: skip
    def test_a_number_takes_a_comma_or_a_point_and_its_unit(self, typed, value):
        assert parse_answer(self.amps, typed) == pytest.approx(value)

    def test_a_whole_number_stays_whole(self):
        assert isinstance(parse_answer(self.amps, "15"), int)

    @pytest.mark.parametrize(
        "typed", ["1,234.5", "fifteen", "1.2.3", "--1", "nan", "inf", "0x10", "1" * 40, "1 2"]
    )
    def test_what_is_no_number_is_refused_with_an_example(self, typed):
        with pytest.raises(UsageError) as refused:
            parse_answer(self.amps, typed)
        assert refused.value.mend == "give a number in A, such as 12,5"

    def test_another_unit_is_refused(self):
        with pytest.raises(UsageError, match="names the unit 'mA'; it is asked in A"):
            parse_answer(self.amps, "15 mA")

    def test_lines_are_refused_where_one_is_meant(self):
        with pytest.raises(UsageError, match="more than one line"):
            parse_answer(Ask("label", type="text"), "red\nblue")

    def test_nothing_typed_is_refused(self):
        with pytest.raises(UsageError, match="nothing is typed for rating on the body"):
            parse_answer(self.amps, "   ")

    def test_a_choice_is_one_of_its_words(self):
        ask = Ask("choice", type="choice", options=("no-mains", "device-trips"))
        assert parse_answer(ask, "No-Mains") == "no-mains"
        with pytest.raises(UsageError) as refused:
            parse_answer(ask, "maybe")
        assert refused.value.mend == "choose no-mains or device-trips"

    def test_yes_and_no_are_read_as_such(self):
        ask = Ask("seen", type="yes-no")
        assert parse_answer(ask, "Yes") is True
        assert parse_answer(ask, "n") is False
        with pytest.raises(UsageError, match="neither yes nor no"):
            parse_answer(ask, "perhaps")

    @given(st.floats(-1e9, 1e9).map(lambda x: round(x, 6)))
    def test_a_number_written_with_a_comma_comes_back(self, value):
        assert parse_answer(self.amps, f"{value:.6f}".replace(".", ",")) == pytest.approx(value, abs=1e-6)
