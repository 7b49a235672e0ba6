"""A trim too small to turn its motor under load ends no search for the operating point."""

from __future__ import annotations

from dataclasses import replace

import pytest
from vehicles import (
    box_document,
    configuration_of,
    electrical_document,
    model_document,
    puffin,
    thruster_document,
    vehicle_document,
)

from rovlog.domain.electrical.sag import sag


@pytest.mark.parametrize("trim", [0.0, 0.02, 0.039, 0.04, 0.041, 0.042, 0.043, 0.06])
def test_full_ahead_has_an_operating_point_beside_any_small_trim(trim: float) -> None:
    points = [(-1.0, -4.0, 1.2), (-0.5, -1.2, 0.43), (0.5, 1.4, 0.42), (1.0, 4.0, 1.15)]
    electrical = electrical_document(
        supply={"kind": "battery", "open_circuit_v": 12.9, "internal_resistance_ohm": 0.5},
        drivers={"on_resistance_ohm": 0.03},
        tether={"length_m": 25, "conductor_area_mm2": 1.5, "carries": "motor-pairs"},
    )
    thrusters = [
        thruster_document("ahead", 1, [0.0, 0.0, 0.0], [1.0, 0.0, 0.0]),
        thruster_document("down", 2, [0.0, 0.0, 0.0], [0.0, 0.0, 1.0]),
    ]
    box = box_document(
        {"surge": {1: 1.0}, "heave": {2: 1.0}}, [{"control": "left-stick-y", "drives": "surge"}]
    )
    configuration = configuration_of(
        replace(
            puffin(),
            vehicle=vehicle_document(thrusters, electrical=electrical),
            box=box,
            models={"heron-50": model_document("heron-50", points)},
        )
    )
    solved = sag(configuration, {1: 1.0, 2: trim})
    assert solved.point is not None, solved.reason
    assert solved.point.is_unique
