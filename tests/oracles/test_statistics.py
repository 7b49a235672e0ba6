"""Our statistics against SciPy's."""

from __future__ import annotations

import pytest
import scipy.stats
from hypothesis import given, settings
from hypothesis import strategies as st

from rovlog.domain.audit.statistics import Counts, fisher_greater, wilson

CELL = st.integers(0, 40)


@settings(max_examples=150)
@given(CELL, CELL, CELL, CELL)
def test_fishers_test_agrees_with_scipy(a, b, c, d):
    """Relative 1e-9: ours is exact, SciPy's goes through floating point."""
    theirs = scipy.stats.fisher_exact([[a, b], [c, d]], alternative="greater").pvalue
    assert fisher_greater(Counts(a, b, c, d)) == pytest.approx(theirs, rel=1e-9)


@pytest.mark.parametrize("table", [(40, 900, 60, 2500), (3, 2000, 1, 2000), (0, 1500, 20, 900)])
def test_fishers_test_agrees_with_scipy_beyond_whole_numbers(table):
    """Relative 1e-8: log-gamma of a few thousand keeps some ten digits after the subtraction."""
    a, b, c, d = table
    theirs = scipy.stats.fisher_exact([[a, b], [c, d]], alternative="greater").pvalue
    assert fisher_greater(Counts(a, b, c, d)) == pytest.approx(theirs, rel=1e-8)


@given(st.integers(1, 400).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n))))
def test_wilsons_interval_agrees_with_scipy(pair):
    """Absolute 1e-12: the same closed form."""
    successes, trials = pair
    theirs = scipy.stats.binomtest(successes, trials).proportion_ci(0.95, "wilson")
    assert wilson(successes, trials) == pytest.approx((theirs.low, theirs.high), abs=1e-12)
