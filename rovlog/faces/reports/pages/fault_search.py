"""The search after a fault: last known good, what changed since, the suspects and the next experiment."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rovlog.faces.reports.audit_text import (
    SHOWN,
    between_text,
    headline,
    known_good_text,
    score_words,
)
from rovlog.faces.reports.pages.model import Block, Grid, Heading, Paragraph, Plain, Points
from rovlog.faces.reports.pages.words import Names

if TYPE_CHECKING:
    from rovlog.domain.audit.ranking import Ranking
    from rovlog.usecases.report_fault import FaultReport

HEAD = (
    "", "kind", "change", "score", "group", "Ochiai", "Tarantula", "p", "by Holm", "plausibility",
)  # fmt: skip


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
        blocks.append(Paragraph(f"{headline(ranking)}."))
        rows = []
        for place, row in enumerate(ranking.ranked[:SHOWN], start=1):
            grouped = "; ".join(o.suspect.what for o in row.grouped_with)
            rows.append(
                (
                    str(place),
                    row.suspect.kind,
                    row.text + (f". Flown on the same dives: {grouped}" if grouped else ""),
                    f"{row.score:.2f}",
                    f"{row.group_score:.2f}" if row.grouped_with else "–",
                    f"{row.ochiai:.2f}",
                    f"{row.tarantula:.2f}",
                    f"{row.p:.2g}",
                    f"{row.p_adjusted:.2g}",
                    f"{row.plausibility:.2f}",
                )
            )
        if rows:
            blocks += [
                Grid(HEAD, tuple(rows), tuple(range(3, len(HEAD)))),
                Paragraph(_columns(ranking), "quiet"),
            ]
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


def _columns(ranking: Ranking) -> str:
    return (
        f"{score_words(ranking)} Group: the sum over the changes that flew on exactly the same dives. "
        "Ochiai and Tarantula: how closely the symptom keeps to the dives with the change, 0 to 1. "
        "p: Fisher's exact test, one-sided; by Holm: the same, allowing for so many suspects. "
        "Plausibility: the share of the symptom that the change brings by computation, 0.50 where nothing "
        "can be computed."
    )


def _joined(text: str) -> str:
    """Lines that were wrapped for a terminal, as sentences again."""
    return " ".join(line.strip() for line in text.strip().splitlines())
