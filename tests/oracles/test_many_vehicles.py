"""The properties that must hold for any vehicle, over many of them; more with ROVLOG_VEHICLES=2000.

One vehicle is drawn and everything is asked of it, so that a thousand vehicles cost a thousand worst
cases and not six thousand.
"""

from __future__ import annotations

import json
import os
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from vehicles import configurations, mirrored, stick_positions

from rovlog.documents.typed_configuration import configuration as typed
from rovlog.domain.allocation.response import response
from rovlog.domain.electrical.curves import standing_current_a
from rovlog.domain.electrical.idle import nominal_current_a
from rovlog.domain.electrical.model_fit import scaled_model
from rovlog.domain.electrical.sag import sag
from rovlog.domain.electrical.worst_case import per_channel_worst_a, worst_case
from rovlog.domain.vehicle import DEMANDS, Configuration

VEHICLES = int(os.environ.get("ROVLOG_VEHICLES", "60"))
MANY = settings(
    max_examples=VEHICLES,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large, HealthCheck.filter_too_much],
)

TURNED = {"sway", "roll", "yaw"}
"""Demands that change their sign with port for starboard (SNAME axes)."""


def scaled(configuration: Configuration, factor: float) -> Configuration:
    models = {name: scaled_model(model, factor) for name, model in configuration.models.items()}
    return replace(configuration, models=models)


def flipped(configuration: Configuration) -> Configuration:
    """Every lead crossed."""
    return replace(configuration, thrusters=tuple(replace(t, sign=-t.sign) for t in configuration.thrusters))


@MANY
@given(st.data())
def test_what_holds_for_every_vehicle(data: st.DataObject) -> None:
    configuration = data.draw(configurations(vary_electrical=True))
    worst = worst_case(configuration)
    standing = standing_current_a(configuration)

    # never below any sampled position of the sticks, and reached at the positions it names
    for _ in range(4):
        sticks = data.draw(stick_positions(configuration))
        assert nominal_current_a(configuration, sticks) <= worst.total_a * (1 + 1e-8)
    named = nominal_current_a(configuration, worst.sticks)
    assert named <= worst.total_a * (1 + 1e-8)
    assert worst.is_at_most or named == pytest.approx(worst.total_a, rel=1e-8)

    # built port for starboard: sway, roll and yaw the other way, the rest and every current the same
    other = mirrored(configuration)
    for demand in DEMANDS:
        here = response(configuration, {demand: 0.7}).wrench
        there = response(other, {demand: 0.7}).wrench
        for axis, turns in zip("XYZKMN", (d in TURNED for d in DEMANDS), strict=True):
            assert there[axis] == pytest.approx(-here[axis] if turns else here[axis], abs=1e-9)
    assert worst_case(other).total_a == pytest.approx(worst.total_a, rel=1e-9)

    # every lead crossed twice is nothing
    again = flipped(flipped(configuration))
    assert again == configuration

    # currents scale with the tables
    louder = worst_case(scaled(configuration, 1.5)).total_a
    if not worst.is_at_most:
        assert louder - standing == pytest.approx(1.5 * (worst.total_a - standing), rel=1e-7, abs=1e-9)

    # sag vanishes without resistance
    electrical = configuration.electrical
    rated = max((m.rated_v for m in configuration.models.values()), default=12.0)
    ideal = replace(
        electrical,
        supply=replace(electrical.supply, kind="battery", open_circuit_v=rated, internal_resistance_ohm=0.0),
        fuse=replace(electrical.fuse, resistance_ohm=0.0),
        leads_resistance_ohm=0.0,
        drivers=replace(electrical.drivers, on_resistance_ohm=0.0),
        tether=replace(electrical.tether, length_m=0.0),
    )
    at = sag(replace(configuration, electrical=ideal), worst.commands).point
    if at is not None:
        assert at.box_v == pytest.approx(rated)
        assert at.drop_share == pytest.approx(0.0, abs=1e-12)

    # any operating point balances at the source
    point = sag(configuration, worst.commands).point
    if point is not None:
        drawn = sum(abs(c.command) * c.motor_current_a for c in point.channels.values())
        assert point.current_a == pytest.approx(drawn + standing, rel=1e-7)
        assert point.box_v <= point.supply_v <= electrical.supply.open_circuit_v + 1e-9

    # more tether never raises the voltage at a motor
    tether = electrical.tether
    longer = replace(electrical, tether=replace(tether, length_m=1.5 * tether.length_m + 5.0))
    further = sag(replace(configuration, electrical=longer), worst.commands).point
    if point is not None and further is not None:
        for thruster, volts in further.thruster_v.items():
            here = point.thruster_v[thruster]
            assert volts is None or here is None or volts <= here + 1e-6


def test_a_place_beyond_the_last_knot_by_rounding_is_still_on_the_curve() -> None:
    """A vehicle found among thousands: the bound's mean of the knots lay a rounding above the last one."""
    resolved = json.loads((Path(__file__).parent / "beyond_the_last_knot.json").read_text("utf-8"))
    configuration = typed(resolved)
    each = per_channel_worst_a(configuration)
    assert max(each.values()) <= worst_case(configuration).total_a * (1 + 1e-9)
