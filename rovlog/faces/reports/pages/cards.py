"""The two cards for the lid of the box: what each stick does, and what to put in the box."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rovlog.domain.allocation.gamepad import sticks_words
from rovlog.domain.drift.words import trim_words
from rovlog.faces.reports.budget_text import VERDICT_WORDS, seconds
from rovlog.faces.reports.control_text import control_texts
from rovlog.faces.reports.drawings.thrusters import plan_view
from rovlog.faces.reports.motion_report import ANSWER_WORDS
from rovlog.faces.reports.pages.model import Block, Heading, Page, Pairs, Paragraph, Picture, Points
from rovlog.faces.reports.pages.words import digest_letters

if TYPE_CHECKING:
    from rovlog.usecases.report_cards import CardReport

FULL_POWER = "100 % (full, no limit)"
"""How a configuration without a power limit is said."""


def pilot_card(report: CardReport) -> Page:
    """What each stick does on this vehicle, on one page."""
    blocks: list[Block] = [*_warnings(report), Heading("What each stick does")]
    rows = []
    shaping = []
    for sentence in control_texts(report.motion.controls).values():
        body, _, note = sentence.partition(" (")
        ends = _ends(body)
        rows += ends
        if note:
            side = ends[0][0].rsplit(" ", 1)[0]
            ways = "/".join(end.rsplit(" ", 1)[-1] for end, _ in ends)
            shaping.append(f"{side} {ways}: {note.removesuffix(')')}")
    blocks.append(Pairs(tuple(rows), large=True))
    blocks.append(Paragraph("Everything not named here does nothing. " + _idle(report)))
    if shaping:
        blocks.append(Points(tuple(shaping)))
    blocks += _trims(report)
    sticks = sticks_words(report.budget.electrics.worst.sticks)
    total = report.budget.electrics.worst.total_a
    verdict = report.budget.electrics.fuse
    told = f": plan on {seconds(verdict.shortest_s)}" if verdict.shortest_s is not None else ""
    blocks += [
        Heading("Hardest on the fuse"),
        Paragraph(
            f"{sticks}: {total:.1f} A. At that, {VERDICT_WORDS[verdict.verdict]}{told}.",
            "normal" if verdict.verdict == "within-continuous" else "stop",
        ),
        Picture(
            plan_view(report.named.configuration),
            "Thrusters from above: channel, name, and the way each "
            "pushes when its channel is commanded forward.",
            0.75,
        ),
    ]
    return _card("Pilot's card: what each stick does", report, blocks)


def _ends(body: str) -> list[tuple[str, str]]:
    """Each end of a control as a row: the control's sentence cut at its own semicolons."""
    first, *others = (piece.partition(": ") for piece in body.split("; "))
    side = first[0].rsplit(" ", 1)[0]
    return [(first[0], first[2]), *((f"{side} {end}", does) for end, _, does in others)]


def _idle(report: CardReport) -> str:
    answers = [
        f"{d} {ANSWER_WORDS[a.answers]}"
        for d, a in report.motion.authority.items()
        if a.is_asked and a.answers != "as-commanded"
    ]
    return (
        ("Mind: " + "; ".join(answers) + ".") if answers else "Every demand answers as commanded (computed)."
    )


def box_card(report: CardReport) -> Page:
    """What to put in the box: scheme, map, trims, power limit, in words and numbers."""
    box = report.named.configuration.control_box
    trims = dict(report.named.configuration.trim_defaults)
    rows = [
        ("Box", f"{box.box}, firmware {box.firmware}"),
        (
            "Steering scheme",
            f"{box.steering_scheme}" + (f"  {report.scheme_name}" if report.scheme_name else ""),
        ),
        ("Thruster map", f"{box.thruster_map}" + (f"  {report.map_name}" if report.map_name else "")),
        ("Trim", "\n".join(trim_words(d, v) for d, v in trims.items()) or "none: every trim at 0"),
        ("Power limit", FULL_POWER if report.power_limit is None else f"{report.power_limit * 100:g} %"),
    ]
    blocks: list[Block] = [*_warnings(report), Pairs(tuple(rows), large=True), Heading("How to put it in")]
    blocks.append(
        Paragraph(report.how_to_set or "The box's file does not say how: write how_to_set there.", "lead")
    )
    takes = (
        "This box takes its setting from the laptop."
        if report.accepts_setting
        else "This box is set by hand only."
    )
    blocks.append(Paragraph(takes))
    blocks += [
        Heading("Then"),
        Points(
            (
                "Power off and on, and read the box back.",
                "Compare each value with this card, aloud.",
                "Note the readback in the dive's record.",
                "Function test, each axis both ways, before the water.",
            ),
            numbered=True,
            large=True,
        ),
        Heading("Main fuse"),
        Paragraph(f"{report.named.configuration.electrical.fuse.rating_a:g} A. Never a larger one.", "lead"),
    ]
    return _card("Box card: what to put in the box", report, blocks)


def _trims(report: CardReport) -> list[Block]:
    trims = dict(report.named.configuration.trim_defaults)
    words = "; ".join(trim_words(d, v) for d, v in trims.items()) or "none: every trim at 0"
    return [Heading("Trim at the start"), Paragraph(words)]


def _warnings(report: CardReport) -> list[Block]:
    said = []
    if report.why_not_approved:
        said.append(f"NOT APPROVED: {report.why_not_approved}.")
    if report.departs:
        said.append("The working files are not what this card shows: see the drift before the dive.")
    return [Paragraph(" ".join(said), "stop")] if said else []


def _card(kind: str, report: CardReport, blocks: list[Block]) -> Page:
    named = report.named
    revision = f"revision {named.revision}" if named.revision is not None else "not approved"
    letters = digest_letters(named.digest, 4)
    return Page(
        kind,
        report.name,
        tuple(blocks),
        f"{named.vehicle}, {revision}, {letters}",
        f"{named.name} {named.digest[7:23]}. Throw this card away when the revision changes.",
        "card",
    )
