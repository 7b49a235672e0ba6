"""One fault from reported to closed, derived from the entries: verified, cause, action, proof.

The loop is that of failure reporting, analysis and corrective action as MIL-HDBK-2155 (1995) has it: a
failure is reported, verified, its cause found, an action done, the action proven, and the report closed.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from rovlog.domain.audit.times import or_last
from rovlog.domain.dive import Entry, Record
from rovlog.values import dataclass, field

Stage = Literal["reported", "verified", "cause", "action", "proof", "closed"]

STAGES: tuple[Stage, ...] = ("reported", "verified", "cause", "action", "proof", "closed")
"""The stages in order; a case stands at the last one up to which nothing is missing."""

FUNCTION, CAUSE, ONE_CHANGE, REDO, HELD_BY = (
    "fault-function", "fault-cause", "fault-one-change", "fault-redo", "fault-parts",
)  # fmt: skip
"""Items of the list after a fault that the stages stand on."""

SHOWN, WATCH = "shown", "not-found-watch"
"""What the item about cause and proof may answer."""

RETURN_TO_SERVICE = "return-to-service"

STEP_HEAD = "experiment, step "
"""How a note begins that holds a step of an experiment: it is nobody's opinion."""

ACTION_EVENTS = (
    "connector-parted",
    "housing-opened",
    "thruster-touched",
    "fuse-changed",
    "supply-swapped",
    "tether-changed",
    "load-changed",
    "box-changed",
    "configuration-changed",
)
"""Events that are somebody's doing: logged in work after a fault, they are what was done about it."""


@dataclass(frozen=True, slots=True)
class Filed:
    """One entry of a case with the record it stands in."""

    record: str
    entry: Entry


@dataclass(frozen=True, slots=True)
class Step:
    """One stage of the loop: the entries it stands on, or what is missing; `waived` with whose reason."""

    stage: Stage
    done: tuple[Filed, ...]
    missing: str = ""
    waived: str = ""

    @property
    def is_done(self) -> bool:
        """True where entries stand for it, or it was waived."""
        return not self.missing


@dataclass(frozen=True, slots=True)
class FaultCase:
    """One symptom logged in one record, and all that followed.

    `facts` are what was seen, read and done up to the release; `opinions` what people wrote; `evidence`
    the files kept; `holder` who holds the failed part, "" where nobody is named. `released` is the release
    to service, None while there is none that counts. `watch` is how many dives were to be watched,
    `dives_since` the dives since the release, `came_back` those among them with the symptom again.
    """

    vehicle: str
    record: str
    symptom: str
    part: str
    faults: tuple[Entry, ...]
    steps: tuple[Step, ...]
    facts: tuple[Filed, ...]
    opinions: tuple[Filed, ...]
    evidence: tuple[Filed, ...]
    holder: str
    released: Filed | None
    is_in_quarantine: bool
    cause: str = ""
    watch: int = 0
    dives_since: tuple[str, ...] = ()
    came_back: tuple[str, ...] = ()
    actions: tuple[Filed, ...] = field(default=())

    @property
    def stage(self) -> Stage:
        """The last stage up to which nothing is missing."""
        at: Stage = "reported"
        for step in self.steps:
            if not step.is_done:
                break
            at = step.stage
        return at

    @property
    def missing(self) -> tuple[str, ...]:
        """What is missing to close it, in order."""
        return tuple(s.missing for s in self.steps if s.missing)

    @property
    def at(self) -> str:
        """When it was first logged."""
        return self.faults[0].at


def is_step(note: Entry) -> bool:
    """True for a note that holds a step of an experiment."""
    return str(note.fields.get("text", "")).startswith(STEP_HEAD)


def fault_cases(records: Sequence[Record], held: frozenset[str]) -> tuple[FaultCase, ...]:
    """Every fault of one vehicle (or one box), oldest first.

    Args:
        records: its dives and work.
        held: ids of the fault entries that still keep the vehicle in quarantine.
    """
    ordered = sorted(records, key=lambda r: (or_last(r.started), r.id))
    cases = []
    for position, record in enumerate(ordered):
        symptoms = dict.fromkeys(str(f.fields.get("symptom", "")) for f in record.of_kind("fault"))
        cases += [_case(ordered, position, symptom, held) for symptom in symptoms]
    return tuple(cases)


def _case(ordered: Sequence[Record], position: int, symptom: str, held: frozenset[str]) -> FaultCase:
    record = ordered[position]
    faults = tuple(f for f in record.of_kind("fault") if str(f.fields.get("symptom", "")) == symptom)
    is_held = any(f.id in held for f in faults)
    mine, released = _until_release(ordered, position, faults[0], is_held)
    later = _dives_after(ordered, position, released)
    came_back = tuple(r.id for r in later if any(_is(f, symptom) for f in r.of_kind("fault")))
    answer = _last_check(mine, CAUSE)
    values = dict(answer.entry.fields.get("values") or {}) if answer else {}
    watch = int(values.get("watch_dives") or 0) if values.get("choice") == WATCH else 0
    since = tuple(r.id for r in later)
    holder = _last_check(mine, HELD_BY)
    actions = _actions(mine, record)
    return FaultCase(
        record.vehicle or record.box,
        record.id,
        symptom,
        next((str(f.fields["part"]) for f in faults if f.fields.get("part")), ""),
        faults,
        _steps(mine, faults, actions, released, values, (watch, since, came_back)),
        _of(mine, "fault", "event", "reading", "observation", "readback", "fitted", "mark"),
        tuple(f for f in _of(mine, "note") if not is_step(f.entry)),
        _of(mine, "attachment"),
        str(dict(holder.entry.fields.get("values") or {}).get("holder", "")) if holder else "",
        released,
        is_held,
        str(values.get("choice", "")),
        watch,
        since,
        came_back,
        actions,
    )


def _is(fault: Entry, symptom: str) -> bool:
    return str(fault.fields.get("symptom", "")) == symptom


def _until_release(
    ordered: Sequence[Record], position: int, fault: Entry, is_held: bool
) -> tuple[list[Filed], Filed | None]:
    """The entries from the fault up to the release to service, or to the end where none counted.

    Where the vehicle is out of quarantine the last release before it dived again is the one that counted.
    """
    found: list[Filed] = []
    end: int | None = None
    for index, record in enumerate(ordered[position:]):
        if end is not None and index and record.kind == "dive":
            break
        entries = record.entries
        if index == 0:
            entries = entries[entries.index(fault) :]
        for entry in entries:
            found.append(Filed(record.id, entry))
            point = entry.fields.get("point") or entry.fields.get("item")
            if not is_held and entry.kind in ("release", "check") and point == RETURN_TO_SERVICE:
                end = len(found)
    return (found, None) if end is None else (found[:end], found[end - 1])


def _dives_after(ordered: Sequence[Record], position: int, released: Filed | None) -> list[Record]:
    """Dives since the release; where there was none, since the fault's own record."""
    ids = [r.id for r in ordered]
    at = position if released is None else ids.index(released.record)
    return [r for r in ordered[at + 1 :] if r.kind == "dive"]


def _of(case: Sequence[Filed], *kinds: str) -> tuple[Filed, ...]:
    return tuple(f for f in case if f.entry.kind in kinds)


def _last_check(case: Sequence[Filed], item: str) -> Filed | None:
    return next((f for f in reversed(case) if f.entry.kind == "check" and _item(f.entry) == item), None)


def _item(entry: Entry) -> str:
    return str(entry.fields.get("item", ""))


def _actions(case: Sequence[Filed], record: Record) -> tuple[Filed, ...]:
    """What was done: parts fitted, and events in work after the fault (in the dive itself they befell it)."""
    done = [f for f in case if f.entry.kind == "fitted"]
    done += [
        f
        for f in case
        if f.entry.kind == "event" and f.record != record.id and f.entry.fields.get("event") in ACTION_EVENTS
    ]
    return tuple(done)


def _steps(
    case: Sequence[Filed],
    faults: Sequence[Entry],
    actions: tuple[Filed, ...],
    released: Filed | None,
    values: dict[str, object],
    watched: tuple[int, tuple[str, ...], tuple[str, ...]],
) -> tuple[Step, ...]:
    reported = tuple(f for f in case if any(f.entry is one for one in faults))
    tests = tuple(f for f in case if f.entry.kind == "observation") + _passed(case, FUNCTION)
    cause = _passed(case, CAUSE)
    changed = actions + _passed(case, ONE_CHANGE)
    is_watch = values.get("choice") == WATCH
    return (
        Step("reported", reported),
        _step(
            case, "verified", tests, FUNCTION, "a function test since the fault, with nothing else changed"
        ),
        _step(case, "cause", cause, CAUSE, "a cause: shown, or not found and watched for so many dives"),
        _step(
            case,
            "action",
            changed or (cause if is_watch else ()),
            ONE_CHANGE,
            "an action: something fitted, done in work, or a single change written down",
        ),
        _step(case, "proof", _passed(case, REDO), REDO, "what the fault voided, redone and audited"),
        Step("closed", (released,) if released else (), _why_open(released, watched)),
    )


def _passed(case: Sequence[Filed], item: str) -> tuple[Filed, ...]:
    found = _last_check(case, item)
    return (found,) if found is not None and found.entry.fields.get("outcome") != "fail" else ()


def _step(case: Sequence[Filed], stage: Stage, done: tuple[Filed, ...], item: str, missing: str) -> Step:
    if done:
        return Step(stage, done)
    for filed in reversed(case):
        if filed.entry.kind in ("waiver", "not-applicable") and _item(filed.entry) == item:
            return Step(stage, (filed,), waived=str(filed.entry.fields.get("reason") or "no reason given"))
    failed = _last_check(case, item)
    if failed is not None and failed.entry.fields.get("outcome") == "fail":
        return Step(stage, (), f"{item} was answered as failed")
    return Step(stage, (), missing)


def _why_open(released: Filed | None, watched: tuple[int, tuple[str, ...], tuple[str, ...]]) -> str:
    watch, since, came_back = watched
    if came_back:
        return f"an action that holds: it came back on {came_back[0]}"
    if released is None:
        return "a release to service"
    if len(since) < watch:
        return f"watching for {watch} dives, {len(since)} flown since"
    return ""
