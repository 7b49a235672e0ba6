"""Density and pressure against two independent oceanographic libraries (test dependencies only)."""

import warnings

import gsw
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rovlog.domain.hydrostatics.pressure import gauge_pressure_kpa
from rovlog.domain.hydrostatics.water import water_density

with warnings.catch_warnings():
    # It says that it is superseded by gsw; here it stands for the older standard on purpose.
    warnings.simplefilter("ignore")
    import seawater

SALINITIES = st.floats(0.0, 42.0)  # practical salinity; gsw's fit of the density ends at 42
TEMPERATURES = st.floats(0.0, 40.0)  # degrees C, ITS-90


@given(SALINITIES, TEMPERATURES)
def test_density_is_that_of_the_same_standard_in_another_library(salinity, temperature_c):
    # Both are EOS-80 at one atmosphere; `seawater` takes ITS-90 and converts with the same 1.00024.
    theirs = float(seawater.dens0(salinity, temperature_c))
    assert water_density(salinity, temperature_c) == pytest.approx(theirs, abs=1e-9)


@given(SALINITIES, TEMPERATURES)
def test_density_agrees_with_the_newer_standard(salinity, temperature_c):
    # TEOS-10 rests on newer measurements; against EOS-80 it differs by less than 0.009 kg/m^3 over the
    # whole range (found by trying a grid). A crew needs 0.1: a gram on ten litres.
    absolute = salinity * 35.16504 / 35.0
    theirs = float(gsw.rho_t_exact(absolute, temperature_c, 0.0))
    assert water_density(salinity, temperature_c) == pytest.approx(theirs, abs=0.01)


@given(SALINITIES, TEMPERATURES, st.floats(1.0, 150.0))
def test_pressure_at_depth_agrees_with_the_ocean_formula(salinity, temperature_c, depth_m):
    # Theirs is for the standard ocean (salinity 35, 0 C) and counts the squeezing of the water and
    # gravity at 45 degrees; scaled by density what is left is under 0.1 %.
    theirs_kpa = 10.0 * float(gsw.p_from_z(-depth_m, 45.0))
    density = water_density(salinity, temperature_c)
    ours_kpa = gauge_pressure_kpa(density, depth_m)
    assert ours_kpa == pytest.approx(theirs_kpa * density / water_density(35.0, 0.0), rel=1e-3)
