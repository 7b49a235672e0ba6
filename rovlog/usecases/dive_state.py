"""A dive or work record as it stands: every item's state, what stops the dive, what is on the vehicle."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any

from rovlog.domain.dive import Entry, Record
from rovlog.domain.findings import Finding
from rovlog.problems import RovlogError
from rovlog.usecases.compare_drift import Drift, drift_of
from rovlog.usecases.configurations import Named, start_configuration, working
from rovlog.usecases.dive_stops import stops_of
from rovlog.usecases.logbook import Logbook
from rovlog.usecases.times import instant

if TYPE_CHECKING:
    from rovlog.domain.audit.flown import AsFlown
    from rovlog.domain.checks.checklist import Checklist, Item
    from rovlog.domain.checks.groups import GroupState
    from rovlog.domain.checks.happenings import Policy
    from rovlog.domain.checks.quarantine import Quarantine
    from rovlog.domain.checks.state import ItemState
    from rovlog.domain.checks.stops import Stop
    from rovlog.domain.checks.walk import Fold

PHASES_OF_DIVE = ("pre-dive", "launch", "recovery", "post-dive")
PHASES_OF_WORK = ("bench", "after-fault", "periodic", "pre-dive", "post-dive")


@dataclass(frozen=True, slots=True)
class DiveState:
    """Everything shown of one record, folded from its entries and those before it.

    `lists` are those of this record in the order of the work; `items` holds every item's state;
    `groups` every group's; `computed` the quantities limits name. `crew`, `site` and `water` are as
    they are now. `digest` is that of the configuration the items are judged against.
    """

    record: Record
    number: int
    now: str
    lists: tuple[Checklist, ...]
    items: Mapping[str, ItemState]
    groups: tuple[GroupState, ...]
    stops: tuple[Stop, ...]
    quarantine: Quarantine | None
    drift: Drift | None
    as_flown: AsFlown | None
    resolved: Mapping[str, Any]
    digest: str
    computed: Mapping[str, float | None]
    findings: tuple[Finding, ...]
    crew: Mapping[str, str]
    site: str
    water: Mapping[str, Any] | None
    depth_m: float | None
    marks: tuple[Entry, ...]
    pause: Entry | None
    last_answer: str
    fold: Fold
    problems: tuple[str, ...] = ()
    readback_entry: str | None = None
    waived: tuple[str, ...] = field(default=())

    def item(self, name: str) -> Item | None:
        """The item of this id in the lists of this record."""
        return self.fold.items.get(name)

    def checklist(self, name: str) -> Checklist | None:
        """The list of this id."""
        return next((c for c in self.lists if c.checklist == name), None)


def checklists_for(logbook: Logbook, vehicle: str) -> tuple[tuple[Checklist, ...], tuple[str, ...]]:
    """The logbook's lists that apply to a vehicle, in the order of a day, and what could not be used."""
    from rovlog.documents.checklist import checklist_from
    from rovlog.domain.checks.checklist import PHASES

    found, problems = [], []
    for name in logbook.book.files.names("checklists"):
        try:
            checklist = logbook.made(name, checklist_from)
        except RovlogError as error:
            problems.append(f"{name} cannot be used: {error.message}")
            continue
        if checklist.is_for(vehicle):
            found.append(checklist)
    found.sort(key=lambda c: (PHASES.index(c.phase), c.checklist))
    return tuple(found), tuple(problems)


def dive_state(logbook: Logbook, record: Record, *, now: str | None = None) -> DiveState:
    """Fold a record into what is shown of it. A closed record is judged at its last entry's time.

    Broken files of the vehicle do not hide the record: what cannot be known is among `problems`, and
    stops the dive.
    """
    moment = now or (
        record.entries[-1].at if record.is_closed and record.entries else logbook.book.clock.now()
    )
    when = instant(moment) or datetime.now(UTC)
    lists, problems = checklists_for(logbook, record.vehicle)
    if record.kind == "dive":
        shown = tuple(c for c in lists if c.phase in PHASES_OF_DIVE)
    else:
        shown = tuple(c for c in lists if c.phase in PHASES_OF_WORK)
    found = _configuration(logbook, record)
    drift, more = _drift(logbook, record)
    problems += found.problems + more
    fold = _fold(logbook, record, lists, found, when)
    water, depth = _water(record)
    computed, findings = _quantities(logbook, record, found, water, depth, fold, drift)
    if found.resolved:
        from rovlog.usecases.whereabouts import place_findings

        findings += place_findings(logbook, record, str(found.resolved["control_box"]["box"]))
    if found.named is None and found.problems:
        findings += tuple(
            Finding("files-cannot-be-used", "stops", p, clears="rovlog validate says how to mend it")
            for p in found.problems
        )
    for part in record.parts:
        for wrong in logbook.record_problems.get(part.file, ()):
            said = f"{part.file}, line {wrong.place.line} is not counted: {wrong.message}"
            problems += (said,)
            if not record.is_closed:
                # What that line said is not known; it may have been a fault.
                clears = "correct the line: rovlog validate says how"
                findings += (Finding("entry-not-counted", "stops", said, clears=clears),)
    return _assembled(
        logbook, record, moment, (shown, lists), found, drift, fold, computed, findings, problems
    )


@dataclass(frozen=True, slots=True)
class _Found:
    named: Named | None
    resolved: Mapping[str, Any]
    digest: str
    problems: tuple[str, ...] = ()


def _configuration(logbook: Logbook, record: Record) -> _Found:
    """What the items are judged against: the working files while the record is open, else what flew."""
    if not record.vehicle:
        return _Found(None, {}, "")
    try:
        if record.is_closed:
            flown = start_configuration(logbook, record)
            if flown is not None:
                from rovlog.usecases.configurations import digest_of

                digest = digest_of(flown)
                return _Found(Named(record.id, record.vehicle, flown, digest, None), flown, digest)
        named = working(logbook, record.vehicle)
    except RovlogError as error:
        held = logbook_start(logbook, record)
        return _Found(
            None, held or {}, "", (f"the files of {record.vehicle} cannot be used: {error.message}",)
        )
    return _Found(named, named.resolved, named.digest)


def logbook_start(logbook: Logbook, record: Record) -> Mapping[str, Any] | None:
    """What the record started with, where the working files are broken."""
    try:
        return start_configuration(logbook, record)
    except RovlogError:
        # The approval is broken too; the caller says so already.
        return None


def _drift(logbook: Logbook, record: Record) -> tuple[Drift | None, tuple[str, ...]]:
    if not record.vehicle:
        return None, ()
    try:
        drift = drift_of(logbook, record.vehicle, record, with_effects=False)
        if drift.report.deviations:
            drift = drift_of(logbook, record.vehicle, record)
    except RovlogError as error:
        return None, (f"drift cannot be told: {error.message}",)
    return drift, ()


def check_policy(logbook: Logbook) -> Policy:
    """The team's numbers for pauses and agreement, project defaults where it gives none."""
    from rovlog.domain.checks.happenings import Policy

    given = logbook.settings().policy
    usual = Policy()
    return Policy(
        float(given.get("pause_gap_s", usual.pause_gap_s)),
        float(given.get("trim_tolerance", usual.trim_tolerance)),
        float(given.get("temperature_move_k", usual.temperature_step_k)),
        usual.agreement_share,
    )


def _fold(
    logbook: Logbook, record: Record, lists: tuple[Checklist, ...], found: _Found, when: datetime
) -> Fold:
    from rovlog.domain.checks.fold import fold_entries, remember

    roles, policy = _roles(logbook), check_policy(logbook)
    earlier = _earlier(logbook, record)
    memory = None
    if logbook.is_held:
        key = ("walk", tuple(map(id, lists)), found.digest, repr(roles), policy)
        memory = logbook.of_others(
            key, record.id, lambda: remember(lists, earlier, found.resolved, roles=roles, policy=policy)
        )
    return fold_entries(
        lists,
        record,
        earlier,
        found.resolved,
        when,
        digest="" if record.is_closed else found.digest,
        roles=roles,
        policy=policy,
        memory=memory,
    )


def _roles(logbook: Logbook) -> dict[str, frozenset[str]]:
    return {k: frozenset(p.roles) for k, p in logbook.settings().people.items()}


def _earlier(logbook: Logbook, record: Record) -> list[Record]:
    """Dives and work of the same vehicle begun before this record."""
    peers = (
        logbook.records(record.vehicle)
        if record.vehicle
        else [r for r in logbook.records() if r.box == record.box]
    )
    ids = [r.id for r in peers]
    return peers[: ids.index(record.id)] if record.id in ids else peers


def _water(record: Record) -> tuple[Mapping[str, Any] | None, float | None]:
    water: Mapping[str, Any] | None = None
    depth: float | None = None
    for entry in record.of_kind("start", "place"):
        water = entry.fields.get("water") or water
        depth = entry.fields.get("depth_m", depth)
    return water, float(depth) if depth is not None else None


def _quantities(
    logbook: Logbook,
    record: Record,
    found: _Found,
    water: Mapping[str, Any] | None,
    depth_m: float | None,
    fold: Fold,
    drift: Drift | None,
) -> tuple[dict[str, float | None], tuple[Finding, ...]]:
    from rovlog.domain.checks.computed import COMPUTED
    from rovlog.usecases.computed_quantities import configuration_quantities, record_quantities

    values: dict[str, float | None] = dict.fromkeys(COMPUTED)
    findings: tuple[Finding, ...] = ()
    if found.named is not None:
        computed, findings = configuration_quantities(logbook, found.named, water, depth_m)
        values.update(computed)
    if depth_m is None:
        values["depth_margin_m"] = None
    if record.vehicle:
        values.update(record_quantities(logbook, record, fold, drift))
    return values, findings


def _assembled(
    logbook: Logbook,
    record: Record,
    moment: str,
    lists: tuple[tuple[Checklist, ...], tuple[Checklist, ...]],
    found: _Found,
    drift: Drift | None,
    fold: Fold,
    computed: dict[str, float | None],
    findings: tuple[Finding, ...],
    problems: tuple[str, ...],
) -> DiveState:
    from rovlog.domain.checks.groups import group_state
    from rovlog.domain.checks.quarantine import quarantine
    from rovlog.domain.checks.state import states_of
    from rovlog.usecases.list_dives import number_of

    states = states_of(fold, computed)
    unsettled = sum(s.state in ("deferred", "expired") for s in states.values())
    if unsettled != computed.get("deferred_and_expired"):
        # The item that reads out deferred and expired items is judged by their count, itself left out.
        computed["deferred_and_expired"] = float(_put_off(lists[0], states))
        states = states_of(fold, computed)
    shown = lists[0]
    if record.kind == "dive" and fold.faults:
        shown += tuple(c for c in lists[1] if c.phase == "after-fault")
    held = quarantine(fold)
    before = _states_before(logbook, record, lists[1]) if record.kind == "dive" else None
    stops, waived = stops_of(logbook, record, lists[1], states, held, drift, findings, fold, before)
    if record.kind == "dive":
        shown = (*_that_stop(lists[1], shown, {s.id for s in stops}), *shown)
    flown = None
    if record.vehicle:
        from rovlog.usecases.audit_history import as_flown_of

        flown = as_flown_of(logbook, record)
    readbacks = record.of_kind("readback")
    water, depth = _water(record)
    return DiveState(
        record=record,
        number=number_of(logbook, record),
        now=moment,
        lists=shown,
        items={i.item: states[i.item] for c in shown for i in c.items()},
        groups=tuple(group_state(c, s, states, fold) for c in shown for s in c.sections),
        stops=stops,
        quarantine=held,
        drift=drift,
        as_flown=flown,
        resolved=found.resolved,
        digest=found.digest,
        computed=computed,
        findings=findings,
        crew=dict(fold.known.crew),
        site=fold.known.site,
        water=water,
        depth_m=depth,
        marks=record.of_kind("mark"),
        pause=fold.pause.entry if fold.pause is not None else None,
        last_answer=fold.last_answer,
        fold=fold,
        problems=problems,
        readback_entry=readbacks[-1].id if readbacks else None,
        waived=waived,
    )


def _that_stop(
    lists: tuple[Checklist, ...], shown: tuple[Checklist, ...], stopping: set[str]
) -> tuple[Checklist, ...]:
    """Of lists that are not this record's, the items that stop it all the same, such as a bench answer
    that another water voided: they are answered here too."""
    found = []
    for checklist in lists:
        if checklist in shown:
            continue
        sections = [
            replace(s, items=kept)
            for s in checklist.sections
            if (kept := tuple(i for i in s.items if i.item in stopping))
        ]
        if sections:
            found.append(replace(checklist, sections=tuple(sections)))
    return tuple(found)


def _put_off(lists: tuple[Checklist, ...], states: Mapping[str, ItemState]) -> int:
    count = 0
    for checklist in lists:
        if checklist.phase != "pre-dive":
            continue
        for item in checklist.items():
            if any(
                a.limit and a.limit.equals and a.limit.equals.computed == "deferred_and_expired"
                for a in item.asks
            ) or any(a.proposed and a.proposed.computed == "deferred_and_expired" for a in item.asks):
                continue
            count += states[item.item].state in ("deferred", "expired")
    return count


def _states_before(
    logbook: Logbook, record: Record, lists: tuple[Checklist, ...]
) -> Mapping[str, ItemState] | None:
    """States at the end of the dive before, whose post-dive list stops this one; None before the first."""
    roles, policy = _roles(logbook), check_policy(logbook)
    key = ("before", tuple(map(id, lists)), repr(roles), policy)
    # The lists are kept beside it: an object's id is its own only while the object lives.
    made = logbook.of_others(key, record.id, lambda: (lists, _states_of_last(logbook, record, lists)))
    return made[1]


def _states_of_last(
    logbook: Logbook, record: Record, lists: tuple[Checklist, ...]
) -> Mapping[str, ItemState] | None:
    from rovlog.domain.checks.fold import fold_entries
    from rovlog.domain.checks.state import states_of

    earlier = _earlier(logbook, record)
    dives = [r for r in earlier if r.kind == "dive"]
    if not dives:
        return None
    last = dives[-1]
    post = tuple(c for c in lists if c.phase == "post-dive")
    before = earlier[: [r.id for r in earlier].index(last.id)]
    resolved = logbook_start(logbook, last) or {}
    at = instant(last.entries[-1].at) if last.entries else None
    fold = fold_entries(post, last, before, resolved, at, roles=_roles(logbook), policy=check_policy(logbook))
    quantities: dict[str, float | None] = {}
    return states_of(replace(fold), quantities)
