"""A supply that collapses under its load: no operating point, and not one of a motor that stands still."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from vehicles import (
    box_document,
    configuration_of,
    electrical_document,
    model_document,
    puffin,
    thruster_document,
    vehicle_document,
)

from rovlog.domain.electrical.sag import Sag, sag

MOTOR_A = 3.0
DRIVER_OHM = 0.1
STILL_V = MOTOR_A * DRIVER_OHM
"""What a driver must put out before a motor of this table begins to turn."""

LINE = [(-1.0, -6.0, 3.0), (1.0, 6.0, 3.0)]
SHORT = {"length_m": 0.0, "conductor_area_mm2": 6.0, "carries": "supply-pair"}
FALLING = [(-1.0, -6.0, 3.0), (-0.5, -3.0, 1.6), (0.5, 3.0, 1.6), (1.0, 6.0, 3.0)]


def loaded(command: float, supply: dict[str, object], points: list[tuple[float, float, float]] = LINE) -> Sag:
    """One motor of 3 A at any voltage on a supply, with nothing else between them than its driver."""
    electrical = electrical_document(
        tether=SHORT,
        supply=supply,
        standing_loads=[],
        leads={"resistance_ohm": 0.0},
        fuse={"rating_a": 10},
        drivers={"on_resistance_ohm": DRIVER_OHM},
    )
    thruster = thruster_document("only", 1, [0.0, 0.0, 0.0], [1.0, 0.0, 0.0])
    documents = replace(
        puffin(),
        vehicle=vehicle_document([thruster], electrical=electrical),
        box=box_document({"surge": {1: 1.0}}, [{"control": "left-stick-y", "drives": "surge"}]),
        models={"heron-50": model_document("heron-50", points)},
    )
    return sag(configuration_of(documents), {1: command})


def battery(ohm: float) -> dict[str, object]:
    """A battery of 12 V with this resistance."""
    return {"kind": "battery", "open_circuit_v": 12.0, "internal_resistance_ohm": ohm}


@settings(max_examples=200, deadline=None)
@given(st.floats(0.1, 1.0), st.floats(0.05, 60.0))
def test_a_point_is_there_exactly_where_the_equations_have_one(command: float, ohm: float) -> None:
    box_v = 12.0 - ohm * command * MOTOR_A
    effective_v = command * box_v - STILL_V
    solved = loaded(command, battery(ohm))
    if abs(effective_v) < 1e-6:
        return
    if effective_v < 0.0:
        assert solved.point is None
        assert solved.may_not_carry
        assert solved.reason.startswith("no operating point")
    else:
        assert solved.point is not None, solved.reason
        assert solved.point.box_v == pytest.approx(box_v, rel=1e-6, abs=1e-6)
        assert solved.point.thruster_v["only"] == pytest.approx(effective_v, rel=1e-6, abs=1e-6)


@pytest.mark.parametrize("command", [0.3, 0.6, 0.9])
def test_a_supply_at_its_limit_that_cannot_turn_the_motor_has_no_point_either(command: float) -> None:
    limit = {"kind": "regulated", "open_circuit_v": 12.0, "current_limit_a": 0.97 * command * MOTOR_A}
    solved = loaded(command, limit)
    assert solved.point is None
    assert "channel 1 cannot get the current its table asks for" in solved.reason


@pytest.mark.parametrize("ohm", [4.2, 4.5, 5.0])
def test_where_current_falls_with_voltage_a_motor_that_stands_is_no_point_either(ohm: float) -> None:
    solved = loaded(0.9, battery(ohm), FALLING)
    assert solved.point is None or solved.point.thruster_v["only"] is not None


def test_a_trim_that_is_too_small_for_its_motor_on_a_good_supply_still_stands() -> None:
    solved = loaded(0.02, battery(0.05))
    assert solved.point is not None
    assert solved.point.thruster_v["only"] is None
