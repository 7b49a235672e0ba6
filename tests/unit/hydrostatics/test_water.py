"""Density of water against published values."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rovlog.domain.hydrostatics.water import Water, water_density
from rovlog.problems import OutOfRangeError

UNESCO_44 = [  # practical salinity, T68 in degrees C, kg/m^3 at the surface
    # Fofonoff and Millard, UNESCO technical papers in marine science 44 (1983), check table, p. 19
    (0.0, 5.0, 999.96675),
    (0.0, 25.0, 997.04796),
    (35.0, 5.0, 1027.67547),
    (35.0, 25.0, 1023.34306),
    # UNESCO technical papers in marine science 36 (1981), check value
    (8.0, 10.0, 1005.94659),
]

ITTC_FRESH = [  # degrees C (ITS-90), kg/m^3: ITTC recommended procedure 7.5-02-01-03 (2011), table 1
    (10.0, 999.7025),
    (15.0, 999.1026),
    (20.0, 998.2072),
    (25.0, 997.0476),
    (30.0, 995.6495),
]

TANAKA = [  # degrees C, kg/m^3: Tanaka et al., Metrologia 38 (2001) 301-309, table
    (27.0, 996.5151),
    (28.0, 996.2353),
    (30.0, 995.6488),
]

TEOS_10 = [  # practical salinity, degrees C, kg/m^3 by TEOS-10 with SA = 35.16504/35 x SP, sea surface
    (35.0, 10.0, 1026.954),
    (35.0, 20.0, 1024.766),
    (33.0, 12.0, 1025.040),
    (10.0, 15.0, 1006.784),
    (7.0, 10.0, 1005.168),
    (38.0, 25.0, 1025.611),
]


@pytest.mark.parametrize(("salinity", "t68", "published"), UNESCO_44)
def test_density_meets_the_published_check_values(salinity, t68, published):
    temperature_c = t68 / 1.00024  # written out: a test shares no constant with its subject
    # Half the last printed digit; the value of 1981 was printed from another rounding of the fit.
    tolerance = 2e-5 if salinity == 8.0 else 5.5e-6
    assert water_density(salinity, temperature_c) == pytest.approx(published, abs=tolerance)


@pytest.mark.parametrize(("temperature_c", "published"), ITTC_FRESH + TANAKA)
def test_fresh_water_meets_the_tables_of_other_formulas(temperature_c, published):
    # The stated standard error of the fit: 0.0036 kg/m^3.
    assert water_density(0.0, temperature_c) == pytest.approx(published, abs=0.0036)


@pytest.mark.parametrize(("salinity", "temperature_c", "published"), TEOS_10)
def test_sea_water_agrees_with_the_newer_standard_to_ten_grams(salinity, temperature_c, published):
    assert water_density(salinity, temperature_c) == pytest.approx(published, abs=0.01)


@given(st.floats(0, 42), st.floats(0, 40))
def test_more_salt_is_always_heavier(salinity, temperature_c):
    assert water_density(salinity + 1, temperature_c) > water_density(salinity, temperature_c)


@given(st.floats(5, 39), st.floats(0, 43))
def test_warmer_is_lighter_above_five_degrees(temperature_c, salinity):
    assert water_density(salinity, temperature_c + 1) < water_density(salinity, temperature_c)


@pytest.mark.parametrize("salinity", [-0.1, 43.1, math.nan, math.inf])
def test_salinity_outside_the_fit_is_refused_by_name(salinity):
    with pytest.raises(OutOfRangeError, match="salinity"):
        water_density(salinity, 10.0)


@pytest.mark.parametrize("temperature_c", [-0.1, 40.1, math.nan])
def test_temperature_outside_the_fit_is_refused_by_name(temperature_c):
    with pytest.raises(OutOfRangeError, match="temperature_c"):
        water_density(10.0, temperature_c)


def test_salt_water_without_a_salinity_counts_as_open_sea_and_says_so():
    water = Water("salt", 11.0)
    assert (water.salinity_taken, water.is_assumed) == (35.0, True)
    assert Water("salt", 11.0, 35.0).is_assumed is False


def test_brackish_water_has_no_usual_salinity():
    assert Water("brackish", 11.0).salinity_taken is None
    assert Water("fresh", 11.0).salinity_taken == 0.0
