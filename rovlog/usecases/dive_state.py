"""A dive or work record as it stands: every item's state, what stops the dive, what is on the vehicle."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any

from rovlog.domain.dive import Entry, Record
from rovlog.domain.findings import Finding
from rovlog.problems import RovlogError
from rovlog.usecases.checklists_of import (
    VALIDATE_SAYS,
    list_findings,
    lists_and_broken,
    lists_shown,
    lists_that_stop,
    put_off,
)
from rovlog.usecases.compare_drift import Drift, drift_of
from rovlog.usecases.dive_stops import stops_of
from rovlog.usecases.experiment_list import experiment_lists
from rovlog.usecases.fold_record import fold_record, states_before
from rovlog.usecases.judged_configuration import Found, judged_configuration
from rovlog.usecases.list_control import control_findings
from rovlog.usecases.logbook import Logbook
from rovlog.usecases.times import instant
from rovlog.values import dataclass, field

if TYPE_CHECKING:
    from rovlog.domain.audit.flown import AsFlown
    from rovlog.domain.checks.checklist import Checklist, Item
    from rovlog.domain.checks.groups import GroupState
    from rovlog.domain.checks.quarantine import Quarantine
    from rovlog.domain.checks.state import ItemState
    from rovlog.domain.checks.stops import Stop
    from rovlog.domain.checks.walk import Fold


@dataclass(frozen=True, slots=True)
class DiveState:
    """Everything shown of one record, folded from its entries and those before it.

    `lists` are those of this record in the order of the work; `items` holds every item's state;
    `groups` every group's; `computed` the quantities limits name. `crew`, `site` and `water` are as
    they are now. `digest` is that of the configuration the items are judged against. `last_notes` are
    what the dive before left for this crew.
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
    last_notes: tuple[str, ...] = ()

    def item(self, name: str) -> Item | None:
        """The item of this id in the lists of this record."""
        return self.fold.items.get(name)

    def checklist(self, name: str) -> Checklist | None:
        """The list of this id."""
        return next((c for c in self.lists if c.checklist == name), None)


def dive_state(logbook: Logbook, record: Record, *, now: str | None = None) -> DiveState:
    """Fold a record into what is shown of it. A closed record is judged at its last entry's time.

    Broken files of the vehicle do not hide the record: what cannot be known is among `problems`, and
    stops the dive.
    """
    moment = now or (
        record.entries[-1].at if record.is_closed and record.entries else logbook.book.clock.now()
    )
    when = instant(moment) or datetime.now(UTC)
    found = judged_configuration(logbook, record)
    from rovlog.domain.audit.running import not_counted

    lists, broken = lists_and_broken(logbook, record.vehicle, found.resolved)
    problems = tuple(b.said for b in broken)
    lists += experiment_lists(record)
    shown = lists_shown(record, lists)
    drift, more = _drift(logbook, record)
    problems += found.problems + more
    fold = fold_record(logbook, record, lists, found, when)
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
    findings += list_findings(record, lists, broken)
    findings += control_findings(logbook, record)
    problems += not_counted(record)
    trouble = logbook.settings().trouble
    if trouble:
        problems += (trouble,)
        if not record.is_closed:
            # Who may release, and what the team has settled, is not known.
            findings += (Finding("settings-cannot-be-used", "stops", trouble, clears=VALIDATE_SAYS),)
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
    found: Found,
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
    found: Found,
    drift: Drift | None,
    fold: Fold,
    computed: dict[str, float | None],
    findings: tuple[Finding, ...],
    problems: tuple[str, ...],
) -> DiveState:
    from rovlog.domain.checks.groups import group_state
    from rovlog.domain.checks.quarantine import quarantine
    from rovlog.usecases.list_dives import number_of
    from rovlog.usecases.read_out import last_notes

    shown = lists[0]
    states = states_with_count(fold, computed, shown)
    if record.kind == "dive" and fold.faults:
        shown += tuple(c for c in lists[1] if c.phase == "after-fault")
    held = quarantine(fold)
    before = states_before(logbook, record, lists[1]) if record.kind == "dive" else None
    stops, waived = stops_of(logbook, record, lists[1], states, held, drift, findings, fold, before)
    if record.kind == "dive":
        shown = (*lists_that_stop(lists[1], shown, {s.id for s in stops}), *shown)
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
        as_flown=_flown(logbook, record),
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
        last_notes=last_notes(logbook, record) if record.kind == "dive" else (),
    )


def _flown(logbook: Logbook, record: Record) -> AsFlown | None:
    if not record.vehicle:
        return None
    from rovlog.usecases.audit_history import as_flown_of

    return as_flown_of(logbook, record)


def states_with_count(
    fold: Fold, computed: dict[str, float | None], shown: tuple[Checklist, ...]
) -> Mapping[str, ItemState]:
    """Every item's state; counts into `computed` what is deferred or expired, which one item reads out."""
    from rovlog.domain.checks.state import states_of

    states = states_of(fold, computed)
    unsettled = sum(s.state in ("deferred", "expired") for s in states.values())
    if unsettled != computed.get("deferred_and_expired"):
        # The item that reads out deferred and expired items is judged by their count, itself left out.
        computed["deferred_and_expired"] = float(put_off(shown, states))
        states = states_of(fold, computed)
    return states
