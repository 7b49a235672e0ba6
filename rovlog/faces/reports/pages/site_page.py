"""The page for the owner of a site: who, electricity, the water kept clear, times, unwanted events."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rovlog.domain.dive import VOID_EVENTS
from rovlog.faces.reports.check_text import answer_words, people_words, state_words
from rovlog.faces.reports.pages.model import Block, Grid, Heading, Page, Pairs, Paragraph, Signatures
from rovlog.faces.reports.pages.words import Names, crew_of, marked_time, slug_words
from rovlog.values import replace

if TYPE_CHECKING:
    from rovlog.domain.checks.checklist import Item
    from rovlog.domain.checks.state import ItemState
    from rovlog.usecases.report_site import SiteReport

UNWANTED = ("connector-parted", "knocked", "fuse-changed", "housing-opened", "tether-changed")
"""Events that an owner would want to hear of; the rest are the team's own upkeep."""


def site_page(report: SiteReport, names: Names) -> Page:
    """The page, without trims, digests or anything about cause."""
    times = {str(m.fields.get("mark")): marked_time(m) for m in reversed(report.marks)}
    start, end = times.get("power-on", "not marked"), times.get("power-off", "not marked")
    blocks: list[Block] = [
        Pairs(
            (
                ("Team", report.team),
                ("Vehicle", report.name),
                ("Site", report.site or "not recorded"),
                ("Day", report.record.started[:10]),
                ("Purpose", report.task or "not recorded"),
                ("People", crew_of(report.crew, names)),
                ("Power on, power off", f"{start} to {end}"),
                (
                    "In the water",
                    f"{times.get('in-water', 'not marked')} to {times.get('out-of-water', 'not marked')}",
                ),
            )
        ),
        Heading("Nobody in the water, and the site"),
        _answers(report.water, names),
        Heading("Electricity"),
        Paragraph(_electricity(report)),
        _answers(report.electricity, names),
        Heading("Unwanted events"),
    ]
    blocks += _events(report)
    blocks.append(Signatures(("For the team", "For the site")))
    return Page(
        "Page for the owner of the site",
        f"{report.name} at {report.site or 'a site not recorded'}",
        tuple(blocks),
        f"{report.record.started[:10]}, {report.team}",
        "From the team's own record. ~ beside a time: from memory. What is not here was not recorded.",
    )


def _answers(rows: tuple[tuple[Item, ItemState], ...], names: Names) -> Block:
    said = []
    for item, state in rows:
        by = people_words(state, names) if state.by else ""
        # An answer's words may name who accepted a value: by the same name as everything else here.
        told = answer_words(item, replace(state, by=names(state.by), second_by=names(state.second_by)))
        word = state_words(state).split(";")[0].split(" by ")[0] if state.state != "open" else "not recorded"
        said.append((item.challenge, word + (f": {told}" if told and told != "as stated" else ""), by))
    return Grid(("asked before the dive", "answer", "by"), tuple(said))


def _electricity(report: SiteReport) -> str:
    supply = report.supply_kind or "a supply not recorded"
    volts = f" of {report.supply_v:g} V" if report.supply_v is not None else ""
    fuse = f", behind a {report.fuse_a:g} A fuse" if report.fuse_a is not None else ""
    chopping = (
        f" The drivers chop the current at {report.chopping_hz / 1000:g} kHz."
        if report.chopping_hz is not None
        else ""
    )
    return f"The vehicle is fed by a {supply}{volts}{fuse}.{chopping}"


def _events(report: SiteReport) -> list[Block]:
    rows = [(marked_time(f), f"fault: {slug_words(f.fields.get('symptom'))}") for f in report.faults]
    rows += [
        (marked_time(e), VOID_EVENTS.get(str(e.fields.get("event")), slug_words(e.fields.get("event"))))
        for e in report.events
        if e.fields.get("event") in UNWANTED
    ]
    if not rows:
        return [Paragraph("None was logged.", "fine")]
    return [Grid(("time", "event"), tuple(sorted(rows)))]
