"""Faults from reported to closed, and recurrence, in words and as data."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any

from rovlog.domain.audit.timeline import entry_words
from rovlog.faces.reports.columns import wrapped
from rovlog.faces.reports.plain import clean

if TYPE_CHECKING:
    from rovlog.domain.audit.fault_case import FaultCase, Filed
    from rovlog.domain.audit.recurrence import Correction, Recurrence, SharedTrait

Names = Callable[[str], str]

CAUSE_WORDS = {"shown": "cause shown", "not-found-watch": "cause not found, watched"}
"""The answers about cause and proof in words."""

STATE_WORDS = {
    "open": "still open",
    "watching": "still watched",
    "held": "held since",
    "untried": "not flown since",
    "came-back": "did not hold",
}
"""How a corrective action stands."""

SHOWN_TRAITS = 6
"""Traits of a fault shown at most; the others are in the data."""


def faults_text(cases: Sequence[FaultCase], names: Names) -> str:
    """Every fault with its stage, what is missing to close it, and its evidence with holder."""
    if not cases:
        return "No fault is on record.\n"
    lines: list[str] = []
    for case in cases:
        lines += [*case_lines(case, names), ""]
    still = [c for c in cases if c.stage != "closed"]
    count = f"{len(cases)} fault{'' if len(cases) == 1 else 's'}, {len(still)} of them not closed"
    held = sorted({c.vehicle for c in cases if c.is_in_quarantine})
    lines.append(count + (f"; in quarantine: {clean(', '.join(held))}" if held else ""))
    return "\n".join(lines) + "\n"


def case_lines(case: FaultCase, names: Names) -> list[str]:
    """One case: what failed, where it stands, what is missing, who holds the evidence."""
    part = f" of {case.part}" if case.part else ""
    stage = case.stage.upper() if case.stage != "closed" else "closed"
    again = f", {len(case.faults)} times" if len(case.faults) > 1 else ""
    lines = wrapped(
        clean(f"{case.at[:10]}  {case.vehicle}  {case.symptom}{part}{again}, in {case.record}"), 0, 4
    )
    held = "; in quarantine" if case.is_in_quarantine else ""
    lines += wrapped(f"stage: {stage}{held}", 2, 4)
    for step in case.steps:
        if step.waived:
            lines += wrapped(clean(f"{step.stage} waived: {step.waived}"), 2, 4)
    if case.cause:
        lines += wrapped(clean(f"{CAUSE_WORDS.get(case.cause, case.cause)}{_watch_words(case)}"), 2, 4)
    for filed in case.actions:
        lines += wrapped(clean(f"done: {entry_words(filed.entry)}, {names(filed.entry.by)}"), 2, 4)
    lines += [line for m in case.missing for line in wrapped(clean(f"missing: {m}"), 2, 4)]
    lines += wrapped(clean(f"evidence: {evidence_words(case, names)}"), 2, 4)
    if case.released is not None:
        entry = case.released.entry
        lines += wrapped(
            clean(f"released {entry.at[:10]} by {names(entry.by)}, {case.released.record}"), 2, 4
        )
    return lines


def _watch_words(case: FaultCase) -> str:
    if not case.watch:
        return ""
    return f" for {case.watch} dives, {min(len(case.dives_since), case.watch)} flown"


def evidence_words(case: FaultCase, names: Names) -> str:
    """How many files are kept and by whom, and who holds the failed part."""
    files = len(case.evidence)
    keepers = ", ".join(dict.fromkeys(names(f.entry.by) for f in case.evidence))
    words = f"{files} file{'' if files == 1 else 's'}" + (f" kept by {keepers}" if files else "")
    return f"{words}; failed part: {case.holder or 'no holder named'}"


def faults_data(cases: Sequence[FaultCase]) -> list[dict[str, Any]]:
    """The cases as data, facts apart from opinions."""
    return [case_data(c) for c in cases]


def case_data(case: FaultCase) -> dict[str, Any]:
    """One case as data."""
    return {
        "vehicle": case.vehicle,
        "record": case.record,
        "symptom": case.symptom,
        "part": case.part or None,
        "at": case.at,
        "stage": case.stage,
        "in_quarantine": case.is_in_quarantine,
        "steps": [
            {
                "stage": s.stage,
                "done": s.is_done,
                "entries": [f.entry.id for f in s.done],
                "missing": s.missing or None,
                "waived": s.waived or None,
            }
            for s in case.steps
        ],
        "missing": list(case.missing),
        "cause": case.cause or None,
        "watch_dives": case.watch,
        "dives_since": list(case.dives_since),
        "came_back": list(case.came_back),
        "actions": [_filed(f) for f in case.actions],
        "facts": [_filed(f) for f in case.facts],
        "opinions": [_filed(f) for f in case.opinions],
        "evidence": [_filed(f) for f in case.evidence],
        "holder": case.holder or None,
        "released": _filed(case.released) if case.released else None,
    }


def _filed(filed: Filed) -> dict[str, Any]:
    entry = filed.entry
    return {
        "record": filed.record,
        "entry": entry.id,
        "at": entry.at,
        "by": entry.by,
        "kind": entry.kind,
        "text": entry_words(entry),
    }


# -- recurrence --------------------------------------------------------------------------------


def recurrence_text(found: Recurrence, names: Names) -> str:
    """Where else the symptom was, what those dives had in common with this one, and what was done."""
    here = found.here
    lines = wrapped(clean(f"{found.symptom}, last logged {here.at[:10]} in {here.record}"), 0, 2)
    lines.append("")
    if found.elsewhere:
        lines.append("The same symptom elsewhere")
    else:
        lines.append("The symptom is on record nowhere else.")
    for row in found.elsewhere:
        text = f": {row.fault.text}" if row.fault.text else ""
        lines += wrapped(clean(f"{row.fault.at[:10]}  {row.vehicle}  {row.fault.record}{text}"), 2, 4)
        lines += wrapped(
            clean("shared: " + (", ".join(trait_words(t.kind, t.what) for t in row.shared) or "nothing")),
            4,
            6,
        )
    shown = [t for t in found.traits if t.others][:SHOWN_TRAITS]
    if shown:
        lines += ["", "What they have in common with it, over every dive of the team"]
        lines += [line for t in shown for line in wrapped(clean(shared_words(t)), 2, 4)]
    lines += ["", "Corrective actions" if found.corrections else "No corrective action is on record for it."]
    for correction in found.corrections:
        lines += wrapped(clean(correction_words(correction, names)), 2, 4)
    return "\n".join(lines) + "\n"


def trait_words(kind: str, what: str) -> str:
    """A trait as people say it."""
    return what if kind == "setup" else f"{kind} {what}"


def shared_words(row: SharedTrait) -> str:
    """How often the symptom was where the trait was."""
    dives = f"{row.dives} dive{'' if row.dives == 1 else 's'}"
    others = f"; also in {', '.join(row.others)}" if row.others else ""
    return f"{trait_words(row.trait.kind, row.trait.what)}: on {row.with_symptom} of {dives} with it{others}"


def correction_words(correction: Correction, names: Names) -> str:
    """One corrective action and whether it held."""
    case = correction.case
    done = "; ".join(entry_words(f.entry) for f in case.actions)
    cause = CAUSE_WORDS.get(case.cause, case.cause)
    what = (
        "; ".join(x for x in (cause + _watch_words(case) if cause else "", done) if x) or "released as it was"
    )
    since = f"{len(case.dives_since)} dive{'' if len(case.dives_since) == 1 else 's'} since"
    state = STATE_WORDS[correction.state]
    if case.came_back:
        state += f", back on {case.came_back[0]}"
    who = f" ({names(case.released.entry.by)} released)" if case.released else ""
    return f"{case.at[:10]}  {case.vehicle}  {case.symptom}: {what}{who}; {state}, {since}"


def recurrence_data(found: Recurrence) -> dict[str, Any]:
    """The recurrence as data."""
    return {
        "symptom": found.symptom,
        "here": {"record": found.here.record, "at": found.here.at},
        "elsewhere": [
            {
                "vehicle": e.vehicle,
                "record": e.fault.record,
                "at": e.fault.at,
                "text": e.fault.text or None,
                "shared": [{"kind": t.kind, "what": t.what} for t in e.shared],
            }
            for e in found.elsewhere
        ],
        "traits": [
            {
                "kind": t.trait.kind,
                "what": t.trait.what,
                "dives": t.dives,
                "with_symptom": t.with_symptom,
                "others": list(t.others),
            }
            for t in found.traits
        ],
        "corrective_actions": [
            {
                "record": c.case.record,
                "vehicle": c.case.vehicle,
                "symptom": c.case.symptom,
                "state": c.state,
                "cause": c.case.cause or None,
                "actions": [_filed(f) for f in c.case.actions],
                "dives_since": list(c.case.dives_since),
                "came_back": list(c.case.came_back),
            }
            for c in found.corrections
        ],
    }
