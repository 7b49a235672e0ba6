"""Columns of the thrust configuration matrix against published layouts and closed forms."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from vehicles import configuration_of, configurations, hundredths, puffin

from rovlog.domain.allocation.wrench import column, columns, largest_lever_m, wrench_matrix, wrench_of
from rovlog.domain.vehicle import AXES, DEMANDS
from rovlog.problems import OutOfRangeError

# SNAME, Nomenclature for treating the motion of a submerged body through a fluid, T&R Bulletin 1-5
# (1950), as quoted second-hand: degree of freedom, name, force or moment.
SNAME_AXES = [("surge", "X"), ("sway", "Y"), ("heave", "Z"), ("roll", "K"), ("pitch", "M"), ("yaw", "N")]

# Cross-product rule, moment = r x F (Fossen, Johansen and Perez, survey of control allocation for
# underwater vehicles, 2009). With the SNAME axes: starboard forward turns the bow to port.
SINGLE_COLUMNS = [
    ("starboard pushing ahead turns the bow to port", (-0.2, 0.15, 0.0), (1, 0, 0), (1, 0, 0, 0, 0, -0.15)),
    ("port pushing ahead turns the bow to starboard", (-0.2, -0.15, 0.0), (1, 0, 0), (1, 0, 0, 0, 0, 0.15)),
    ("pushing the bow down is negative pitch", (0.25, 0, 0), (0, 0, 1), (0, 0, 1, 0, -0.25, 0)),
    ("a low, forward side thruster rolls and turns", (0.3, 0, 0.05), (0, 1, 0), (0, 1, 0, -0.05, 0, 0.3)),
]

# Fossen, Marine Systems Simulator toolbox, function thrConfig, example in its header (2024), after
# Handbook of Marine Craft Hydrodynamics and Motion Control, 2nd ed. (2021), chapter 11: two main
# propellers, one azimuth thruster at 0.1 rad, one tunnel thruster. Printed to four figures.
FOSSEN_POSITIONS = [(-20, 5, 0), (-20, -5, 0), (10, 0, 0), (15, 0, 0)]
FOSSEN_DIRECTIONS = [(1, 0, 0), (1, 0, 0), (math.cos(0.1), math.sin(0.1), 0), (0, 1, 0)]
FOSSEN_ROWS = {"X": [1, 1, 0.995, 0], "Y": [0, 0, 0.0998, 1], "N": [-5, 5, 0.9983, 15]}
FOSSEN_TOLERANCE = 5e-5  # half the last printed digit

# Least-effort forces on that layout by numpy 2.4.6 linalg.pinv, recorded to four decimals.
FOSSEN_INVERSES = [
    ((100.0, 0, 0), (31.9637, 35.253, 32.9479, -3.2893)),
    ((0, 100.0, 0), (140.9517, -157.3982, 16.5291, 98.3498)),
    ((0, 0, 100.0), (-9.6381, 10.2959, -0.6612, 0.066)),
]

# Four horizontal thrusters at 45 degrees (bow port, bow starboard, stern starboard, stern port):
# closed form 10/(4 cos 45) = 3.53553 N a thruster, and 1/(4 x 0.35 cos 45) = 1.01015 N for 1 N m.
VECTORED_POSITIONS = [(0.2, -0.15, 0), (0.2, 0.15, 0), (-0.2, 0.15, 0), (-0.2, -0.15, 0)]
VECTORED_DEGREES = (45, -45, 45, -45)
VECTORED = [
    ((10.0, 0, 0), (3.53553, 3.53553, 3.53553, 3.53553)),
    ((0, 10.0, 0), (3.53553, -3.53553, 3.53553, -3.53553)),
    ((0, 0, 1.0), (1.01015, -1.01015, -1.01015, 1.01015)),
]


def test_demands_and_axes_stand_in_the_order_of_the_nomenclature():
    assert list(zip(DEMANDS, AXES, strict=True)) == SNAME_AXES


@pytest.mark.parametrize(("said", "position_m", "direction", "expected"), SINGLE_COLUMNS)
def test_one_thruster_does_what_the_cross_product_rule_says(said, position_m, direction, expected):
    assert column(position_m, direction) == pytest.approx(expected, abs=1e-9), said


@pytest.mark.parametrize("axis", FOSSEN_ROWS)
def test_the_published_layout_has_its_published_matrix(axis):
    row = wrench_matrix(FOSSEN_POSITIONS, FOSSEN_DIRECTIONS)[AXES.index(axis)]
    assert row == pytest.approx(FOSSEN_ROWS[axis], abs=FOSSEN_TOLERANCE)


@pytest.mark.parametrize(("wanted", "forces"), FOSSEN_INVERSES)
def test_least_effort_forces_of_the_published_layout_give_what_was_wanted(wanted, forces):
    matrix = wrench_matrix(FOSSEN_POSITIONS, FOSSEN_DIRECTIONS)[[0, 1, 5]]
    assert matrix @ forces == pytest.approx(wanted, abs=3e-3)  # four decimals of force on arms up to 15 m
    assert np.linalg.pinv(matrix) @ wanted == pytest.approx(forces, abs=1e-3)


@pytest.mark.parametrize(("wanted", "forces"), VECTORED)
def test_four_thrusters_at_45_degrees_meet_the_closed_form(wanted, forces):
    angles = [math.radians(d) for d in VECTORED_DEGREES]
    directions = [(math.cos(a), math.sin(a), 0) for a in angles]
    matrix = wrench_matrix(VECTORED_POSITIONS, directions)[[0, 1, 5]]
    assert matrix @ forces == pytest.approx(wanted, abs=1e-4)
    assert np.linalg.pinv(matrix) @ wanted == pytest.approx(forces, abs=1e-4)


@given(hundredths(-1, 1), hundredths(-1, 1), st.integers(-179, 180))
def test_yaw_of_a_horizontal_thruster_is_the_printed_closed_form(x, y, degrees):
    a = math.radians(degrees)
    yaw = wrench_matrix([(x, y, 0.3)], [(math.cos(a), math.sin(a), 0.0)])[5, 0]
    assert yaw == pytest.approx(x * math.sin(a) - y * math.cos(a), abs=1e-12)


@settings(max_examples=40)
@given(configurations())
def test_the_light_path_and_the_matrix_agree(configuration):
    matrix = wrench_matrix(
        [t.position_m for t in configuration.thrusters],
        [t.thrust_direction for t in configuration.thrusters],
    )
    thrusts = {t.thruster: float(n) for n, t in enumerate(configuration.thrusters, start=1)}
    light = wrench_of(configuration.thrusters, columns(configuration), thrusts)
    assert list(light.values()) == pytest.approx(list(matrix @ list(thrusts.values())), abs=1e-9)


@given(hundredths(0.5, 3.0))
def test_the_length_of_a_direction_does_not_matter(length):
    long = column((0.3, 0.1, -0.2), (0.6 * length, 0.0, 0.8 * length))
    assert long == pytest.approx(column((0.3, 0.1, -0.2), (0.6, 0.0, 0.8)), abs=1e-12)


def test_the_matrix_of_no_thrusters_has_six_rows_and_no_columns():
    assert wrench_matrix([], []).shape == (6, 0)


@pytest.mark.parametrize("direction", [(0.0, 0.0, 0.0), (math.nan, 0.0, 1.0), (math.inf, 0.0, 0.0)])
def test_a_direction_without_length_is_refused_by_name(direction):
    with pytest.raises(OutOfRangeError, match="thrust direction"):
        column((0.0, 0.0, 0.0), direction)


def test_the_largest_lever_arm_is_the_longest_distance_of_a_line_of_thrust_from_the_origin():
    # Diagonal thrusters at (0.2, 0.15): distance of the line is (0.2 + 0.15) cos 45.
    assert largest_lever_m(configuration_of(puffin())) == pytest.approx(0.35 * math.sqrt(0.5), abs=1e-12)


def test_lines_of_thrust_through_the_origin_have_no_lever_arm():
    documents = puffin()
    for thruster in documents.vehicle["thrusters"]:
        thruster["position_m"] = [0.3 * e for e in thruster["thrust_direction"]]
    assert largest_lever_m(configuration_of(documents)) == 0.0
