"""`rovlog drift`: what was approved, what the files say, what the box says, what the pilot says."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from typing import TYPE_CHECKING, Any

from rovlog.faces.cli.context import Context, Status
from rovlog.faces.cli.kept import answer, tell

if TYPE_CHECKING:
    from rovlog.usecases.logbook import Logbook

SUMMARY = "Baseline, working files, surface box and pilot side by side, with what each difference does."
EXAMPLE = """
rovlog drift grebe
rovlog drift grebe-20260411-vgfe
"""


def add_arguments(parser: ArgumentParser) -> None:
    """Whose drift."""
    parser.add_argument("subject", metavar="VEHICLE|DIVE")


def run(args: Namespace, context: Context) -> int:
    """Print every difference; a difference, or anything that stops the dive, is a finding."""
    return tell(context, ["drift", args.subject], lambda logbook: _compared(logbook, args.subject))


def _compared(logbook: Logbook, subject: str) -> dict[str, Any]:
    from rovlog.faces.reports.drift_text import drift_data, drift_text
    from rovlog.usecases.compare_drift import compare_drift

    drift = compare_drift(logbook, subject)
    force = drift.in_force.approval
    data = {
        "vehicle": drift.vehicle,
        "record": drift.record.id if drift.record else None,
        "revision": force.revision if force else None,
        "baseline": force.digest if force else None,
        "working": drift.working.digest,
        "readback_in": drift.readback_in or None,
        **drift_data(drift.report),
    }
    data["notes"] = [*data.get("notes", []), *drift.notes]
    head = f"{drift.vehicle}: {f'revision {force.spoken} in force' if force else drift.in_force.why_none}\n"
    is_finding = drift.report.deviations or drift.report.stops
    return answer(
        data,
        head + drift_text(drift.report),
        [f"note: {note}" for note in drift.notes],
        Status.FINDING if is_finding else Status.FINE,
    )
