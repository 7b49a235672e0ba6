"""Names of the computed quantities that a checklist may point to with `{computed: <name>}`."""

from __future__ import annotations

from collections.abc import Mapping

COMPUTED: Mapping[str, str] = {
    "baseline_revision": "revision in force",
    "box_v": "voltage at the box at the worst case, volts",
    "changes_since_good": "changes since the last known good dive",
    "continuous_limit_a": "current the fuse carries for ever, amperes",
    "corrected_rise_kpa": "rise of a vacuum hold, temperature and outside pressure taken out, kilopascals",
    "deferred_and_expired": "items that are deferred or have expired",
    "density_kg_m3": "density of the water of this dive, kilograms per cubic metre",
    "depth_margin_m": "rating of the weakest housing less the planned depth, metres of fresh water",
    "direction_mismatches": "thrusters that did not push as the configuration says",
    "direction_pushes": "pushes of the function test",
    "drop_share": "share of the voltage lost on the way at the worst case",
    "drop_v": "voltage lost on the way at the worst case, volts",
    "idle_current_a": "current with no thruster turning, amperes",
    "least_capacity_ah": "least capacity a battery may have left, ampere hours",
    "lift_people": "people needed to lift the vehicle",
    "net_up_n": "net force with power off, newtons; positive is up",
    "open_faults": "faults that are open",
    "open_waivers": "waivers in force",
    "readback_changes": "differences between two readbacks",
    **{
        f"readback_trim_{demand}": f"trim on {demand} in the last readback, share of full demand"
        for demand in ("surge", "sway", "heave", "roll", "pitch", "yaw")
    },
    "rise_time_s": "time to rise with hands off, seconds",
    "run_time_min": "run time to the reserve, minutes",
    "running_hours_h": "running hours of the vehicle",
    "setup_differences": "differences between the box and the baseline",
    "still_pitch_deg": "pitch at rest, degrees; positive is bow up",
    "still_roll_deg": "roll at rest, degrees; positive is starboard side down",
    "tether_lift_n": "load on the tether when the vehicle is lifted by it, newtons",
    "tether_loop_ohm": "resistance of the tether, out and back, ohms",
    "tether_reach_m": "length of the tether less the planned reach, metres",
    "thinnest_wire_rating_a": "current the thinnest wire carries, amperes",
    "thrusters_fitted": "number of thrusters",
    "vacuum_rise_limit_kpa": "greatest corrected rise of a vacuum hold, kilopascals",
    "vehicle_v": "voltage where the electronics are, at the worst case, volts",
    "voided_open": "items that a fault has voided and that are still open",
    "with_sag_current_a": "worst-case current with the sag of the supply, amperes",
    "worst_case_current_a": "greatest current over all positions of all controls, amperes",
}
"""Name and what it is, with unit and sign."""
