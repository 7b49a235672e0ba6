"""The invented vehicle of tests/vehicles.py with a second scheme and an earlier firmware."""

from __future__ import annotations

from typing import Any

from vehicles import Documents, puffin, resolved_of

from rovlog.documents.typed_configuration import configuration
from rovlog.domain.drift.reach import Physics
from rovlog.domain.drift.statements import Readback
from rovlog.domain.drift.tables import BoxTables, box_tables
from rovlog.domain.electrical.worst_case import worst_case
from rovlog.domain.hydrostatics.buoyancy import hull_up_n

PHYSICS = Physics(configuration, lambda c: worst_case(c).total_a, lambda c: hull_up_n(c, 998.2))
"""The program's own computations, in fresh water of 998.2 kg/m^3."""

OTHER_CONTROLS = [
    {"control": "left-stick-y", "drives": "surge"},
    {"control": "left-stick-x", "drives": "yaw", "full_stick": 0.5},
    {"control": "right-stick-y", "drives": "heave"},
    {"control": "right-stick-x", "drives": "sway"},
]


def puffin_with_tables() -> Documents:
    """Puffin, whose box knows scheme 4 too; firmware 0.6 called that one 2."""
    documents = puffin()
    other = {"name": "sticks crossed", "controls": OTHER_CONTROLS}
    documents.box["steering_schemes"][4] = other
    documents.box["other_firmwares"] = {
        "0.6": {"steering_schemes": {2: other}, "thruster_maps": dict(documents.box["thruster_maps"])}
    }
    return documents


def resolved(**changes: Any) -> dict[str, Any]:
    """Puffin's resolved object; keyword arguments replace top keys of the vehicle."""
    documents = puffin_with_tables()
    documents.vehicle.update(changes)
    return resolved_of(documents)


def tables() -> BoxTables:
    """The box's code tables."""
    return box_tables(puffin_with_tables().box)


def readback(**in_use: Any) -> Readback:
    """A fresh readback of the box as approved; keyword arguments replace what is in use."""
    return Readback("quay-box", "0.7", {"steering_scheme": 2, "thruster_map": 5, "trim": {}, **in_use})
