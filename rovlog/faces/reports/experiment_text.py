"""The next experiment in words and as data."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from rovlog.faces.reports.columns import wrapped
from rovlog.faces.reports.plain import clean
from rovlog.faces.reports.quarantine_text import guide_text

if TYPE_CHECKING:
    from rovlog.usecases.quarantine_guide import Guide
    from rovlog.usecases.run_experiment import ExperimentPlan


def experiment_text(plan: ExperimentPlan) -> str:
    """The experiment's steps in order, and what it is expected to tell."""
    lines = wrapped(clean(f"{plan.vehicle}: {plan.purpose}"), 0, 2)
    lines.append(f"  expected to tell {plan.experiment.expected_bits:.2f} bits")
    for number, step in enumerate(plan.steps, start=1):
        lines += wrapped(clean(f"{number}. {step}"), 2, 5)
    return "\n".join(lines) + "\n"


def started_words(record: str, guide: Guide | None, names: Callable[[str], str]) -> str:
    """That the experiment is started, and what the list after a fault asks for first."""
    return (
        f"\nStarted as {clean(record)}; its steps are a list in it:\n"
        f"  rovlog work tick {clean(record)} EX1 --by …\n" + guide_text(guide, names)
    )


def experiment_data(plan: ExperimentPlan, record: str | None) -> dict[str, Any]:
    """The experiment as data; `work` is the record that was started for it."""
    e = plan.experiment
    return {
        "vehicle": plan.vehicle,
        "symptom": plan.symptom,
        "what": e.what,
        "kind": e.kind,
        "pointer": e.pointer or None,
        "where": e.where,
        "single_change": e.deed,
        "symptom_if_to_blame": e.if_to_blame,
        "symptom_if_not": e.if_not,
        "expected_bits": e.expected_bits,
        "purpose": plan.purpose,
        "steps": list(plan.steps),
        "work": record,
        "notes": list(plan.notes),
    }
