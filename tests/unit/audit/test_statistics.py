"""Published values of the statistics behind the ranking of suspects."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rovlog.domain.audit.statistics import Counts, fisher_greater, holm, ochiai, tarantula, wilson
from rovlog.problems import OutOfRangeError


def test_three_cups_of_four_right_have_the_published_chance():
    """R documentation of fisher.test, after Agresti (1990, 2002), example TeaTasting: p = 0.2429, 17/70."""
    p = fisher_greater(Counts(3, 1, 1, 3))
    assert p == pytest.approx(0.2429, abs=5e-5)
    assert p == 17 / 70


def test_all_four_cups_right_are_one_chance_in_seventy():
    """Fisher (1935), The Design of Experiments, chapter II; text not seen, 1 in C(8, 4)."""
    assert fisher_greater(Counts(4, 0, 0, 4)) == 1 / 70


def test_convicted_twins_have_the_published_chance():
    """R documentation of fisher.test, example Convictions: 0.0004652, from memory; rows turned round."""
    assert fisher_greater(Counts(15, 2, 3, 10)) == pytest.approx(0.0004652, abs=5e-8)


HOLM_EXAMPLES = [
    # stdlib-js documentation of stats/padjust, example of method "holm", printed to three digits.
    ([0.319, 0.201, 0.4, 0.374, 0.113], [0.957, 0.804, 0.957, 0.957, 0.565]),
    # Documentation of the Python package pingouin, example of pingouin.holm.
    ([0.50, 0.003, 0.32, 0.054, 0.0003], [0.64, 0.012, 0.64, 0.162, 0.0015]),
]


@pytest.mark.parametrize(("raw", "published"), HOLM_EXAMPLES)
def test_holm_gives_the_published_adjusted_values(raw, published):
    assert holm(raw) == pytest.approx(published, abs=5e-4)


@given(st.lists(st.floats(0, 1), max_size=12))
def test_holm_never_lowers_a_value_nor_changes_their_order(raw):
    adjusted = holm(raw)
    assert all(p <= a <= 1 for p, a in zip(raw, adjusted, strict=True))
    order = sorted(range(len(raw)), key=raw.__getitem__)
    assert [adjusted[i] for i in order] == sorted(adjusted)


NEWCOMBE_TABLE_I = [
    (81, 263, 0.2553, 0.3662),
    (15, 148, 0.0624, 0.1605),
    (0, 20, 0.0, 0.1611),
    (1, 29, 0.0061, 0.1718),
]


@pytest.mark.parametrize(("successes", "trials", "low", "high"), NEWCOMBE_TABLE_I)
def test_wilson_meets_the_published_table(successes, trials, low, high):
    """Newcombe (1998), Statistics in Medicine 17, 857-872, table I, method 3."""
    assert wilson(successes, trials) == pytest.approx((low, high), abs=5e-5)


def test_wilson_without_trials_knows_nothing_and_refuses_more_successes_than_trials():
    assert wilson(0, 0) == (0.0, 1.0)
    with pytest.raises(OutOfRangeError, match="successes"):
        wilson(3, 2)


PROGRAM_MID = [
    # passed and failed runs with the statement (of 5 and 1), Tarantula as printed, Ochiai
    (5, 1, 0.5, 0.4082), (3, 1, 0.63, 0.5), (1, 0, 0.0, 0.0), (2, 1, 0.71, 0.5774), (1, 1, 0.83, 0.7071),
    (2, 0, 0.0, 0.0), (0, 0, 0.0, 0.0),
]  # fmt: skip


@pytest.mark.parametrize(("passed", "failed", "printed", "by_ochiai"), PROGRAM_MID)
def test_coefficients_meet_the_published_worked_example(passed, failed, printed, by_ochiai):
    """Jones and Harrold (2005), ASE, figure 1: program mid. Ochiai by the formula of Abreu et al. (2007)."""
    counts = Counts(failed, passed, 1 - failed, 5 - passed)
    assert tarantula(counts) == pytest.approx(printed, abs=0.006)
    assert ochiai(counts) == pytest.approx(by_ochiai, abs=5e-5)


def test_coefficients_of_nothing_are_nought():
    assert (ochiai(Counts(0, 0, 0, 0)), tarantula(Counts(0, 0, 0, 0))) == (0.0, 0.0)
