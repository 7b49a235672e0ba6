"""The end of a dive's record: what a dive log would also hold, and the pace of the answers."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rovlog.faces.reports.pages.model import Block, Heading, Paragraph, Points
from rovlog.faces.reports.watch_text import pace_lines

if TYPE_CHECKING:
    from rovlog.usecases.report_dive import DiveReport

NOTE = "For the supervisor, as a note and no reproach"
"""Above the pace, wherever it is told."""


def watch_blocks(report: DiveReport) -> list[Block]:
    """What is not on record, then the neutral note to the supervisor where there is one."""
    missing = [e.what for e in report.expected if not e.is_held]
    held = len(report.expected) - len(missing)
    blocks: list[Block] = [Heading("What a dive log records, and this one does not")]
    if missing:
        blocks.append(Paragraph(f"{held} of {len(report.expected)} things are on record. Not on record:"))
        blocks.append(Points(tuple(missing)))
    else:
        blocks.append(Paragraph(f"All {held} things are on record."))
    lines = pace_lines(report.pace)
    return [*blocks, Heading(NOTE, True), Points(tuple(lines))] if lines else blocks
