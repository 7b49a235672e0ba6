"""Names under which readings hold what several places look for."""

from __future__ import annotations

CURRENT_KEYS = ("current_a", "supply_current_a", "clamp_a")
"""Names under which a reading holds the whole current from the supply."""

VOLTAGE_KEYS = ("supply_v", "box_v", "start_v", "low_v", "end_v", "battery_v", "resting_v")
"""Names under which a reading holds the voltage of the supply or at the box."""
