"""The evidence of a fault with its holder, and what people said of it, each in their own words."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from rovlog.faces.reports.pages.model import Block, Grid, Heading, Paragraph, Points
from rovlog.faces.reports.pages.words import Names, marked_time

if TYPE_CHECKING:
    from rovlog.usecases.report_fault import FaultReport, Filed

PICTURES = (".jpg", ".jpeg", ".png", ".webp", ".gif", ".heic", ".tif", ".tiff", ".bmp", ".mp4", ".mov")
"""Endings of files that hold a photograph or a film."""


def evidence_blocks(report: FaultReport, names: Names) -> list[Block]:
    """Files kept, photographs that were only counted, and the failed part, each with who holds it."""
    rows = [
        (
            str(f.entry.fields.get("what")),
            str(f.entry.fields.get("file")),
            str(f.entry.fields.get("digest"))[:23] + "…",
            names(f.entry.by),
        )
        for f in report.attachments
    ]
    kept = sum(str(f.entry.fields.get("file", "")).lower().endswith(PICTURES) for f in report.attachments)
    counted, filed = _counted(report, "fault-photos", "photos")
    if filed is not None and counted > kept:
        only = f"{kept} of them kept" if kept else "none of them kept"
        rows.append((f"{counted} photographs counted", f"{only} in the logbook", "–", names(filed.entry.by)))
    parts = report.after_fault.get("fault-parts")
    if parts is not None:
        holder = str(dict(parts.entry.fields.get("values") or {}).get("holder", "not named"))
        rows.append(("failed part or fuse, bagged and labelled", "–", "–", holder))
    head = Heading("Evidence, and who holds it")
    if not rows:
        return [head, Paragraph("None is recorded: no photograph, no part kept.")]
    return [head, Grid(("what", "file", "digest", "held by"), tuple(rows))]


def opinion_blocks(report: FaultReport, names: Names) -> list[Block]:
    """Notes, and the texts kept as files in full; accounts that were only counted are named."""
    rows = [
        (marked_time(f.entry), str(f.entry.fields.get("text", "")) + where(report, f), names(f.entry.by))
        for f in report.opinions
    ]
    counted, filed = _counted(report, "fault-accounts", "accounts")
    if filed is not None and counted and not report.quotes:
        words = f"{counted} accounts are counted; none is kept in the logbook as a text file"
        rows.append((marked_time(filed.entry), words, names(filed.entry.by)))
    blocks: list[Block] = [Heading("Accounts and opinions: in each person's own words")]
    if rows:
        blocks.append(Grid(("time", "said", "by"), tuple(rows)))
    for quote in report.quotes:
        file, what = quote.entry.fields.get("file"), quote.entry.fields.get("what")
        blocks.append(Heading(f"{what}: {file}, kept by {names(quote.entry.by)}", True))
        blocks.append(Points(quote.lines or ("the file is empty",)))
    return blocks if len(blocks) > 1 else [*blocks, Paragraph("None was written down.")]


def where(report: FaultReport, filed: Filed) -> str:
    """The record an entry stands in, where it is not the fault's own."""
    return "" if filed.record == report.record.id else f" ({filed.record})"


def _counted(report: FaultReport, item: str, value: str) -> tuple[int, Filed | None]:
    filed = report.after_fault.get(item)
    found: Any = dict(filed.entry.fields.get("values") or {}).get(value) if filed is not None else None
    return (int(found) if isinstance(found, int | float) else 0), filed
