"""What a waiver may name: a finding that stops the dive, or a place where something stands."""

from __future__ import annotations

from rovlog.problems import UsageError
from rovlog.usecases.dive_state import DiveState
from rovlog.usecases.dive_steps import require_word


def refuse_stop(state: DiveState, name: str) -> None:
    """Raise UsageError for a stop that is not there, or that only its item or a release can clear."""
    names = [f.finding for f in state.findings if f.severity == "stops"]
    if state.drift is not None:
        names += [f.finding for f in state.drift.report.stops]
    if name in names:
        return
    if name in state.items:
        raise UsageError(f"{name} is an item", "name it as the item: waive DIVE ITEM …")
    if any(s.id == name for s in state.stops):
        raise UsageError(f"{name} cannot be waived", "its line in `dive show` says what clears it")
    require_word("stop that may be waived", name, names or ["none"])


def refuse_pointer(state: DiveState, pointer: str) -> None:
    """Raise UsageError where neither the configuration nor the drift has anything at the pointer."""
    from rovlog.documents.pointer import MISSING, find

    rows = state.drift.report.deviations if state.drift is not None else ()
    known = [d.pointer for d in rows]
    if pointer not in known and (not pointer or find(state.resolved, pointer) is MISSING):
        mend = "deviations are at: " + ", ".join(known) if known else "there is no deviation"
        raise UsageError(f"nothing stands at {pointer!r}", mend)
