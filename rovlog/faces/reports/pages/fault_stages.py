"""How far a fault's case is, from reported to closed, and where else the symptom was."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rovlog.domain.audit.timeline import entry_words
from rovlog.faces.reports.faults_text import SHOWN_TRAITS, correction_words, shared_words, trait_words
from rovlog.faces.reports.pages.model import Block, Grid, Heading, Paragraph, Points
from rovlog.faces.reports.pages.words import Names, when

if TYPE_CHECKING:
    from rovlog.domain.audit.fault_case import Step
    from rovlog.usecases.report_fault import FaultReport


def stage_blocks(report: FaultReport, names: Names) -> list[Block]:
    """The stages with what each stands on, and what is missing to close the case."""
    case = report.case
    if case is None:
        return []
    rows = tuple((step.stage, *_stands(step, names)) for step in case.steps)
    return [
        Heading("From reported to closed"),
        Paragraph(f"The case stands at: {case.stage}."),
        Grid(("stage", "stands on", "by"), rows),
    ]


def stage_words(report: FaultReport, stage: str, names: Names) -> tuple[str, str] | None:
    """What a stage of the case stands on, and by whom; None where nothing stands for it."""
    steps = report.case.steps if report.case is not None else ()
    return next((_stands(s, names) for s in steps if s.stage == stage and s.done), None)


def _stands(step: Step, names: Names) -> tuple[str, str]:
    if not step.done:
        return f"missing: {step.missing}", ""
    last = step.done[-1].entry
    by = f"{names(last.by)}, {when(last.at, True)}"
    if step.waived:
        return f"waived: {step.waived}", by
    text = entry_words(last)
    if last.kind == "check":
        text = f"{last.fields.get('item')} answered"
    elif last.kind == "observation":
        text = "function test"
    more = f" (and {len(step.done) - 1} more)" if len(step.done) > 1 else ""
    return text + more + (f"; missing: {step.missing}" if step.missing else ""), by


def recurrence_blocks(report: FaultReport, names: Names) -> list[Block]:
    """The same symptom elsewhere, what those dives had in common, and whether what was done held."""
    head = Heading("The same symptom elsewhere")
    if report.recurred is None:
        return [head, Paragraph("Not known.")]
    found = report.recurred.found
    rows = tuple(
        (
            e.fault.record,
            e.fault.at[:10],
            e.fault.text,
            ", ".join(trait_words(t.kind, t.what) for t in e.shared) or "nothing",
        )
        for e in found.elsewhere
    )
    blocks: list[Block] = [head]
    if rows:
        blocks.append(Grid(("record", "day", "what was said", "shared with this one"), rows))
    else:
        blocks.append(Paragraph("It is on record nowhere else."))
    shown = [shared_words(t) for t in found.traits if t.others][:SHOWN_TRAITS]
    if shown:
        blocks += [Heading("In common, over every dive of the team", True), Points(tuple(shown))]
    done = tuple(correction_words(c, names) for c in found.corrections)
    blocks.append(Heading("Corrective actions, and whether they held", True))
    blocks.append(Points(done) if done else Paragraph("None is on record."))
    return blocks
