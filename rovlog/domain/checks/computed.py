"""The computed quantities a list may name with {computed: …}: unit, and what each is."""

from __future__ import annotations

from collections.abc import Mapping

from rovlog.values import dataclass


@dataclass(frozen=True, slots=True)
class Quantity:
    """A computed quantity. It is None where it cannot be computed; then it counts as not judged."""

    unit: str
    words: str


COMPUTED: Mapping[str, Quantity] = {
    "worst_case_current_a": Quantity("A", "greatest current the sticks can ask for"),
    "continuous_limit_a": Quantity("A", "what the fuse carries for ever"),
    "with_sag_current_a": Quantity("A", "worst-case current at the voltage that is left"),
    "idle_current_a": Quantity("A", "standing loads alone"),
    "thinnest_wire_rating_a": Quantity("A", "what the thinnest wire behind the fuse may carry"),
    "box_v": Quantity("V", "voltage at the box, worst case"),
    "vehicle_v": Quantity("V", "voltage at the vehicle, worst case"),
    "drop_v": Quantity("V", "drop from source to vehicle, worst case"),
    "drop_share": Quantity("", "that drop as a share of the source"),
    "tether_loop_ohm": Quantity("ohm", "loop resistance of one tether pair"),
    "tether_reach_m": Quantity("m", "tether length less the slack kept"),
    "tether_lift_n": Quantity("N", "vehicle in air with trapped water"),
    "lift_people": Quantity("", "people needed to lift the vehicle"),
    "net_up_n": Quantity("N", "net buoyancy in this water, up positive"),
    "density_kg_m3": Quantity("kg/m³", "density of this water"),
    "rise_time_s": Quantity("s", "time to rise from 1 m with power off"),
    "still_pitch_deg": Quantity("deg", "pitch at rest, bow up positive"),
    "still_roll_deg": Quantity("deg", "roll at rest, starboard down positive"),
    "depth_margin_m": Quantity("m", "depth rating less the depth planned, in this water"),
    "run_time_min": Quantity("min", "run time with the reserve left out"),
    "least_capacity_ah": Quantity("Ah", "least capacity that passes"),
    "corrected_rise_kpa": Quantity("kPa", "rise over the vacuum hold, corrected"),
    "vacuum_rise_limit_kpa": Quantity("kPa", "the lesser of the limit and twice this housing's usual rise"),
    "baseline_revision": Quantity("", "revision of the baseline in force"),
    "setup_differences": Quantity("", "differences of the box from approved, not accepted"),
    "readback_changes": Quantity("", "differences of the box from the readback before the dive"),
    "readback_steering_scheme": Quantity("", "number of the steering scheme the box holds"),
    "readback_thruster_map": Quantity("", "number of the thruster map the box holds"),
    "readback_trim_surge": Quantity("", "surge trim the box holds, ahead positive"),
    "readback_trim_sway": Quantity("", "sway trim the box holds, starboard positive"),
    "readback_trim_heave": Quantity("", "heave trim the box holds, down positive"),
    "readback_trim_roll": Quantity("", "roll trim the box holds, starboard down positive"),
    "readback_trim_pitch": Quantity("", "pitch trim the box holds, bow up positive"),
    "readback_trim_yaw": Quantity("", "yaw trim the box holds, bow to starboard positive"),
    "direction_pushes": Quantity("", "pushes of a whole functional test: each control, at each end"),
    "direction_pushes_seen": Quantity("", "pushes of the functional test watched since it was last voided"),
    "water_pushes_seen": Quantity("", "those of them that were watched in water"),
    "direction_mismatches": Quantity("", "reports of the functional test unlike the prediction"),
    "thrusters_fitted": Quantity("", "thrusters fitted"),
    "open_faults": Quantity("", "faults open on this vehicle"),
    "open_waivers": Quantity("", "waivers in force on this vehicle"),
    "deferred_and_expired": Quantity("", "items deferred or expired"),
    "voided_open": Quantity("", "items the fault voided that are not redone"),
    "evidence_files": Quantity("", "files kept as evidence since the fault, each with its digest"),
    "changes_since_good": Quantity("", "changes since the last known good"),
    "running_hours_h": Quantity("h", "power on to power off in this dive"),
}
"""Every name, in the order they are told. Units are those the lists' values are given in."""

OF_HOUSING = frozenset({"vacuum_rise_limit_kpa"})
"""Quantities that each housing has for itself, beside that of the whole vehicle."""


def of_housing(name: str, housing: str) -> str:
    """The name under which a quantity of one housing is kept among the computed ones."""
    return f"{name} of {housing}"


READ_OFF_BOX = frozenset(
    {"readback_steering_scheme", "readback_thruster_map"}
    | {name for name in COMPUTED if name.startswith("readback_trim_")}
)
"""Values that a readback gives as the box shows them: nothing is computed, and each person can read them."""

COUNTED = frozenset({"direction_pushes_seen", "water_pushes_seen"})
"""Values counted from the record's own entries: another number is not what is on record."""
