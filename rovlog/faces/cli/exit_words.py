"""What exit status 1 means, command by command; one that is not here never ends with it."""

from __future__ import annotations

from collections.abc import Mapping

FINDINGS: Mapping[str, str] = {
    "rovlog validate": "a record has a problem",
    "rovlog vehicle approve": "findings would stop a dive and ask for a reason; nothing is approved",
    "rovlog vehicle compare": "the two differ",
    "rovlog budget": "a finding would stop a dive",
    "rovlog bench": "a part cannot be judged, or does not agree with the record",
    "rovlog vacuum": "lost, or it cannot be judged",
    "rovlog box read": "what was heard differs from the baseline, or is no whole readback",
    "rovlog box restore": "the box does not read back as approved",
    "rovlog drift": "something differs, or stops the dive",
    "rovlog checklist compare": "the two differ",
    "rovlog dive open": "something is open, or stops the dive",
    "rovlog dive tick": "kept, as failed",
    "rovlog work tick": "kept, as failed",
    "rovlog dive transcribe": "kept, with an answer that failed",
    "rovlog work transcribe": "kept, with an answer that failed",
    "rovlog diagnose": "a fault is likelier than nothing wrong",
    "rovlog part due": "something is past due",
    "rovlog verify": "something is wrong",
}


def exit_words(command: str) -> list[str]:
    """The exit statuses of a command, a line each."""
    finding = FINDINGS.get(command)
    lines = ["0  fine"]
    if finding is not None:
        lines.append(f"1  a finding: {finding}")
    return [*lines, "2  wrong use, or unreadable input"]
