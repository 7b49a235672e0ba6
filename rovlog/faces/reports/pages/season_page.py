"""The season summary: dives, faults, what never failed, what was learnt, measured against computed."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from rovlog.faces.reports.drawings.trims import trim_history
from rovlog.faces.reports.drawings.values import Limit, Series, values_over_dives
from rovlog.faces.reports.pages.dive_watch import NOTE
from rovlog.faces.reports.pages.model import Block, Grid, Heading, Page, Pairs, Paragraph, Picture, Points
from rovlog.faces.reports.pages.words import COMPUTED_FOOT, Names, minutes, slug_words
from rovlog.faces.reports.part_text import due_words, hours_words, where_words
from rovlog.faces.reports.watch_text import pace_lines
from rovlog.values import replace

if TYPE_CHECKING:
    from rovlog.usecases.report_season import SeasonDive, SeasonReport

OFTEN = 5
"""An item that passed this often and never failed is named among what never failed (project default)."""


def season_page(report: SeasonReport, names: Names) -> Page:
    """The summary as a page."""
    span = f"{report.since or 'the first dive'} to {report.until or 'now'}"
    blocks: list[Block] = [Pairs(tuple(_head_rows(report)))]
    blocks += _dives(report, names)
    blocks += _faults(report)
    blocks += _never(report)
    blocks += _pace(report)
    blocks += _current(report)
    blocks += _trims(report)
    blocks += _learnt(report, names)
    blocks += _changes(report, names)
    blocks += _parts(report)
    if report.notes:
        blocks.append(Paragraph("\n".join(f"note: {n}" for n in report.notes), "quiet"))
    return Page(
        "Season summary", report.name, tuple(blocks), span, f"{report.vehicle}, {span}. {COMPUTED_FOOT}"
    )


def _head_rows(report: SeasonReport) -> list[tuple[str, str]]:
    running = sum(d.running_s for d in report.dives)
    days = {d.flight.day for d in report.dives}
    faulty = [d for d in report.dives if d.flight.faults]
    pilots = Counter(p for d in report.dives for p in d.flight.crew.get("pilot", ()))
    return [
        ("Dives", f"{len(report.dives)} on {len(days)} days, {minutes(running)} under power"),
        ("Dives with a fault", str(len(faulty))),
        ("Work", f"{len(report.work)} record{'' if len(report.work) == 1 else 's'}"),
        ("Pilots", str(len(pilots))),
        (
            "Sites",
            ", ".join(
                dict.fromkeys(
                    d.flight.place.get("site", "") for d in report.dives if d.flight.place.get("site")
                )
            )
            or "none recorded",
        ),
    ]


def _dives(report: SeasonReport, names: Names) -> list[Block]:
    rows = tuple(
        (
            str(d.number),
            d.flight.day,
            d.flight.place.get("site", ""),
            ", ".join(names(p) for p in d.flight.crew.get("pilot", ())),
            f"{d.running_s / 60:.0f}",
            ", ".join(slug_words(f.symptom) for f in d.flight.faults)
            + ("" if d.flight.is_closed else " (never closed)"),
        )
        for d in report.dives
    )
    return [Heading("Dives"), Grid(("dive", "day", "site", "pilot", "min", "faults"), rows, (0, 4))]


def _faults(report: SeasonReport) -> list[Block]:
    counts = Counter(f.symptom for d in report.dives for f in d.flight.faults)
    rows = tuple(
        (slug_words(s), str(n), ", ".join(str(d.number) for d in report.dives if d.flight.has_symptom(s)))
        for s, n in counts.most_common()
    )
    head = Heading("What failed")
    return [
        head,
        Grid(("symptom", "times", "on dives"), rows, (1,))
        if rows
        else Paragraph("No fault was logged.", "fine"),
    ]


def _never(report: SeasonReport) -> list[Block]:
    never = [t for t in report.tallies if not t.failed and t.passed >= OFTEN]
    failed = [t for t in report.tallies if t.failed]
    aside = [t for t in report.tallies if t.set_aside and not t.failed]
    blocks: list[Block] = [Heading("What never failed")]
    if never:
        blocks.append(
            Paragraph(
                f"{len(never)} checklist items passed every time, {OFTEN} times or more: "
                "worth asking whether they are looked at or only ticked."
            )
        )
        blocks.append(Paragraph("; ".join(f"{t.item.challenge} ({t.passed})" for t in never) + "."))
    else:
        blocks.append(
            Paragraph(
                f"No checklist item was answered {OFTEN} times without failing once: too few dives to tell."
            )
        )
    if failed:
        rows = tuple((t.item.challenge, str(t.failed), str(t.passed)) for t in failed)
        blocks += [Heading("Items that failed", True), Grid(("item", "failed", "passed"), rows, (1, 2))]
    if aside:
        put_off = tuple((t.item.challenge, str(t.set_aside)) for t in aside)
        blocks += [
            Heading("Items waived, deferred or called not applicable", True),
            Grid(("item", "times"), put_off, (1,)),
        ]
    return blocks


def _pace(report: SeasonReport) -> list[Block]:
    """Checking or only ticking: the neutral note, in the words of the poolside."""
    said = pace_lines(replace(report.pace, quick=None))
    if report.quick:
        numbers = ", ".join(f"{number} ({len(q.items)} of {q.timed})" for number, q in report.quick)
        said.append(f"stop items answered quicker than a look, on dive {numbers}")
    return [Heading(NOTE, True), Points(tuple(said))] if said else []


def _current(report: SeasonReport) -> list[Block]:
    """Clamp readings beside what the configuration that flew could draw at most."""
    blocks: list[Block] = [Heading("Current: measured against computed")]
    measured = [(d.number, d.measured_a) for d in report.dives if d.measured_a is not None]
    if not measured:
        blocks.append(Paragraph("No current was read this season, so nothing says how near the fuse was."))
    computed = [(d.number, d.computed_a) for d in report.dives if d.computed_a is not None]
    limits = _limits(report.dives)
    series = [
        Series("largest measured", tuple(measured)),
        Series("worst case computed", tuple(computed), steps=True),
    ]
    drawing = values_over_dives("Supply current by dive", "A", [s for s in series if s.values], limits)
    if drawing is not None:
        blocks.append(
            Picture(
                drawing,
                "Supply current by dive: discs are measured, the stepped line is the worst case computed.",
            )
        )
    both = [
        (d, d.measured_a, d.computed_a) for d in report.dives if d.measured_a is not None and d.computed_a
    ]
    rows = tuple((str(d.number), f"{m:.1f} A", f"{c:.1f} A", f"{m / c:.0%}") for d, m, c in both)
    if rows:
        blocks.append(Grid(("dive", "measured, largest", "computed worst case", "share"), rows, (0, 1, 2, 3)))
    above = [str(d.number) for d, m, c in both if m > c * 1.05]
    if above:
        blocks.append(
            Paragraph(
                f"Measured above the computed worst case on dive {', '.join(above)}: "
                "the record of the thrusters is not right, or something dragged.",
                "stop",
            )
        )
    return blocks + _voltage(report)


def _limits(dives: tuple[SeasonDive, ...]) -> list[Limit]:
    last = next((d for d in reversed(dives) if d.continuous_a is not None), None)
    if last is None or last.continuous_a is None:
        return []
    found = [Limit(f"{last.continuous_a:.1f} A for ever", last.continuous_a)]
    return [*found, Limit(f"fuse {last.fuse_a:g} A", last.fuse_a)] if last.fuse_a is not None else found


def _voltage(report: SeasonReport) -> list[Block]:
    lowest = tuple((d.number, d.lowest_v) for d in report.dives if d.lowest_v is not None)
    drawing = values_over_dives(
        "Lowest voltage at supply or box, by dive",
        "V",
        [Series("lowest read", lowest)],
        zero=False,
    )
    return [Picture(drawing, drawing.title)] if drawing is not None and len(lowest) > 1 else []


def _trims(report: SeasonReport) -> list[Block]:
    drawing = trim_history([(d.number, d.trim) for d in report.dives])
    if drawing is None:
        return []
    return [Heading("Trim"), Picture(drawing, "Trim at the end of each dive, as flown.")]


def _learnt(report: SeasonReport, names: Names) -> list[Block]:
    rows = tuple((e.at[:10], str(e.fields.get("text", "")), names(e.by)) for _, e in report.learnt)
    head = Heading("What was learnt: the notes")
    return [head, Grid(("day", "note", "by"), rows) if rows else Paragraph("No note was written.")]


def _changes(report: SeasonReport, names: Names) -> list[Block]:
    rows = tuple((a.spoken, a.at[:10], names(a.approved_by), a.reason) for a in report.revisions)
    head = Heading("Revisions approved")
    return [head, Grid(("revision", "day", "by", "reason"), rows) if rows else Paragraph("None.")]


def _parts(report: SeasonReport) -> list[Block]:
    rows = tuple(
        (
            life.part,
            life.name,
            hours_words(life.hours),
            where_words(life),
            "; ".join(due_words(d) for d in life.due),
        )
        for life in report.parts
    )
    return [Heading("Parts"), Grid(("part", "name", "hours", "where", "due"), rows, (2,))] if rows else []
