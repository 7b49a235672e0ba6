"""The search after a fault: last known good, what changed since, the suspects and the next experiment."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rovlog.faces.reports.audit_text import SHOWN, between_text, known_good_text
from rovlog.faces.reports.pages.model import Block, Grid, Heading, Paragraph, Plain, Points
from rovlog.faces.reports.pages.words import Names

if TYPE_CHECKING:
    from rovlog.usecases.report_fault import FaultReport


def good_blocks(report: FaultReport, names: Names) -> list[Block]:
    """The last known good, and everything that differs since."""
    blocks: list[Block] = [Heading("Last known good", True)]
    if report.good is None or report.good.good is None:
        return [*blocks, Paragraph("Not known.")]
    blocks.append(Paragraph(_joined(known_good_text(report.good.good))))
    if report.good.since is not None:
        blocks += [
            Heading("Changes since", True),
            Plain(between_text(report.good.since, names, report.changes).rstrip()),
        ]
    return blocks


def suspect_blocks(report: FaultReport) -> list[Block]:
    """The suspects in order, how sure one can be, and what to try next; then the function test's own word."""
    blocks: list[Block] = []
    ranking = report.ranking
    if ranking is not None:
        total = ranking.with_symptom + ranking.without_symptom
        blocks.append(Heading(f"Suspects: the symptom is on {ranking.with_symptom} of {total} dives", True))
        rows = []
        for place, row in enumerate(ranking.ranked[:SHOWN], start=1):
            grouped = "; ".join(o.suspect.what for o in row.grouped_with)
            rows.append(
                (
                    str(place),
                    row.suspect.kind,
                    row.text + (f". Flown on the same dives: {grouped}" if grouped else ""),
                    f"{row.score:.2f}",
                    f"{row.ochiai:.2f}",
                    f"{row.p:.2g}",
                    f"{row.plausibility:.2f}",
                )
            )
        head = ("", "kind", "change", "score", "Ochiai", "p", "plausibility")
        blocks.append(
            Grid(head, tuple(rows), (3, 4, 5, 6)) if rows else Paragraph("No change is on record to suspect.")
        )
        if len(ranking.ranked) > SHOWN:
            blocks.append(
                Paragraph(f"… and {len(ranking.ranked) - SHOWN} more, each less likely than these.")
            )
        said = [f"How sure: {c}." for c in ranking.certainty]
        if ranking.experiment is not None:
            said.append(f"Next experiment: {ranking.experiment.text}.")
        blocks.append(Points(tuple(said + [f"note: {n}" for n in ranking.notes])))
    if report.diagnosed is not None:
        from rovlog.faces.reports.diagnosis_text import diagnosis_text

        blocks += [
            Heading("What the function test says", True),
            Plain(diagnosis_text(report.diagnosed).rstrip()),
        ]
    return blocks


def _joined(text: str) -> str:
    """Lines that were wrapped for a terminal, as sentences again."""
    return " ".join(line.strip() for line in text.strip().splitlines())
