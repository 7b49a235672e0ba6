"""Our worst case and operating point against SciPy: an integer programme and a root finder (tests only)."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import Bounds, LinearConstraint, brentq, milp
from vehicles import configuration_of, puffin

from rovlog.domain.electrical.branching import greatest
from rovlog.domain.electrical.curves import Curve
from rovlog.domain.electrical.programme import Problem
from rovlog.domain.electrical.reduction import greatest_in_parts
from rovlog.domain.electrical.sag import sag
from rovlog.domain.electrical.worst_case import worst_case

KNOTS = (-1.0, -0.6, -0.2, 0.0, 0.3, 0.7, 1.0)


def problem(
    seed: int, is_scaled: bool, *, channels: int = 5, demands: int = 3, shift: float = 0.0
) -> Problem:
    """Invented shares and tables; a shift keeps the first demand away from rest."""
    rng = np.random.default_rng(seed)
    curves = []
    for _ in range(channels):
        values = np.abs(KNOTS) ** 1.6 * rng.uniform(3.0, 6.0) + rng.uniform(0.0, 1.0, 7) * (np.abs(KNOTS) > 0)
        curves.append(Curve(KNOTS, tuple(float(v) for v in values)))
    lowest, highest = -np.ones(demands), np.ones(demands)
    if shift:
        lowest[0], highest[0] = shift - 0.1, shift + 0.25
    return Problem(
        lowest,
        highest,
        np.eye(demands),
        np.zeros(demands),
        np.round(rng.uniform(-1.0, 1.0, (channels, demands)), 2),
        np.zeros((channels, demands)),
        tuple(curves),
        is_scaled,
    )


def by_integer_programme(asked: Problem, saturated: int | None = None, end: float = 0.0) -> float:
    """The greatest by mixed-integer programming: one binary for each segment of each curve.

    With scale the free numbers are carried shrunk by a factor of their own; `saturated` and `end`
    hold one channel at full command, else nothing is shrunk.
    """
    channels, demands = asked.mixing.shape
    reach = np.abs(asked.mixing) @ np.maximum(np.abs(asked.lowest), np.abs(asked.highest)) + 1.0
    places, heights = [], []
    for c, curve in enumerate(asked.curves):
        inner = list(curve.knots)
        outer = [] if asked.is_scaled else [-reach[c], reach[c]]
        knots = sorted({*inner, *outer})
        places.append(knots)
        heights.append([curve.at(k) for k in knots])
    sizes = [len(p) for p in places]
    shares_at = demands + 1 + np.concatenate([[0], np.cumsum(sizes)[:-1]])
    segments_at = demands + 1 + sum(sizes) + np.concatenate([[0], np.cumsum([s - 1 for s in sizes])[:-1]])
    total = demands + 1 + sum(sizes) + sum(s - 1 for s in sizes)
    rows, low, high = [], [], []

    def add(row: np.ndarray, least: float, most: float) -> None:
        rows.append(row)
        low.append(least)
        high.append(most)

    for c in range(channels):
        own = slice(shares_at[c], shares_at[c] + sizes[c])
        bins = slice(segments_at[c], segments_at[c] + sizes[c] - 1)
        row = np.zeros(total)
        row[:demands], row[own] = asked.mixing[c], -np.array(places[c])
        add(row, 0.0, 0.0)
        for part in (own, bins):
            row = np.zeros(total)
            row[part] = 1.0
            add(row, 1.0, 1.0)
        for n in range(sizes[c]):
            row = np.zeros(total)
            row[shares_at[c] + n] = 1.0
            for segment in (n - 1, n):
                if 0 <= segment < sizes[c] - 1:
                    row[segments_at[c] + segment] = -1.0
            add(row, -np.inf, 0.0)
    for k in range(demands):
        row = np.zeros(total)
        row[k], row[demands] = 1.0, -asked.highest[k]
        add(row, -np.inf, 0.0)
        row = np.zeros(total)
        row[k], row[demands] = 1.0, -asked.lowest[k]
        add(row, 0.0, np.inf)
    if saturated is not None:
        row = np.zeros(total)
        row[:demands] = asked.mixing[saturated]
        add(row, end, end)
    lowest, highest = np.zeros(total), np.ones(total)
    lowest[:demands], highest[:demands] = -np.inf, np.inf
    lowest[demands] = 1.0 if saturated is None else 0.0
    costs = np.zeros(total)
    for c in range(channels):
        costs[shares_at[c] : shares_at[c] + sizes[c]] = -np.array(heights[c])
    integral = np.zeros(total)
    integral[demands + 1 + sum(sizes) :] = 1
    found = milp(
        costs,
        constraints=LinearConstraint(np.array(rows), low, high),
        bounds=Bounds(lowest, highest),
        integrality=integral,
        options={"mip_rel_gap": 1e-9},
    )
    return -float(found.fun) if found.status == 0 else -np.inf


@pytest.mark.parametrize("seed", range(4))
def test_with_clip_an_integer_programme_finds_the_same_greatest(seed: int) -> None:
    asked = problem(seed, False)
    expected = by_integer_programme(asked)  # the solver's own tolerance is 1e-6
    assert greatest(asked).value == pytest.approx(expected, rel=1e-5)
    assert greatest_in_parts(asked).value == pytest.approx(expected, rel=1e-5)


@pytest.mark.parametrize("shift", [0.0, 0.4])
@pytest.mark.parametrize("seed", range(2))
def test_with_scale_an_integer_programme_for_each_saturated_channel_finds_the_same(
    seed: int, shift: float
) -> None:
    asked = problem(seed, True, channels=4, shift=shift)
    cases = [by_integer_programme(asked)]
    cases += [by_integer_programme(asked, c, end) for c in range(4) for end in (-1.0, 1.0)]
    assert greatest(asked).value == pytest.approx(max(cases), rel=1e-5)
    assert greatest_in_parts(asked).value == pytest.approx(max(cases), rel=1e-5)


@pytest.mark.parametrize("carries", ["motor-pairs", "supply-pair"])
@pytest.mark.parametrize("command", [0.35, 0.7, 1.0])
def test_a_root_finder_meets_our_operating_point(carries: str, command: float) -> None:
    documents = puffin()
    documents.vehicle["electrical"]["tether"]["carries"] = carries
    configuration = configuration_of(documents)
    electrical = configuration.electrical
    pair = 2 * electrical.tether.length_m / 58.0 / electrical.tether.conductor_area_mm2
    ahead = [p for p in configuration.models["heron-50"].points if p.command >= 0]

    def motor_a(v: float) -> float:
        c = v / 12.0
        return float(np.interp(c, [p.command for p in ahead], [p.current_a for p in ahead])) / c

    path = 0.024 + 0.004 + 0.012 + (pair if carries == "supply-pair" else 0.0)
    driver = 0.04 + (pair if carries == "motor-pairs" else 0.0)

    def effective_v(box_v: float) -> float:
        return brentq(lambda v: v + driver * motor_a(v) - command * box_v, 1e-9, 14.0, xtol=1e-13)

    def excess(box_v: float) -> float:
        current = 0.35 + 2 * command * motor_a(effective_v(box_v))
        return 12.6 - path * current - box_v  # volt

    box_v = brentq(excess, 4.0 if carries == "supply-pair" else 8.0, 12.6, xtol=1e-13)
    point = sag(configuration, {5: command, 6: command}).point
    assert point is not None
    assert point.box_v == pytest.approx(box_v, rel=1e-9)
    assert point.thruster_v["lift-port"] == pytest.approx(effective_v(box_v), rel=1e-9)


def test_the_worst_case_of_a_whole_vehicle_is_not_beaten_by_a_dense_search() -> None:
    configuration = configuration_of(puffin())
    worst = worst_case(configuration)
    # surge alone and heave alone: every channel at full command, 4.4 A each, and 0.35 A standing
    assert worst.total_a == pytest.approx(6 * 4.4 + 0.35)
