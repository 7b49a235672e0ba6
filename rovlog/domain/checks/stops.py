"""What stops the dive: every reason there is on record, most serious first, each with what would clear it."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence

from rovlog.domain.checks.checklist import Checklist, Item, names_of
from rovlog.domain.checks.quarantine import Quarantine
from rovlog.domain.checks.state import ItemState
from rovlog.domain.findings import Finding
from rovlog.values import dataclass

NOTHING_STOPS = "nothing recorded stops this dive"
"""The words where the list is empty. Whether to dive is a person's decision."""

BEFORE_LAUNCH = ("pre-dive",)
BEFORE_LEAVING = ("pre-dive", "launch")
ENDED_ONLY = ("bench", "periodic")
"""Lists whose items stop a dive once an answer failed or ran out, not while there never was one."""


@dataclass(frozen=True, slots=True)
class Stop:
    """One reason. `id` names the item, finding or record; `rank` orders them, 0 the most serious."""

    reason: str
    clears: str
    rank: int
    id: str


@dataclass(frozen=True, slots=True)
class Standing:
    """What stands about the baseline: `why_none` says why none is in force ("" where one is);
    `is_contested` that two baselines claim one revision number."""

    why_none: str = ""
    is_contested: bool = False


def what_stops(
    lists: Sequence[Checklist],
    states: Mapping[str, ItemState],
    *,
    quarantine: Quarantine | None = None,
    findings: Sequence[Finding] = (),
    baseline: Standing | None = None,
    before: Mapping[str, ItemState] | None = None,
    is_launched: bool = False,
    waived: Collection[str] = (),
    items: Mapping[str, Item] | None = None,
) -> tuple[Stop, ...]:
    """Everything recorded that stops this dive.

    `findings` are those of the configuration and of the drift that stop a dive and that nobody has
    accepted; `before` the states at the end of the dive before, whose post-dive list stops this one;
    `is_launched` adds the launch list up to its release; `waived` names findings under a waiver; `items`
    are those that a quarantine names, where they stand in other lists too.
    """
    found: list[Stop] = []
    if quarantine is not None:
        found += _of_quarantine(quarantine, items or {i.item: i for c in lists for i in c.items()})
    if baseline is not None and baseline.why_none:
        found.append(_of_baseline(baseline))
    found += [
        Stop(f.text, f.clears or "correct it, or have it waived in writing", _finding_rank(f), f.finding)
        for f in findings
        if f.severity == "stops"
        and f.finding not in waived
        and not (f.finding == "no-baseline" and baseline is not None and baseline.why_none)
    ]
    for checklist in lists:
        for item in checklist.items():
            if _counts(checklist, item, states[item.item], is_launched):
                found.append(_of_item(item, states[item.item]))
    found += _of_last_dive(lists, before)
    order = {s: n for n, s in enumerate(found)}
    return tuple(sorted(found, key=lambda s: (s.rank, order[s])))


def stop_words(stops: Sequence[Stop]) -> str:
    """The one line that says whether anything stops the dive."""
    if not stops:
        return NOTHING_STOPS
    one = len(stops) == 1
    return f"{len(stops)} {'reason' if one else 'reasons'} on record {'stops' if one else 'stop'} this dive"


def _counts(checklist: Checklist, item: Item, state: ItemState, is_launched: bool) -> bool:
    if item.stops == "no" or state.state in ("answered", "not-applicable", "waived"):
        return False
    if checklist.phase in ENDED_ONLY:
        return state.state in ("failed", "expired") or state.is_past_due
    return checklist.phase in (BEFORE_LEAVING if is_launched else BEFORE_LAUNCH)


def _of_item(item: Item, state: ItemState) -> Stop:
    always = item.stops == "always"
    why = state.reason or state.void_reason
    tail = f": {why}" if why else ""
    name = item.name
    reason, clears, rank = f"{name} is open{tail}", "answer it", 8
    if state.state == "failed":
        reason, rank = f"{name} failed{tail}", 5
        clears = "both answer again" if "two answers differ" in state.reason else "mend it and answer again"
    elif state.state == "expired":
        reason, clears, rank = f"{name} has expired{tail}", "answer it again", 7
    elif state.state == "deferred":
        due = "deferred past due" if state.is_past_due else "deferred"
        until = f" until {state.until}" if state.until else ""
        reason, rank = f"{name} is {due}{until}{tail}", 6 if state.is_past_due else 8
    elif item.kind == "release":
        clears = f"the {item.by[0]} releases"
    elif state.waits_for_second:
        clears = "a second person answers"
    if always:
        rank = 1 if state.state == "failed" else 4
    return Stop(reason, _or_waive(clears, item), rank, item.item)


def _or_waive(clears: str, item: Item) -> str:
    if item.stops == "always":
        return f"{clears}; there is no waiver"
    return f"{clears}, or have it waived in writing by the supervisor"


def _of_quarantine(held: Quarantine, items: Mapping[str, Item]) -> list[Stop]:
    what = ", ".join(f.symptom + (f" of {f.part}" if f.part else "") for f in held.faults)
    reason = f"the vehicle is in quarantine since {held.since[:16].replace('T', ' ')}: {what}"
    if held.refused:
        reason += f"; a release did not count: {held.refused}"
    redo = f"redo {_redone(held.left, items)}; then " if held.left else ""
    who = (
        f"a release to service by {' or '.join(held.free)}"
        if held.repairers and held.free
        else "a release to service"
    )
    return [Stop(reason, redo + who, 0, held.faults[0].entry)]


def _redone(left: Sequence[str], items: Mapping[str, Item]) -> str:
    known = names_of([items[name] for name in left if name in items])
    return "; ".join([w for w in (known, *(name for name in left if name not in items)) if w])


def _of_baseline(baseline: Standing) -> Stop:
    clears = "approve the configuration"
    if baseline.is_contested:
        clears = "look at both, then approve one again under a new revision"
    return Stop(
        f"no baseline is in force: {baseline.why_none}", clears, 2 if baseline.is_contested else 3, "baseline"
    )


def _finding_rank(finding: Finding) -> int:
    if finding.finding.startswith("list-"):
        return 1  # what the list would have asked for is missing among all that follows
    return 2 if finding.finding.startswith("backwards") or finding.finding.endswith("-backwards") else 3


def _of_last_dive(lists: Sequence[Checklist], before: Mapping[str, ItemState] | None) -> list[Stop]:
    """One line for what the list after the last dive leaves open; a failed item has its own."""
    if before is None:
        return []
    found: list[Stop] = []
    left: list[Item] = []
    for checklist in lists:
        if checklist.phase != "post-dive":
            continue
        for item in checklist.items():
            state = before.get(item.item)
            if state is None or item.stops == "no" or state.is_settled:
                continue
            if state.state == "failed":
                found.append(_of_item(item, state))
            else:
                left.append(item)
    if left:
        reason = f"the list after the last dive is not complete: {names_of(left)}"
        found.append(Stop(reason, "answer these items on the last dive's record", 8, "post-dive"))
    return found
