"""The limits that lists point to under /limits: their units, and what holds where the builder sets none."""

from __future__ import annotations

from collections.abc import Mapping

from rovlog.values import dataclass

PROJECT_DEFAULT = "project default"
"""A number chosen here, with no standard behind it; the builder's own stands before it."""


@dataclass(frozen=True, slots=True)
class DefaultLimit:
    """A limit a vehicle's `limits` may set. `value` None means there is no default: the answer is
    then noted, not judged. `source` says where the default comes from."""

    unit: str
    value: float | None
    meaning: str
    source: str = PROJECT_DEFAULT


_BUILDER = "no default: only the builder knows"

LIMITS: Mapping[str, DefaultLimit] = {
    "supply_from_edge_m": DefaultLimit("m", 2.0, "least distance of the supply from the water's edge"),
    "site_depth_m": DefaultLimit("m", 30.0, "deepest point of a site this crew works at"),
    "visibility_m": DefaultLimit("m", 0.5, "least visibility"),
    "flow_m_s": DefaultLimit("m/s", 0.3, "greatest flow"),
    "wind_m_s": DefaultLimit("m/s", 10.0, "greatest wind"),
    "depth_margin_m": DefaultLimit("m", 0.0, "least distance between depth planned and depth rating"),
    "lift_kg_each": DefaultLimit("kg", 16.0, "greatest mass a person lifts"),
    "fuse_distance_mm": DefaultLimit(
        "mm", 300.0, "greatest distance of the fuse from the source", "competition rule, 2018"
    ),
    "resting_least_v": DefaultLimit("V", 11.5, "least resting voltage of a 12 V source"),
    "resting_most_v": DefaultLimit("V", 15.0, "greatest resting voltage of a 12 V source"),
    "closures": DefaultLimit("", None, "number of closures on the housings", _BUILDER),
    "vacuum_least_kpa": DefaultLimit("kPa", 20.0, "least vacuum for the test, below outside"),
    "vacuum_most_kpa": DefaultLimit("kPa", 30.0, "greatest vacuum for the test, below outside"),
    "vacuum_rise_kpa": DefaultLimit("kPa", 1.0, "greatest corrected rise over the vacuum hold"),
    "connectors": DefaultLimit("", None, "number of connectors", _BUILDER),
    "blanks": DefaultLimit("", None, "number of unused sockets", _BUILDER),
    "ballast_pieces": DefaultLimit("", None, "number of ballast and float pieces", _BUILDER),
    "tether_slack_share": DefaultLimit("", 0.1, "share of the tether kept as slack"),
    "net_up_least_n": DefaultLimit("N", 0.1, "least net buoyancy, up positive"),
    "net_up_most_n": DefaultLimit("N", 8.0, "greatest net buoyancy, up positive"),
    "idle_current_share": DefaultLimit("", 0.3, "idle current: half width of its band, as a share"),
    "sag_v": DefaultLimit("V", 1.0, "greatest sag under the known load"),
    "stick_centre_percent": DefaultLimit("%", 5.0, "greatest reading of a stick at rest"),
    "full_throw_percent": DefaultLimit("%", 95.0, "least reading of a stick at full throw"),
    "trim_from_default": DefaultLimit(
        "", 0.15, "greatest distance of a trim from its default, share of full"
    ),
    "link_loss_s": DefaultLimit("s", 1.0, "longest time from link lost to thrusters stopped"),
    "clock_off_s": DefaultLimit("s", 60.0, "greatest error of the recorder's clock"),
    "picture_lag_ms": DefaultLimit("ms", 300.0, "greatest lag of the picture"),
    "tether_pull_n": DefaultLimit("N", 50.0, "greatest pull on the tether"),
    "bubble_watch_s": DefaultLimit("s", 60.0, "how long bubbles are watched for at the surface"),
    "leak_watch_s": DefaultLimit("s", 120.0, "how long leak signs are watched for at 1 m"),
    "rise_share": DefaultLimit("", 0.3, "time to rise: half width of its band, as a share"),
    "attitude_deg": DefaultLimit("deg", 5.0, "greatest pitch or roll at rest"),
    "clamp_share": DefaultLimit("", 0.2, "clamp reading against computed: half width, as a share"),
    "loop_share": DefaultLimit("", 0.1, "loop resistance: half width of its band, as a share"),
    "insulation_mohm": DefaultLimit("Mohm", 1.0, "least insulation"),
    "fault_photos": DefaultLimit("", 1.0, "least number of photos after a fault"),
    "dead_v": DefaultLimit("V", 0.5, "greatest voltage that counts as off"),
    "short_ohm": DefaultLimit("ohm", 0.5, "least resistance that is no short"),
    "proof_times_rating": DefaultLimit("", 1.25, "least test pressure over rating"),
    "proof_min": DefaultLimit("min", 10.0, "least time a test pressure is held"),
    "tub_difference_percent": DefaultLimit("%", 15.0, "greatest difference from the thruster model's table"),
    "shaft_play_mm": DefaultLimit("mm", 0.5, "greatest play of a shaft"),
    "capacity_share": DefaultLimit("", 0.8, "least capacity, as a share of rated"),
    "meter_percent": DefaultLimit("%", 1.0, "greatest difference between two meters"),
    "gauge_zero_kpa": DefaultLimit("kPa", 0.5, "greatest reading of the gauge open to air"),
}
"""Every name a list may point to below /limits."""

ABSENT_IS_ZERO = "/trim_defaults/"
"""Pointers below this are 0 where the configuration says nothing: an absent trim is no trim."""
