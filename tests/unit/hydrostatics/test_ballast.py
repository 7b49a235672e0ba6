"""Ballast between two waters, and the water as people type it."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rovlog.domain.hydrostatics.ballast import ballast_change_kg, ballast_to_neutral_kg
from rovlog.problems import OutOfRangeError, UsageError
from rovlog.usecases.water_spec import density_of, parse_water


def test_ten_litres_gain_278_grams_of_lift_from_tank_to_sea():
    # Archimedes on published densities: 998.2067 to 1025.976 kg/m^3 on 10.000 l lift 0.27769 kg more.
    # Ballast that displaces next to nothing has to weigh just that.
    assert ballast_change_kg(0.010, 998.2067, 1025.976, 25_000.0) == pytest.approx(0.27769 * 1.0428, abs=1e-4)


@given(
    st.floats(0.001, 0.1),
    st.floats(995, 1029),
    st.floats(995, 1029),
    st.floats(1500, 20_000),
    st.floats(0.5, 50),
)
def test_with_the_change_it_floats_as_before(volume, before, after, ballast, mass):
    change = ballast_change_kg(volume, before, after, ballast)
    net_before = before * volume - mass
    net_after = after * (volume + change / ballast) - (mass + change)
    assert net_after == pytest.approx(net_before, abs=1e-9)


@given(st.floats(995, 1029), st.floats(995, 1029))
def test_saltier_water_asks_for_more_ballast(before, after):
    change = ballast_change_kg(0.008, before, after, 11340.0)
    assert (change > 0) == (after > before)


@given(st.floats(-30, 30), st.floats(995, 1029), st.floats(1500, 20_000))
def test_with_the_ballast_to_neutral_nothing_pulls_up_or_down(net_up_n, density, ballast):
    mass = ballast_to_neutral_kg(net_up_n, density, ballast)
    weight_n = (mass - density * mass / ballast) * 9.80665  # less what the ballast itself displaces
    assert weight_n == pytest.approx(net_up_n, abs=1e-9)


def test_ballast_to_neutral_of_something_that_floats_is_refused_by_name():
    with pytest.raises(OutOfRangeError, match="ballast_density_kg_m3"):
        ballast_to_neutral_kg(1.0, 998.0, 600.0)
    with pytest.raises(OutOfRangeError, match="net_up_n"):
        ballast_to_neutral_kg(float("nan"), 998.0, 7850.0)


def test_ballast_that_floats_is_refused_by_name():
    with pytest.raises(OutOfRangeError, match="ballast_density_kg_m3"):
        ballast_change_kg(0.008, 998.0, 1025.0, 900.0)


def test_a_decimal_comma_is_a_decimal_point():
    assert parse_water("salt:11,5:33,2") == parse_water(" Salt : 11.5 : 33.2 ")
    assert parse_water("salt:11,5:33,2").temperature_c == 11.5


def test_a_water_without_salinity_keeps_it_open():
    assert parse_water("fresh:18").salinity is None
    assert density_of(parse_water("fresh:18")) == pytest.approx(998.595, abs=0.01)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("sea:12:35", "begins with 'sea'"),
        ("salt", "0 numbers"),
        ("salt:12:35:1", "3 numbers"),
        ("salt:warm:35", "'warm', which is not a number"),
        ("salt:nan:35", "'nan', which is not a number"),
        ("salt:1_2:35", "'1_2', which is not a number"),
        ("fresh:20:35", "called fresh at a salinity of 35"),
        ("salt:12:0", "called salt at a salinity of 0"),
        ("", "begins with ''"),
    ],
)
def test_another_form_is_refused_in_one_sentence(text, told):
    with pytest.raises(UsageError, match=told):
        parse_water(text)


@pytest.mark.parametrize(("text", "name"), [("fresh:41", "temperature_c"), ("salt:12:44", "salinity")])
def test_a_water_outside_the_range_is_refused_by_name(text, name):
    with pytest.raises(OutOfRangeError, match=name):
        parse_water(text)


def test_brackish_water_of_unknown_salinity_has_no_density():
    with pytest.raises(UsageError, match="brackish"):
        density_of(parse_water("brackish:12"))
