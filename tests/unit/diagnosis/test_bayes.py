"""Bayes and entropy on published worked examples; the expected information by a second way."""

from itertools import product
from math import log2

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rovlog.domain.diagnosis.information import entropy_bits, expected_bits, noise_bits
from rovlog.domain.diagnosis.posterior import log_likelihoods, posteriors, updated


def test_the_screening_example_gives_nine_percent():
    # Gigerenzer, Calculated Risks (2002), as quoted second-hand: 0.8 % ill, 90 % of them and 7 % of the
    # others test positive; 7 of 77 positives, about 9 %, are ill.
    ill, _ = posteriors([0.008, 0.992], [0.90, 0.07])
    assert ill == pytest.approx(0.09, abs=0.005)


def test_the_screening_example_of_one_percent_gives_7_8_percent():
    # Gigerenzer and Hoffrage, Psychological Review 102 (1995): 1 %, 80 %, 9.6 %; inputs seen quoted, the
    # answer of 7.8 % from memory.
    assert posteriors([0.01, 0.99], [0.80, 0.096])[0] == pytest.approx(0.078, abs=5e-4)


def test_eight_horses_take_two_bits():
    # Cover and Thomas, Elements of Information Theory, 2nd ed. (2006), example 1.1.2 (from memory)
    assert entropy_bits([1 / 2, 1 / 4, 1 / 8, 1 / 16, *[1 / 64] * 4]) == pytest.approx(2.0)


def test_one_error_in_a_hundred_costs_81_bits_in_a_thousand():
    # Shannon, A Mathematical Theory of Communication (1948), section 12 (from memory): 81 bits a second
    # of equivocation at 1000 digits a second with 1 % of them wrong.
    assert 1000 * entropy_bits([0.99, 0.01]) == pytest.approx(81, abs=0.5)


def test_bayes_over_reports_is_bayes_over_likelihoods():
    # One thruster, three explanations, seen ahead, misreported once in ten: 0.9, 0.05, 0.05.
    predicted = np.array([1, 0, -1], dtype=np.int8).reshape(3, 1, 1)
    seen, was_seen = np.ones((1, 1), dtype=np.int8), np.ones((1, 1), dtype=bool)
    likelihood = log_likelihoods(predicted, seen, was_seen, 0.1)
    weights, other = updated(np.array([0.2, 0.3, 0.4]), 0.1, likelihood, 1)
    expected = posteriors([0.2, 0.3, 0.4, 0.1], [0.9, 0.05, 0.05, 1 / 3])
    assert [*weights, other] == pytest.approx(expected)


def test_a_report_that_cannot_happen_leaves_only_the_unthought_of():
    predicted = np.ones((1, 1, 1), dtype=np.int8)
    seen, was_seen = -np.ones((1, 1), dtype=np.int8), np.ones((1, 1), dtype=bool)
    likelihood = log_likelihoods(predicted, seen, was_seen, 0.0)
    weights, other = updated(np.array([1.0]), 0.0, likelihood, 1)
    assert (weights[0], other) == (0.0, 1.0)


def test_an_unseen_thruster_tells_nothing():
    predicted = np.array([1, -1], dtype=np.int8).reshape(2, 1, 1)
    seen, was_seen = np.zeros((1, 1), dtype=np.int8), np.zeros((1, 1), dtype=bool)
    weights, other = updated(np.array([0.6, 0.3]), 0.1, log_likelihoods(predicted, seen, was_seen, 0.03), 0)
    assert [*weights, other] == pytest.approx([0.6, 0.3, 0.1])


def test_a_push_that_shows_three_equal_explanations_apart_tells_all_but_the_noise():
    seen = np.array([1, 0, -1], dtype=np.int8).reshape(3, 1, 1)
    bits = expected_bits(seen, np.full(3, 1 / 3), 0.0, 0.03)
    assert bits[0] == pytest.approx(log2(3) - noise_bits(0.03))


@settings(max_examples=40)
@given(st.integers(1, 4), st.integers(1, 3), st.integers(1, 6), st.floats(0.0, 0.4), st.data())
def test_expected_information_is_the_mean_fall_of_entropy(thrusters, pushes, count, misreport, data):
    values = st.lists(st.integers(-1, 1), min_size=thrusters, max_size=thrusters)
    seen = np.array([[data.draw(values) for _ in range(pushes)] for _ in range(count)], dtype=np.int8)
    raw = [data.draw(st.integers(1, 9)) for _ in range(count + 1)]
    *weights, other = [w / sum(raw) for w in raw]
    bits = expected_bits(seen, np.array(weights), other, misreport)
    for push in range(pushes):
        # A second way: go through every report, apply Bayes, and take the mean of what is left.
        left = 0.0
        for report in product((-1, 0, 1), repeat=thrusters):
            likelihoods = [
                np.prod(
                    [
                        1 - misreport if a == b else misreport / 2
                        for a, b in zip(row[push], report, strict=True)
                    ]
                )
                for row in seen
            ]
            likelihoods.append(3.0**-thrusters)
            joint = [w * q for w, q in zip([*weights, other], likelihoods, strict=True)]
            if sum(joint) > 0:
                left += sum(joint) * entropy_bits([j / sum(joint) for j in joint])
        assert bits[push] == pytest.approx(entropy_bits([*weights, other]) - left, abs=1e-9)
