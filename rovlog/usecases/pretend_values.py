"""What a stand-in box begins with: the setup of a vehicle as approved, else as on file."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from rovlog.usecases.configurations import working
from rovlog.usecases.logbook import Logbook


def pretend_values(logbook: Logbook, vehicle: str) -> dict[str, Any]:
    """Box, firmware, setup in use and stored, and a boot count above the last one recorded."""
    force = logbook.in_force(vehicle)
    resolved = force.approval.configuration if force.approval else working(logbook, vehicle).resolved
    control = resolved["control_box"]
    box = str(control["box"])
    setup = _setup(resolved)
    return {
        "box": box,
        "firmware": str(control["firmware"]),
        "in_use": setup,
        "stored": {**setup, "trim": dict(setup["trim"])},
        "boots": _last_boots(logbook, box) + 1,
        "accepts_setting": logbook.box(box).get("accepts_setting") is True,
    }


def _setup(resolved: Mapping[str, Any]) -> dict[str, Any]:
    control = resolved["control_box"]
    return {
        "steering_scheme": int(control["steering_scheme"]),
        "thruster_map": int(control["thruster_map"]),
        "trim": dict(resolved.get("trim_defaults", {})),
    }


def _last_boots(logbook: Logbook, box: str) -> int:
    said = [
        int(entry.fields["boots"])
        for record in logbook.records()
        for entry in record.of_kind("readback")
        if entry.fields.get("box") == box and "boots" in entry.fields
    ]
    return max(said, default=0)
