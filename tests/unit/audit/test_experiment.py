"""The next experiment tells the most it can."""

from __future__ import annotations

import pytest

from rovlog.domain.audit.experiment import Candidate, next_experiment
from rovlog.domain.audit.suspects import Suspect


def candidate(name, score, kind="value", pointer="/hull/mass_kg", in_force=(4, 5), slug=""):
    return Candidate(Suspect(name, kind, frozenset(in_force), pointer, slug=slug), score, 0.6, 0.05)


def test_putting_back_the_likeliest_of_a_few_tells_the_most():
    best = next_experiment(
        "odd", [candidate("a", 0.5), candidate("b", 0.2), candidate("c", 0.2)], (0.1, 0.2), 5
    )
    assert best is not None
    assert (best.what, best.where) == ("a", "water")
    assert 0 < best.expected_bits < 1


def test_what_is_no_longer_in_force_cannot_be_put_back():
    assert next_experiment("odd", [candidate("a", 0.9, in_force=(1, 2))], (0.1, 0.2), 5) is None


def test_people_can_always_be_changed():
    best = next_experiment("odd", [candidate("yuki as pilot", 0.9, "crew", "", in_force=(1,))], (0.1, 0.2), 5)
    assert best is not None
    assert best.text == "fly once without yuki as pilot; look in the water, nothing else changed"


def test_a_function_test_on_the_bench_tells_more_than_a_dive():
    wiring = [candidate("a", 0.5, pointer="/thrusters/tail/polarity")]
    bench = next_experiment("yaw-reversed", wiring, (0.5, 0.2), 5)
    water = next_experiment("yaw-weak", wiring, (0.5, 0.2), 5)
    assert bench is not None
    assert water is not None
    assert (bench.where, water.where) == ("bench", "water")
    assert bench.expected_bits != water.expected_bits


def test_a_perfect_even_split_is_worth_nearly_what_a_readable_test_can_give():
    """Two even suspects, one test misread 3 times in 100: 1 - H(0.03) = 0.8056 bits (binary entropy)."""
    pair = [candidate(n, 0.5, pointer="/thrusters/tail/polarity") for n in "ab"]
    best = next_experiment("yaw-reversed", pair, (0.0, 0.2), 5)
    assert best is not None
    assert best.expected_bits == pytest.approx(0.8056, abs=5e-5)
