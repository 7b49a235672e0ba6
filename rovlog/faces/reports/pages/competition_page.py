"""The competition sheet: full load, 150 %, the next size, the fuse's distance; rules, never laws."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rovlog.domain.allocation.gamepad import sticks_words
from rovlog.faces.reports.budget_data import sizing_rule
from rovlog.faces.reports.budget_text import STEADY, VERDICT_WORDS
from rovlog.faces.reports.pages.model import (
    Block,
    Grid,
    Heading,
    Page,
    Pairs,
    Paragraph,
    Picture,
    Plain,
    Signatures,
)
from rovlog.faces.reports.pages.vehicle_page import current_drawing, tether_words
from rovlog.faces.reports.pages.words import COMPUTED_FOOT, digest_letters

if TYPE_CHECKING:
    from rovlog.usecases.report_competition import CompetitionReport

RULE_NOT_LAW = (
    "A published rule of a student competition, with its year; such rules change every year. It is no law "
    "and no advice: read this year's rules. A fuse is never made larger to fit a sum; demand is made less."
)


def competition_page(report: CompetitionReport) -> Page:
    """The sheet as a page."""
    e = report.budget.electrics
    blocks: list[Block] = [
        Paragraph(RULE_NOT_LAW, "lead"),
        Grid(("what", "value", "against which rule"), _against_rules(report)),
        Heading("What full load is"),
        Paragraph(f"{sticks_words(e.worst.sticks)}. {STEADY}"),
        Picture(
            current_drawing(report.budget), "Current against the fuse: the shaded band is where it opens."
        ),
        Paragraph(
            f"At {e.fuse.current_a:.1f} A {VERDICT_WORDS[e.fuse.verdict]};"
            f" it may carry {e.continuous_limit_a:.1f} A for ever."
        ),
        Heading("For the wiring diagram"),
        _for_the_diagram(report),
        Heading("To be looked at on the vehicle"),
        Plain(
            "propeller guards: the 12.5 mm rod does not pass   [ ]\n"
            "strain relief at both ends of the tether          [ ]\n"
            "no sharp edge, no bare wire, nothing loose        [ ]\n"
            "fuse seen, rating read, distance laid to a ruler  [ ]"
        ),
        Signatures(("Team", "Inspector")),
    ]
    named = report.named
    revision = f"revision {named.revision}" if named.revision is not None else "not approved"
    return Page(
        "Competition sheet",
        report.name,
        tuple(blocks),
        f"{named.name}, {revision}, {digest_letters(named.digest, 4)}",
        f"{named.name} {named.digest[7:23]}. {COMPUTED_FOOT}",
    )


def _against_rules(report: CompetitionReport) -> tuple[tuple[str, str, str], ...]:
    """Rows of what, value and rule: the load, the fuse and where it sits."""
    from rovlog.usecases.report_competition import DISTANCE_RULE_MM, DISTANCE_RULE_YEAR

    e = report.budget.electrics
    rule = sizing_rule(report.budget)
    full_a = e.worst.total_a
    at_most = "at most " if e.worst.is_at_most else ""
    rating = e.fuse.rating_a
    size = rule["size_a"]
    distance = report.distance_mm
    return (
        ("Full load", f"{at_most}{full_a:.1f} A", "computed: worst manoeuvre with standing loads"),
        (
            f"Full load × {rule['factor']:g}",
            f"{full_a * rule['factor']:.1f} A",
            f"rule of {rule['year']}, from memory",
        ),
        (
            "Next standard size",
            f"{size:g} A" if size is not None else f"above the cap of {rule['cap_a']:g} A",
            f"rule of {rule['year']}, at most {rule['cap_a']:g} A",
        ),
        ("Fuse fitted", f"{rating:g} A", _against(rating, size)),
        (
            "Fuse to source",
            f"{distance:g} mm" if distance is not None else "not recorded",
            _distance(distance, DISTANCE_RULE_MM, DISTANCE_RULE_YEAR),
        ),
    )


def _for_the_diagram(report: CompetitionReport) -> Pairs:
    electrical = report.named.configuration.electrical
    loads = ", ".join(f"{x.load} {x.current_a:g} A" for x in electrical.standing_loads)
    channels = report.budget.electrics.per_channel_a
    return Pairs(
        (
            ("Supply", f"{electrical.supply.kind}, {electrical.supply.open_circuit_v:g} V"),
            ("Fuse", f"{report.budget.electrics.fuse.rating_a:g} A, {electrical.fuse.characteristic}"),
            ("Tether", tether_words(electrical.tether)),
            ("Standing loads", loads or "none"),
            ("Channels", ", ".join(f"{c}: {a:.1f} A" for c, a in channels.items())),
        )
    )


def _against(rating: float, size: float | None) -> str:
    if size is None:
        return "the rule's size is above its cap: ask for less current"
    if rating > size:
        return f"LARGER than the rule's {size:g} A"
    return (
        "as the rule asks" if rating == size else f"smaller than the rule's {size:g} A, which the rule allows"
    )


def _distance(distance_mm: float | None, most_mm: float, year: int) -> str:
    rule = f"rule of {year}: within {most_mm:g} mm"
    if distance_mm is None:
        return f"{rule}; write fuse.distance_from_source_mm"
    return f"{rule}: kept" if distance_mm <= most_mm else f"{rule}: NOT KEPT"
