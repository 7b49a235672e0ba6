"""The way out of a quarantine: which step of the list after a fault is next, and who may release."""

from __future__ import annotations

from rovlog.usecases.dive_state import DiveState
from rovlog.values import dataclass


@dataclass(frozen=True, slots=True)
class Guide:
    """What is next in quarantine. `step` is the item to do now, "" where only others' items are left.

    `redo` are items of other lists that the fault voided, `redo_words` those as a crew calls them;
    `evidence` counts the files kept since the fault; `may_release` the supervisors who may release:
    somebody who did not do the repair, where there is one.
    """

    since: str
    faults: tuple[str, ...]
    step: str
    challenge: str
    redo: tuple[str, ...]
    evidence: int
    may_release: tuple[str, ...]
    redo_words: str = ""


def quarantine_guide(state: DiveState) -> Guide | None:
    """The guide for a vehicle in quarantine; None where it is not."""
    from rovlog.domain.checks.checklist import names_of
    from rovlog.domain.checks.faults import AFTER_FAULT
    from rovlog.domain.checks.groups import may_answer

    held = state.quarantine
    if held is None:
        return None
    steps = [i for c in state.lists if c.phase == AFTER_FAULT for i in c.items()]
    mine = {i.item for i in steps}
    redo = tuple(name for name in held.left if name not in mine)
    due = [
        i
        for i in steps
        if not state.items[i.item].is_settled
        and may_answer(i.item, state.lists, state.items) is None
        and not (redo and _waits_for_redo(i.item, state))
    ]
    supervisors = {p for p, roles in state.fold.roles.items() if "supervisor" in roles}
    able = sorted(supervisors or {p for r, p in state.crew.items() if r == "supervisor"})
    free = tuple(p for p in able if p not in held.repairers) or tuple(able)
    symptoms = tuple(f.symptom + (f" of {f.part}" if f.part else "") for f in held.faults)
    return Guide(
        held.since,
        symptoms,
        due[0].item if due else "",
        f"{due[0].code} {due[0].challenge}".strip() if due else "",
        redo,
        int(state.computed.get("evidence_files") or 0),
        free,
        names_of([state.fold.items[name] for name in redo]),
    )


def _waits_for_redo(name: str, state: DiveState) -> bool:
    """True for the count of what is left to redo, and for the release after it."""
    item = state.fold.items[name]
    is_count = any(a.proposed is not None and a.proposed.computed == "voided_open" for a in item.asks)
    return is_count or item.kind == "release"
