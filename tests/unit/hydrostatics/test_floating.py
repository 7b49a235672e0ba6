"""Net force, trim, pressure, rise and attitude of whole vehicles."""

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rovlog.domain.allocation.response import response
from rovlog.domain.hydrostatics.buoyancy import buoyancy
from rovlog.domain.hydrostatics.findings import water_findings
from rovlog.domain.hydrostatics.pressure import gauge_pressure_kpa, pressure
from rovlog.domain.hydrostatics.righting import righting
from rovlog.domain.hydrostatics.rise import rise
from rovlog.domain.hydrostatics.trim import heave_trim
from rovlog.domain.vehicle import (
    Configuration,
    ControlBox,
    Drivers,
    Electrical,
    Fuse,
    Housing,
    Hull,
    StandingLoad,
    SteeringScheme,
    Supply,
    Tether,
    Thruster,
    ThrusterMap,
    ThrusterModel,
    ThrustPoint,
)
from rovlog.problems import OutOfRangeError

DULL = ThrusterModel(  # an invented thruster that pushes harder ahead than astern, and not in a straight line
    "dull",
    12.0,
    (
        ThrustPoint(-1.0, -9.0, 4.2),
        ThrustPoint(-0.4, -2.0, 0.9),
        ThrustPoint(0.4, 3.0, 1.0),
        ThrustPoint(1.0, 12.0, 5.0),
    ),
)


def vehicle(
    mass_kg=6.2,
    *,
    volume_m3=0.006300,
    signs=(1, 1),
    shares=None,
    saturated="clip",
    direction=(0, 0, 1),
    **hull,
):
    """Two verticals side by side, channels 1 and 2; z is down, so a positive thrust pushes it down."""
    thrusters = tuple(
        Thruster(f"vertical-{i}", "dull", i, sign, (0.0, y, 0.0), direction)
        for i, sign, y in zip((1, 2), signs, (-0.1, 0.1), strict=True)
    )
    return Configuration(
        vehicle="plover",
        hull=Hull(mass_kg, volume_m3, **hull),
        housings=(Housing("eye", 60.0), Housing("main", 35.0), Housing("lamp", 35.0)),
        control_box=ControlBox("box", "1.0", 4, 1, 1),
        steering_scheme=SteeringScheme(()),
        thruster_map=ThrusterMap({"heave": shares or {1: 1.0, 2: 1.0}}, saturated),
        thrusters=thrusters,
        models={"dull": DULL},
        trim_defaults={},
        electrical=Electrical(
            Supply("battery", 12.6),
            Fuse(10.0),
            0.0,
            Drivers(),
            Tether(25.0, 1.0, "motor-pairs", weight_in_water_n_per_m=0.04),
            (StandingLoad("camera", 0.5),),
        ),
    )


# --- pressure --------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("density", "kpa_per_m"),
    # p = rho g h with standard gravity, own arithmetic on published densities
    [(998.2067, 9.7891), (1025.0, 10.0518), (1026.954, 10.0710)],
)
def test_each_metre_adds_the_weight_of_its_water(density, kpa_per_m):
    assert gauge_pressure_kpa(density, 1.0) == pytest.approx(kpa_per_m, abs=5e-5)
    assert gauge_pressure_kpa(density, 17.0) == pytest.approx(17 * kpa_per_m, abs=1e-3)


def test_one_atmosphere_is_the_divers_33_feet_of_sea_and_34_of_fresh_water():
    # US Navy Diving Manual, the rule as quoted in public sources: 33 fsw, 34 ffw; computed 33.07 and 33.96.
    for density, feet in ((1025.0, 33.07), (998.2067, 33.96)):
        assert gauge_pressure_kpa(density, feet * 0.3048) == pytest.approx(101.325, abs=0.03)


def test_the_weakest_housing_sets_the_margin():
    result = pressure(vehicle(), 1025.0, 20.0)
    assert result.weakest == "main"
    assert result.rating_kpa == pytest.approx(35 * 9.807)
    assert result.margin == pytest.approx(1 - 20 * 10.0518 / (35 * 9.807), abs=1e-4)
    assert result.depth_margin_m == pytest.approx(35 * 9.807 / 10.0518 - 20.0, abs=1e-3)


def test_a_vehicle_without_a_housing_has_no_margin():
    result = pressure(replace(vehicle(), housings=()), 1000.0, 5.0)
    assert (result.weakest, result.margin, result.rating_kpa) == (None, None, None)


@pytest.mark.parametrize("depth_m", [-1.0, 12_000.0, math.nan])
def test_an_impossible_depth_is_refused_by_name(depth_m):
    with pytest.raises(OutOfRangeError, match="depth_m"):
        pressure(vehicle(), 1000.0, depth_m)
    with pytest.raises(OutOfRangeError, match="depth_m"):
        buoyancy(vehicle(), 15.0, 0.0, depth_m)


# --- net force -------------------------------------------------------------------------------


def test_the_net_force_is_lift_less_weight_less_hanging_tether():
    result = buoyancy(vehicle(), 20.0, 0.0, 10.0)
    # 998.2053 kg/m^3 x 6.3 l = 6.28869 kg, less 6.2 kg, times 9.80665; tether 10 m at 0.04 N/m
    assert result.hull_up_n == pytest.approx(0.8697, abs=1e-4)
    assert result.tether_lift_n == pytest.approx(-0.4)
    assert result.net_up_n == pytest.approx(0.4697, abs=1e-4)


def test_no_more_tether_hangs_than_there_is():
    assert buoyancy(vehicle(), 20.0, 0.0, 40.0).tether_lift_n == pytest.approx(-1.0)
    names = [f.finding for f in water_findings(vehicle(), buoyancy(vehicle(), 20.0, 0.0, 40.0))]
    assert "deeper-than-tether" in names


@given(st.floats(0, 40), st.floats(0, 42), st.floats(0, 25))
def test_saltier_water_lifts_more_and_more_tether_pulls_down(temperature_c, salinity, depth_m):
    fresh = buoyancy(vehicle(), temperature_c, salinity, depth_m)
    assert buoyancy(vehicle(), temperature_c, salinity + 1, depth_m).net_up_n > fresh.net_up_n
    assert fresh.net_up_n <= buoyancy(vehicle(), temperature_c, salinity, 0.0).net_up_n


# --- trim ------------------------------------------------------------------------------------


@given(
    st.floats(0.0, 30.0),
    st.sampled_from([(1, 1), (1, -1), (-1, -1)]),
    st.floats(-2.0, 2.0),
    st.sampled_from(["clip", "scale"]),
)
def test_the_trim_balances_the_net_force(net_up_n, signs, second, saturated):
    configuration = vehicle(signs=signs, shares={1: 1.0, 2: second}, saturated=saturated)
    trim = heave_trim(configuration, net_up_n)
    forces = [response(configuration, {"heave": i / 50}).wrench["Z"] for i in range(51)]
    if trim.share is None:
        assert max(forces) < net_up_n
    else:
        assert 0.0 <= trim.share <= 1.0
        assert response(configuration, {"heave": trim.share}).wrench["Z"] == pytest.approx(net_up_n, abs=1e-9)
        assert all(f < net_up_n + 1e-9 for i, f in enumerate(forces) if i / 50 < trim.share)


def test_the_trim_and_its_current_follow_the_table():
    # 4.5 N: 2.25 N each is 0.3 of command (3 N at 0.4), 0.75 A each; 1.5 A of 2.0 A with the camera
    trim = heave_trim(vehicle(), 4.5)
    assert trim.share == pytest.approx(0.3)
    assert trim.current_a == pytest.approx(1.5)
    assert trim.endurance_lost == pytest.approx(0.75)


def test_a_heavy_vehicle_gets_no_upward_trim_and_stops_the_dive():
    result = buoyancy(vehicle(mass_kg=6.4), 20.0, 0.0)
    assert result.net_up_n < 0
    assert result.heave_trim is None
    found = water_findings(vehicle(mass_kg=6.4), result)
    assert [(f.finding, f.severity) for f in found] == [("sinks-with-power-off", "stops")]
    assert "how it comes back" in found[0].clears


def test_thrusters_that_push_the_wrong_way_hold_nothing_down():
    result = buoyancy(vehicle(direction=(0, 0, -1)), 20.0, 0.0)
    assert result.heave_trim is None
    assert "0.00 N down" in result.heave_trim_reason


def test_a_vehicle_without_heave_still_has_a_net_force():
    bare = replace(vehicle(), thruster_map=ThrusterMap({}, "clip"), thrusters=())
    assert buoyancy(bare, 20.0, 0.0).net_up_n == pytest.approx(0.8697, abs=1e-4)


def test_thirty_percent_of_trim_holds_a_slightly_light_vehicle():
    # Common practice, no source: a thruster trimmed to 30 % holds a slightly light vehicle down.
    result = buoyancy(vehicle(mass_kg=5.83, shares={1: 1.0}), 20.0, 0.0)
    light = (998.2053 * 0.0063 - 5.83) / 5.83
    assert 0.05 < light < 0.1
    assert heave_trim(vehicle(), 4.5).share == pytest.approx(0.3)
    assert 0.3 < result.heave_trim < 0.6


def test_an_upward_trim_in_the_record_is_named():
    configuration = replace(vehicle(), trim_defaults={"heave": -0.1})
    found = water_findings(configuration, buoyancy(configuration, 20.0, 0.0))
    assert [f.finding for f in found] == ["upward-heave-trim"]


def test_a_depth_beyond_the_rating_stops_the_dive_and_a_thin_margin_is_a_note():
    configuration = vehicle()
    floats = buoyancy(configuration, 20.0, 0.0)
    beyond = water_findings(configuration, floats, pressure(configuration, 1025.0, 35.0))
    thin = water_findings(configuration, floats, pressure(configuration, 1025.0, 33.0))
    assert [(f.finding, f.severity) for f in beyond] == [("housing-beyond-rating", "stops")]
    assert [(f.finding, f.severity) for f in thin] == [("housing-margin-thin", "note")]
    assert beyond[0].pointer == "/housings/main/depth_rating_m"


# --- rise ------------------------------------------------------------------------------------


@given(st.floats(0.05, 30), st.floats(0.001, 0.3), st.floats(0.05, 40))
def test_the_rise_time_is_that_of_stepping_the_motion(net_up_n, area, depth_m):
    result = rise(vehicle(drag_area_m2=area), 1000.0, net_up_n, depth_m)
    mass = 6.2 + 0.5 * 1000.0 * 0.0063
    # A second way: the same motion stepped with the mid-point rule.
    x = v = t = 0.0
    step = result.rise_time_s / 2000
    for _ in range(2000):
        middle = v + 0.5 * step * (net_up_n - 500.0 * area * v * v) / mass
        x += step * middle
        v += step * (net_up_n - 500.0 * area * middle * middle) / mass
        t += step
    assert x == pytest.approx(depth_m, rel=1e-3)


def test_from_far_down_the_rise_is_at_terminal_speed():
    result = rise(vehicle(drag_area_m2=0.04), 1000.0, 2.0, 500.0)
    assert result.terminal_m_s == pytest.approx(math.sqrt(2 * 2.0 / (1000.0 * 0.04)))
    assert result.rise_time_s == pytest.approx(result.steady_time_s, rel=0.01)
    assert result.rise_time_s > result.steady_time_s


def test_what_does_not_float_or_has_no_drag_has_no_rise_time():
    assert rise(vehicle(drag_area_m2=0.04), 1000.0, -0.1).reason == "it does not rise by itself"
    assert "drag_area_m2" in rise(vehicle(), 1000.0, 1.0).reason


# --- attitude --------------------------------------------------------------------------------


def upright(mass_at, lift_at):
    return righting(vehicle(centre_of_mass_m=mass_at, centre_of_buoyancy_m=lift_at), 1000.0)


def test_buoyancy_above_mass_rights_it():
    result = upright((0.0, 0.0, 0.05), (0.0, 0.0, 0.01))
    # 6.3 kg of water displaced, 61.78 N, 0.04 m: 2.4713 N m at 90 degrees, half of that at 30
    assert result.moment_n_m(90.0) == pytest.approx(2.4713, abs=1e-4)
    assert result.moment_n_m(30.0) == pytest.approx(1.2356, abs=1e-4)
    assert (result.rest_roll_deg, result.rest_pitch_deg) == (pytest.approx(0.0), pytest.approx(0.0))


def test_ballast_to_starboard_puts_starboard_down_and_ballast_aft_lifts_the_bow():
    result = upright((-0.01, 0.01, 0.05), (0.0, 0.0, 0.0))
    assert result.rest_roll_deg == pytest.approx(math.degrees(math.atan2(0.01, 0.05)))
    assert result.rest_pitch_deg > 0


def test_a_centre_of_mass_on_top_turns_it_over():
    result = upright((0.0, 0.0, -0.02), (0.0, 0.0, 0.02))
    assert not result.is_upright
    configuration = vehicle()
    found = water_findings(configuration, buoyancy(configuration, 20.0, 0.0), righting=result)
    assert [f.finding for f in found] == ["turns-over"]


def test_without_centres_there_is_no_attitude():
    assert righting(vehicle(), 1000.0) is None
