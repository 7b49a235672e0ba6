"""The configuration sheet: what is on the vehicle, what it does, what it draws, and how it came about."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rovlog.domain.drift.words import trim_words
from rovlog.faces.reports.budget_text import budget_text
from rovlog.faces.reports.control_text import control_texts
from rovlog.faces.reports.drawings.fuse_band import fuse_band
from rovlog.faces.reports.drawings.thrusters import plan_view, push_words, side_view
from rovlog.faces.reports.motion_report import motion_report
from rovlog.faces.reports.pages.model import (
    Block,
    Grid,
    Heading,
    Page,
    Pairs,
    Paragraph,
    Picture,
    Plain,
    Points,
)
from rovlog.faces.reports.pages.words import COMPUTED_FOOT, Names, digest_letters

if TYPE_CHECKING:
    from rovlog.domain.vehicle import Tether
    from rovlog.faces.reports.drawings.shapes import Drawing
    from rovlog.usecases.compute_budget import Budget
    from rovlog.usecases.report_vehicle import VehicleReport


def vehicle_page(report: VehicleReport, names: Names) -> Page:
    """The sheet as a page."""
    named = report.named
    configuration = named.configuration
    standing = f"revision {named.revision}" if named.revision is not None else "not approved"
    stops = [f for f in report.shown.findings if f.severity == "stops"]
    notes = [f for f in report.shown.findings if f.severity != "stops"]
    blocks: list[Block] = []
    if stops:
        blocks += [
            Paragraph(f"{len(stops)} finding{'s' if len(stops) > 1 else ''} would stop a dive.", "stop"),
            Points(tuple(f"{f.text}" + (f". Clears: {f.clears}" if f.clears else "") for f in stops)),
        ]
    blocks += [
        Heading("What each control does"),
        Points(tuple(control_texts(report.shown.motion.controls).values())),
        Heading("Set-up"),
        Pairs(tuple(_setup(report))),
        Heading("Thrusters"),
        Picture(
            plan_view(configuration),
            "From above. Numbers are channels; an arrow is the push when the channel is "
            "commanded forward, polarity counted; positions to scale, symbols not.",
        ),
        Picture(
            side_view(configuration),
            "From starboard. A ring with a dot pushes towards the reader, with a cross away.",
        ),
        Grid(
            ("channel", "thruster", "model", "polarity", "position x, y, z", "pushes"),
            _thrusters(report),
            (0,),
        ),
        Heading("Electrical"),
        Pairs(tuple(_electrical(report))),
        Picture(
            current_drawing(report.budget), "Current against the fuse: the shaded band is where it opens."
        ),
        Heading("Budget"),
        Plain(budget_text(report.budget)),
        Heading("Motion"),
        Plain(motion_report(report.shown.motion, configuration.thruster_map.shares)),
    ]
    if notes:
        blocks += [Heading("Worth knowing"), Points(tuple(f.text for f in notes))]
    blocks += _revisions(report, names)
    return Page(
        "Configuration sheet",
        report.name,
        tuple(blocks),
        f"{named.name}, {standing}, {digest_letters(named.digest, 4)}",
        f"{named.name} {named.digest[7:23]}. {COMPUTED_FOOT}",
    )


def current_drawing(budget: Budget) -> Drawing:
    """The budget's currents against the fuse's band."""
    e = budget.electrics
    currents = [("worst manoeuvre", e.worst.total_a)]
    point = e.full.worst.point
    if point is not None and abs(point.current_a - e.worst.total_a) > 0.05:
        currents.append(("the same, with sag", point.current_a))
    if e.stall is not None:
        currents.append(("one stalled", e.stall.total_a))
    currents.append(("short at far end", e.short.current_a))
    return fuse_band(e.fuse.rating_a, e.continuous_limit_a, currents)


def _setup(report: VehicleReport) -> list[tuple[str, str]]:
    configuration = report.named.configuration
    box, hull = configuration.control_box, configuration.hull
    scheme, map_ = report.shown.scheme_name, report.shown.map_name
    trims = "; ".join(trim_words(d, v) for d, v in configuration.trim_defaults.items())
    housings = ", ".join(f"{h.housing} to {h.depth_rating_m:g} m" for h in configuration.housings)
    return [
        ("Box", f"{box.box}, firmware {box.firmware}, {box.channels} channels"),
        ("Steering scheme", f"{box.steering_scheme}" + (f" ({scheme})" if scheme else "")),
        ("Thruster map", f"{box.thruster_map}" + (f" ({map_})" if map_ else "")),
        ("Trim", trims or "none"),
        ("Hull", f"{hull.mass_kg:g} kg, displaces {hull.displaced_volume_m3 * 1000:.3f} L"),
        ("Housings", housings or "none recorded"),
    ]


def _electrical(report: VehicleReport) -> list[tuple[str, str]]:
    e = report.named.configuration.electrical
    capacity = f", {e.supply.capacity_ah:g} Ah" if e.supply.capacity_ah else ""
    loads = ", ".join(f"{load.load} {load.current_a:g} A" for load in e.standing_loads)
    distance = e.fuse.distance_from_source_mm
    return [
        ("Supply", f"{e.supply.kind}, {e.supply.open_circuit_v:g} V{capacity}"),
        (
            "Fuse",
            f"{e.fuse.rating_a:g} A" + (f", {distance:g} mm from the source" if distance is not None else ""),
        ),
        (
            "Tether",
            tether_words(e.tether),
        ),
        ("Standing loads", loads or "none"),
        (
            "Least working voltage",
            f"{e.least_working_v:g} V" if e.least_working_v is not None else "not recorded",
        ),
    ]


def tether_words(tether: Tether) -> str:
    """A tether in words: "25 m of 1.5 mm², carries motor pairs"."""
    carries = tether.carries.replace("-", " ")
    return f"{tether.length_m:g} m of {tether.conductor_area_mm2:g} mm², carries {carries}"


def _thrusters(report: VehicleReport) -> tuple[tuple[str, ...], ...]:
    rows = sorted(report.named.configuration.thrusters, key=lambda t: t.channel)
    return tuple(
        (
            str(t.channel),
            t.thruster,
            t.model,
            "normal" if t.sign > 0 else "reversed",
            ", ".join(f"{v:g}" for v in t.position_m) + " m",
            push_words(t),
        )
        for t in rows
    )


def _revisions(report: VehicleReport, names: Names) -> list[Block]:
    rows = tuple(
        (
            a.spoken,
            a.at[:10],
            names(a.approved_by),
            a.reason + (f"; evidence: {a.evidence}" if a.evidence else ""),
            f"withdrawn {str(a.withdrawn['at'])[:10]}: {a.withdrawn['reason']}"
            if a.withdrawn
            else ("in force" if a is report.in_force or a == report.in_force else ""),
        )
        for a in report.revisions
    )
    accepted = [f"{n}: {t}" for a in report.revisions[:1] for n, t in a.findings_accepted.items()]
    blocks: list[Block] = [Heading("Revisions")]
    if not rows:
        return [*blocks, Paragraph("No configuration of this vehicle is approved.")]
    blocks.append(Grid(("revision", "day", "approved by", "reason", "state"), rows))
    if accepted:
        blocks += [Heading("Findings accepted with the last approval", True), Points(tuple(accepted))]
    return blocks
