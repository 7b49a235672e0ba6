"""Copper: wire tables, temperature, loops."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rovlog.domain.electrical.tether import (
    awg_area_mm2,
    conductor_resistance_ohm,
    loop_resistance_ohm,
    wire_rating_a,
)
from rovlog.domain.vehicle import Tether
from rovlog.problems import OutOfRangeError

FEET_1000_M = 304.8

OHM_PER_1000_FT = [  # American wire gauge, ohm per 1000 ft at 20 degrees C; NBS Handbook 100 (1966)
    (10, 0.9989), (11, 1.260), (12, 1.588), (13, 2.003), (14, 2.525), (15, 3.184), (16, 4.016), (17, 5.064),
    (18, 6.385), (19, 8.051), (20, 10.15), (21, 12.80), (22, 16.14), (23, 20.36), (24, 25.67),
]  # fmt: skip


@pytest.mark.parametrize(("gauge", "printed"), OHM_PER_1000_FT)
def test_resistance_by_gauge_meets_the_printed_wire_table(gauge: int, printed: float) -> None:
    assert conductor_resistance_ohm(FEET_1000_M, awg_area_mm2(gauge)) == pytest.approx(printed, rel=4e-4)


def test_three_gauges_double_the_area() -> None:
    # NBS Handbook 100, 2.1: ratio of areas per step 1.261, sixth power of the diameter's 2.005
    assert awg_area_mm2(17) / awg_area_mm2(18) == pytest.approx(1.261, abs=5e-5)
    assert awg_area_mm2(15) / awg_area_mm2(18) == pytest.approx(2.005, abs=5e-4)


@pytest.mark.parametrize(
    ("area_mm2", "maximum_ohm_per_km"),
    [(0.5, 36.0), (0.75, 24.5), (1.0, 18.1), (1.5, 12.1), (2.5, 7.41), (4.0, 4.61)],
)
def test_ideal_copper_stays_below_the_maximum_of_the_standard(
    area_mm2: float, maximum_ohm_per_km: float
) -> None:
    # IEC 60228 (2004), maximum at 20 degrees C, class 1 and 2
    ideal = conductor_resistance_ohm(1000.0, area_mm2)
    assert 0.9 * maximum_ohm_per_km < ideal < maximum_ohm_per_km


@pytest.mark.parametrize(("temperature_c", "ratio"), [(50.0, 1.1179), (75.0, 1.21615), (20.0, 1.0)])
def test_warm_copper_resists_more(temperature_c: float, ratio: float) -> None:
    # R = R20 (1 + 0.00393 (t - 20)), NBS Handbook 100; half the last printed digit
    warm = conductor_resistance_ohm(10.0, 1.0, temperature_c)
    assert warm / conductor_resistance_ohm(10.0, 1.0) == pytest.approx(ratio, abs=1e-4)


@pytest.mark.parametrize(
    ("gauge", "length_m", "current_a", "ohm", "volt"),
    [
        (18, 20, 10, 0.8379, 8.379),
        (16, 20, 10, 0.527, 5.27),
        (14, 30, 15, 0.497, 7.456),
        (12, 15, 20, 0.1563, 3.126),
    ],
)
def test_a_tether_s_loop_is_out_and_back(
    gauge: int, length_m: float, current_a: float, ohm: float, volt: float
) -> None:
    # arithmetic on the printed table: R = 2 L r
    loop = loop_resistance_ohm(Tether(length_m, awg_area_mm2(gauge), "motor-pairs"))
    assert loop == pytest.approx(ohm, rel=1e-3)
    assert loop * current_a == pytest.approx(volt, rel=1e-3)


@given(st.floats(0.1, 500), st.floats(0.05, 10))
def test_longer_resists_more_and_thicker_less(length_m: float, area_mm2: float) -> None:
    ohm = conductor_resistance_ohm(length_m, area_mm2)
    assert conductor_resistance_ohm(2 * length_m, area_mm2) == pytest.approx(2 * ohm)
    assert conductor_resistance_ohm(length_m, 2 * area_mm2) == pytest.approx(ohm / 2)


@pytest.mark.parametrize(
    ("name", "arguments"),
    [
        ("length_m", (-1.0, 1.0)),
        ("conductor_area_mm2", (1.0, 0.0)),
        ("conductor_area_mm2", (1.0, math.nan)),
        ("conductor_temperature_c", (1.0, 1.0, math.inf)),
    ],
)
def test_what_no_wire_has_is_refused_by_name(name: str, arguments: tuple[float, ...]) -> None:
    with pytest.raises(OutOfRangeError, match=name):
        conductor_resistance_ohm(*arguments)


@given(st.floats(0.05, 16), st.floats(0.05, 16))
def test_a_thicker_wire_is_never_rated_lower(a: float, b: float) -> None:
    assert wire_rating_a(min(a, b)) <= wire_rating_a(max(a, b))


def test_a_wire_between_two_sizes_takes_the_smaller_size_s_rating() -> None:
    assert wire_rating_a(1.2) == wire_rating_a(1.0)
