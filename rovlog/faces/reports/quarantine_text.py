"""The way out of a quarantine in words and as data."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Any

from rovlog.faces.reports.plain import clean

if TYPE_CHECKING:
    from rovlog.usecases.quarantine_guide import Guide


def guide_text(guide: Guide | None, names: Callable[[str], str]) -> str:
    """What is next in quarantine, a line each; "" where the vehicle is not in it."""
    if guide is None:
        return ""
    lines = [f"in quarantine since {guide.since[:16].replace('T', ' ')}: {clean(', '.join(guide.faults))}"]
    if guide.step:
        lines.append(f"  next in the list after a fault: {clean(guide.challenge)}")
    if guide.redo:
        lines.append(f"  to be redone: {clean(guide.redo_words)}")
    kept = "no file is kept as evidence yet" if not guide.evidence else f"{guide.evidence} files kept"
    lines.append(f"  evidence: {kept}")
    if guide.may_release:
        lines.append(f"  released to service by: {clean(' or '.join(names(p) for p in guide.may_release))}")
    return "\n".join(lines) + "\n"


def guide_data(guide: Guide | None) -> Mapping[str, Any] | None:
    """The same as data."""
    if guide is None:
        return None
    return {
        "since": guide.since,
        "faults": list(guide.faults),
        "next": guide.step or None,
        "redo": list(guide.redo),
        "evidence": guide.evidence,
        "may_release": list(guide.may_release),
    }
