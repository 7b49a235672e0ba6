"""The geometric limit against SciPy's linear and mixed-integer programming on generated vehicles."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from scipy.optimize import Bounds, LinearConstraint, linprog, milp
from vehicles import configurations

from rovlog.domain.allocation.limits import LIMIT_AXES, limits
from rovlog.domain.vehicle import AXES, Configuration, Thruster


def column(t: Thruster) -> np.ndarray:
    """[e; r x e] on X, Y, Z, N, by numpy's own cross product."""
    e = np.array(t.thrust_direction) / np.linalg.norm(t.thrust_direction)
    whole = np.concatenate([e, np.cross(t.position_m, e)])
    return whole[[AXES.index(a) for a in LIMIT_AXES]]


def thrust(configuration: Configuration, t: Thruster, channel_command: float) -> float:
    """The thruster's table by numpy's own interpolation, origin included."""
    rows = {p.command: p.thrust_n for p in configuration.models[t.model].points} | {0.0: 0.0}
    commands = sorted(rows)
    return float(np.interp(t.sign * channel_command, commands, [rows[c] for c in commands]))


def corners(configuration: Configuration, channel: int) -> np.ndarray:
    """The channel's wrench at every breakpoint of any of its thrusters' tables."""
    on = [t for t in configuration.thrusters if t.channel == channel]
    commands = {0.0} | {t.sign * p.command for t in on for p in configuration.models[t.model].points}
    return np.array([sum(thrust(configuration, t, c) * column(t) for t in on) for c in sorted(commands)])


def by_linprog(configuration: Configuration, row: int, way: float) -> float:
    """One thruster a channel: forces between the table's ends, by HiGHS."""
    matrix = np.array([column(t) for t in configuration.thrusters]).T
    matrix[np.abs(matrix) < 1e-12] = 0.0
    ends = [sorted(thrust(configuration, t, c) for c in (-1.0, 1.0)) for t in configuration.thrusters]
    others = [k for k in range(4) if k != row]
    found = linprog(-way * matrix[row], A_eq=matrix[others], b_eq=np.zeros(3), bounds=ends, method="highs")
    assert found.status == 0
    return way * -found.fun


def by_milp(configuration: Configuration, row: int, way: float) -> float:
    """Piecewise linear channels: one binary a segment, the mixture on that segment's two corners."""
    paths = [corners(configuration, c) for c in configuration.channels_in_use]
    points = np.concatenate(paths)
    points[np.abs(points) < 1e-12] = 0.0
    n_points, n_segments = len(points), sum(len(p) - 1 for p in paths)
    rows, low, high = [], [], []

    def add(row: np.ndarray, lowest: float, highest: float) -> None:
        rows.append(row)
        low.append(lowest)
        high.append(highest)

    for k in range(4):
        if k != row:
            add(np.concatenate([points[:, k], np.zeros(n_segments)]), 0.0, 0.0)
    at, segment = 0, 0
    for path in paths:
        size = len(path)
        lam, seg = np.zeros(n_points + n_segments), np.zeros(n_points + n_segments)
        lam[at : at + size] = 1.0
        seg[n_points + segment : n_points + segment + size - 1] = 1.0
        add(lam, 1.0, 1.0)
        add(seg, 1.0, 1.0)
        for i in range(size):
            touch = np.zeros(n_points + n_segments)
            touch[at + i] = 1.0
            for s in (i - 1, i):
                if 0 <= s < size - 1:
                    touch[n_points + segment + s] = -1.0
            add(touch, -np.inf, 0.0)
        at, segment = at + size, segment + size - 1
    found = milp(
        np.concatenate([-way * points[:, row], np.zeros(n_segments)]),
        constraints=LinearConstraint(np.array(rows), low, high),
        integrality=np.concatenate([np.zeros(n_points), np.ones(n_segments)]),
        bounds=Bounds(0.0, 1.0),
        options={"mip_rel_gap": 0.0},
    )
    assert found.status == 0
    return way * -found.fun


# HiGHS allows each row an error of 1e-7; thrusts here are below 25 N and lever arms above 1 cm
# where they are not zero, so an optimum may move by a few times 1e-5.
TOLERANCE = 1e-4


@settings(max_examples=60, deadline=None)
@given(configurations(may_share=False, most_thrusters=8))
def test_the_limit_of_single_thrusters_is_that_of_linear_programming(configuration: Configuration):
    found = limits(configuration)
    for row, axis in enumerate(LIMIT_AXES):
        assert found[axis].positive == pytest.approx(by_linprog(configuration, row, 1.0), abs=TOLERANCE)
        assert found[axis].negative == pytest.approx(by_linprog(configuration, row, -1.0), abs=TOLERANCE)


@settings(max_examples=25, deadline=None)
@given(configurations(most_thrusters=8))
def test_the_limit_of_shared_channels_is_that_of_mixed_integer_programming(configuration: Configuration):
    packed = replace(
        configuration,
        thrusters=tuple(replace(t, channel=1 + t.channel % 4) for t in configuration.thrusters),
    )
    found = limits(packed)
    for row, axis in enumerate(LIMIT_AXES):
        assert found[axis].positive == pytest.approx(by_milp(packed, row, 1.0), abs=TOLERANCE)
        assert found[axis].negative == pytest.approx(by_milp(packed, row, -1.0), abs=TOLERANCE)
