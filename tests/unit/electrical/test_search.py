"""The two exact searches against each other, and what a search says when it is cut short."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from rovlog.domain.electrical.branching import greatest
from rovlog.domain.electrical.curves import Curve
from rovlog.domain.electrical.programme import Problem
from rovlog.domain.electrical.reduction import greatest_in_parts, join_parallel
from rovlog.domain.electrical.vertices import vertices


def problem(seed: int, *, channels: int, demands: int, is_scaled: bool, dented: bool = False) -> Problem:
    """Invented shares and tables; `dented` tables rise and fall."""
    rng = np.random.default_rng(seed)
    mixing = np.round(rng.uniform(-1.0, 1.0, (channels, demands)), 2)
    curves = []
    for _ in range(channels):
        knots = (-1.0, -0.7, -0.3, 0.0, 0.4, 0.8, 1.0)
        values = rng.uniform(0.2, 5.0, 7) if dented else np.abs(knots) ** 2 * rng.uniform(3.0, 6.0)
        curves.append(Curve(knots, tuple(float(v) * (k != 0.0) for k, v in zip(knots, values, strict=True))))
    return Problem(
        -np.ones(demands),
        np.ones(demands),
        np.eye(demands),
        np.zeros(demands),
        mixing,
        np.zeros((channels, demands)),
        tuple(curves),
        is_scaled,
    )


@pytest.mark.parametrize("is_scaled", [False, True])
@pytest.mark.parametrize("dented", [False, True])
@pytest.mark.parametrize("seed", range(4))
def test_listing_corners_and_searching_by_bounds_find_the_same(
    seed: int, dented: bool, is_scaled: bool
) -> None:
    asked = problem(seed, channels=4, demands=3, is_scaled=is_scaled, dented=dented)
    places = vertices(asked)
    assert places is not None
    found = greatest(asked)
    assert found.is_exact
    assert float(asked.current(places).max()) == pytest.approx(found.value, rel=2e-9)


@pytest.mark.parametrize("seed", range(6))
def test_with_scale_and_a_demand_kept_from_rest_no_sample_beats_the_search(seed: int) -> None:
    whole = problem(seed, channels=5, demands=3, is_scaled=True, dented=seed % 2 == 0)
    lowest, highest = whole.lowest.copy(), whole.highest.copy()
    lowest[0], highest[0] = 0.25, 0.6
    asked = replace(whole, lowest=lowest, highest=highest)
    found = greatest(asked)
    assert found.is_exact
    y = np.random.default_rng(seed).uniform(lowest, highest, (20_000, 3))
    assert float(asked.current(y).max()) <= found.value * (1 + 1e-9)
    assert float(asked.current(found.variables[None, :])[0]) == pytest.approx(found.value)


def test_a_search_cut_short_says_what_it_can_prove_and_no_more() -> None:
    asked = problem(3, channels=6, demands=4, is_scaled=False)
    whole, cut = greatest(asked), greatest(asked, most_nodes=2)
    assert whole.is_exact
    assert not cut.is_exact
    assert cut.value <= whole.value <= cut.bound


def test_channels_that_move_alike_are_joined_and_draw_the_same() -> None:
    asked = problem(5, channels=4, demands=3, is_scaled=False)
    mixing = asked.mixing.copy()
    mixing[1], mixing[2] = mixing[0], -mixing[0]
    alike = Problem(
        asked.lowest, asked.highest, asked.rows, asked.trims, mixing, asked.direct, asked.curves, False
    )
    joined = join_parallel(alike)
    assert len(joined.curves) == 2
    y = np.random.default_rng(1).uniform(-1.0, 1.0, (200, 3))
    assert joined.current(y) == pytest.approx(alike.current(y))
    assert greatest_in_parts(alike).value == pytest.approx(greatest(alike).value, rel=2e-9)


def test_many_channels_are_searched_by_bounds_instead_of_listed() -> None:
    assert vertices(problem(1, channels=8, demands=6, is_scaled=False)) is None
