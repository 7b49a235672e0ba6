"""What is worth saying about how a configuration moves, as findings."""

from __future__ import annotations

from collections.abc import Mapping

from rovlog.domain.allocation.arrangement import (
    MIRROR_DIFFERENCE,
    empty_channels,
    mirror_mismatches,
    rank,
    unused_thrusters,
)
from rovlog.domain.allocation.authority import AXIS_OF, Authority, authority, driven_demands
from rovlog.domain.allocation.table_findings import table_findings
from rovlog.domain.allocation.wrench import largest_lever_m
from rovlog.domain.findings import Finding
from rovlog.domain.vehicle import Configuration


def motion_findings(configuration: Configuration) -> list[Finding]:
    """Everything found about demands, thrusters, channels, symmetry, and the models' tables.

    Only `backwards-<demand>` stops a dive; the others are notes.
    """
    answers = authority(configuration)
    return [
        *_demand_findings(configuration, answers),
        *_idle_findings(configuration),
        *_mirror_findings(configuration),
        *_geometry_findings(configuration),
        *table_findings(configuration),
    ]


def _demand_findings(configuration: Configuration, answers: Mapping[str, Authority]) -> list[Finding]:
    driven = driven_demands(configuration)
    found = []
    for demand, row in answers.items():
        pointer = f"/thruster_map/shares/{demand}"
        unit = "N" if AXIS_OF[demand] in "XYZ" else "N m"
        if row.answers == "backwards":
            found.append(
                Finding(
                    f"backwards-{demand}",
                    "stops",
                    f"{demand} answers backwards: full positive demand gives {row.positive:.3g} {unit}, "
                    f"full negative {row.negative:.3g} {unit}",
                    pointer,
                    row.positive,
                    0.0,
                    row.positive,
                    unit,
                    "put the polarity, the wiring or the shares right",
                )
            )
        elif row.answers == "one-way":
            found.append(
                Finding(
                    f"one-way-{demand}",
                    "note",
                    f"{demand} answers one way only: full positive demand gives {row.positive:.3g} {unit}, "
                    f"full negative {row.negative:.3g} {unit}",
                    pointer,
                    min(row.positive, -row.negative),
                    0.0,
                    min(row.positive, -row.negative),
                    unit,
                    "look at the thrusters that work against each other",
                )
            )
        elif row.answers == "not-at-all" and demand in driven:
            has_share = any(configuration.thruster_map.shares.get(demand, {}).values())
            why = "the thrusters it reaches come to nothing" if has_share else "the map gives it no share"
            found.append(
                Finding(
                    f"not-at-all-{demand}",
                    "note",
                    f"a control drives {demand}, but nothing answers: {why}",
                    pointer if has_share else "/thruster_map/shares",
                    0.0,
                    unit=unit,
                    clears="give it shares on channels whose thrusters move that axis, or free the control",
                )
            )
    return found


def _idle_findings(configuration: Configuration) -> list[Finding]:
    found = []
    for idle in unused_thrusters(configuration):
        drive = "drives" if len(idle.controls) == 1 else "drive"
        only = f"; only {' and '.join(idle.controls)} {drive} it directly" if idle.controls else ""
        found.append(
            Finding(
                f"unused-{idle.thruster}",
                "note",
                f"no demand uses thruster {idle.thruster} on channel {idle.channel}{only}",
                f"/thrusters/{idle.thruster}",
                clears=f"give channel {idle.channel} a share in the thruster map",
            )
        )
    for empty in empty_channels(configuration):
        by = " and ".join((*empty.demands, *empty.controls))
        found.append(
            Finding(
                f"empty-channel-{empty.channel}",
                "note",
                f"{by} drives channel {empty.channel}, but no thruster is wired to it",
                "/thruster_map/shares" if empty.demands else "/steering_scheme/controls",
                clears=f"wire a thruster to channel {empty.channel}, or take it out of the table",
            )
        )
    return found


def _mirror_findings(configuration: Configuration) -> list[Finding]:
    return [
        Finding(
            f"uneven-{pair.port}-{pair.starboard}",
            "note",
            f"{pair.port} and {pair.starboard} are built as mirror images, but on {pair.demand} "
            f"their pushes differ by {pair.difference * 100:.0f} %",
            f"/thrusters/{pair.starboard}",
            pair.difference,
            MIRROR_DIFFERENCE,
            MIRROR_DIFFERENCE - pair.difference,
            "",
            "compare models, polarity, place and shares of the two",
        )
        for pair in mirror_mismatches(configuration)
    ]


def _geometry_findings(configuration: Configuration) -> list[Finding]:
    found = []
    if configuration.thrusters and largest_lever_m(configuration) == 0.0:
        found.append(
            Finding(
                "no-lever-arm",
                "note",
                "every line of thrust goes through the origin: nothing rolls, pitches or turns the vehicle, "
                "and moments are not divided by a lever arm",
                "/thrusters",
                0.0,
                unit="m",
                clears="measure the positions of the thrusters from one point of the vehicle",
            )
        )
    reach = rank(configuration)
    if reach.rank < len(reach.axes):
        axes = ", ".join(demand for demand, axis in AXIS_OF.items() if axis in reach.axes)
        found.append(
            Finding(
                "dependent-demands",
                "note",
                f"the thrusters can move only {reach.rank} of {len(reach.axes)} axes independently "
                f"({axes}): some of them always move together or not at all",
                "/thruster_map/shares",
                float(reach.rank),
                float(len(reach.axes)),
                float(reach.rank - len(reach.axes)),
                "axes",
                "add or turn a thruster, or ask for fewer demands",
            )
        )
    return found
