"""One fault from reported to closed, after published failure-reporting practice (MIL-HDBK-2155).

Facts and opinions are kept apart: what was seen and measured is fact, a note is somebody's word, and what
is computed is said to be computed.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from rovlog.domain.checks.faults import AFTER_FAULT, RETURN_TO_SERVICE
from rovlog.domain.dive import Entry, Record
from rovlog.problems import RovlogError, UsageError
from rovlog.usecases.audit_questions import KnownGood, last_good
from rovlog.usecases.dive_state import dive_state
from rovlog.usecases.evidence_texts import Quote, quotes_of
from rovlog.usecases.logbook import Logbook, start_order
from rovlog.usecases.report_dive import vehicle_name
from rovlog.values import dataclass

if TYPE_CHECKING:
    from rovlog.domain.audit.fault_case import FaultCase
    from rovlog.domain.audit.ranking import Ranking
    from rovlog.domain.checks.checklist import Item
    from rovlog.usecases.changes_since import ChangesSince
    from rovlog.usecases.diagnose import Diagnosed
    from rovlog.usecases.dive_state import DiveState
    from rovlog.usecases.find_recurrence import Recurred


@dataclass(frozen=True, slots=True)
class Filed:
    """One entry of the case with the record it stands in."""

    record: str
    entry: Entry


@dataclass(frozen=True, slots=True)
class FaultReport:
    """A fault's case. `after_fault` holds the answers of the list after a fault, by item; `released` the
    release to service, None while the vehicle is in quarantine. `quotes` are the texts kept as files,
    `case` has the stages from reported to closed, `notes` names what could not be told."""

    record: Record
    name: str
    state: DiveState
    faults: tuple[Entry, ...]
    symptom: str
    running_before_s: float
    running_total_s: float
    readings: tuple[Filed, ...]
    observations: tuple[Filed, ...]
    readbacks: tuple[Filed, ...]
    events: tuple[Filed, ...]
    attachments: tuple[Filed, ...]
    opinions: tuple[Filed, ...]
    quotes: tuple[Quote, ...]
    items: Mapping[str, Item]
    after_fault: Mapping[str, Filed]
    repairs: tuple[Filed, ...]
    released: Filed | None
    is_in_quarantine: bool
    good: KnownGood | None
    ranking: Ranking | None
    diagnosed: Diagnosed | None
    case: FaultCase | None
    recurred: Recurred | None
    changes: ChangesSince | None
    notes: tuple[str, ...]


def report_fault(logbook: Logbook, name: str, symptom: str | None = None) -> FaultReport:
    """Gather the case of a dive's (or work's) fault; of one symptom where several were logged.

    Raises UsageError where the record holds no fault, or none with that symptom.
    """
    from rovlog.domain.audit.fault_case import is_step
    from rovlog.domain.audit.running import running_s
    from rovlog.usecases.changes_since import changes_since

    record = _record(logbook, name)
    faults = [f for f in record.of_kind("fault") if symptom in (None, f.fields.get("symptom"))]
    if not faults:
        known = ", ".join(str(f.fields.get("symptom")) for f in record.of_kind("fault"))
        wanted = f"no fault {symptom!r}" if symptom else "no fault"
        raise UsageError(
            f"{record.id} holds {wanted}", f"it holds: {known}" if known else "name another dive"
        )
    first = str(symptom or faults[0].fields.get("symptom"))
    mine = tuple(f for f in faults if f.fields.get("symptom") == first)
    case, released = _case(logbook, record)
    notes: list[str] = []
    here = record.entries.index(mine[0])
    began = start_order(record.started)
    peers = logbook.records(record.vehicle)
    earlier = [r for r in peers if start_order(r.started) < began and r.id != record.id]
    before = running_s(record, 0, here)
    state = dive_state(logbook, record)
    good = _known_good(logbook, record, first, notes)
    return FaultReport(
        record,
        vehicle_name(logbook, record.vehicle),
        state,
        mine,
        first,
        before,
        before + sum(running_s(r) for r in earlier),
        _of(case, "reading"),
        _of(case, "observation"),
        _of(case, "readback"),
        _of(case, "event"),
        _of(case, "attachment"),
        tuple(f for f in _of(case, "note") if not is_step(f.entry)),
        quotes_of(logbook, [f.entry for f in _of(case, "attachment")], notes),
        _after_items(logbook, record),
        {str(f.entry.fields["item"]): f for f in _of(case, "check") if _is_after_fault(f.entry)},
        _of(case, "fitted", "correction"),
        released,
        released is None and bool(record.vehicle),
        good,
        _ranking(logbook, record, first, notes),
        _diagnosed(logbook, record, notes),
        _stages(logbook, record, first, notes),
        _recurred(logbook, record, first, notes),
        changes_since(good.history, good.since) if good is not None and good.since is not None else None,
        tuple(dict.fromkeys(notes)),
    )


def _record(logbook: Logbook, name: str) -> Record:
    if name in logbook.vehicles():
        faulty = [r for r in logbook.records(name) if r.of_kind("fault")]
        if not faulty:
            raise UsageError(f"no fault is on record for {name}", "name a dive that has one")
        return faulty[-1]
    return logbook.record(name)


def _case(logbook: Logbook, record: Record) -> tuple[list[Filed], Filed | None]:
    """Entries from the faulty record's first on, up to the release to service."""
    peers = logbook.records(record.vehicle) if record.vehicle else [record]
    at = [r.id for r in peers].index(record.id)
    found: list[Filed] = []
    is_after = False
    for one in peers[at:]:
        for entry in one.entries:
            filed = Filed(one.id, entry)
            found.append(filed)
            is_after = is_after or entry.kind == "fault"
            point = entry.fields.get("point") or entry.fields.get("item")
            if is_after and entry.kind in ("release", "check") and point == RETURN_TO_SERVICE:
                return found, filed
    return found, None


def _of(case: list[Filed], *kinds: str) -> tuple[Filed, ...]:
    return tuple(f for f in case if f.entry.kind in kinds)


def _is_after_fault(entry: Entry) -> bool:
    item = str(entry.fields.get("item", ""))
    return entry.fields.get("checklist") == AFTER_FAULT or item.startswith(("fault-", "blown-fuse-"))


def _after_items(logbook: Logbook, record: Record) -> dict[str, Item]:
    from rovlog.usecases.checklists_of import checklists_for

    lists, _ = checklists_for(logbook, record.vehicle)
    return {i.item: i for c in lists if c.checklist == AFTER_FAULT for i in c.items()}


def _known_good(logbook: Logbook, record: Record, symptom: str, notes: list[str]) -> KnownGood | None:
    try:
        return last_good(logbook, record.vehicle, symptom) if record.vehicle else None
    except RovlogError as error:
        notes.append(f"the last known good is not known: {error.message}")
        return None


def _ranking(logbook: Logbook, record: Record, symptom: str, notes: list[str]) -> Ranking | None:
    from rovlog.usecases.find_suspects import find_suspects

    try:
        return find_suspects(logbook, record.vehicle, symptom).ranking if record.vehicle else None
    except RovlogError as error:
        notes.append(f"suspects cannot be ranked: {error.message}")
        return None


def _diagnosed(logbook: Logbook, record: Record, notes: list[str]) -> Diagnosed | None:
    from rovlog.usecases.diagnose import diagnose_record

    if not record.of_kind("observation"):
        return None
    try:
        return diagnose_record(logbook, record.id)
    except RovlogError as error:
        notes.append(f"the function test cannot be diagnosed: {error.message}")
        return None


def _stages(logbook: Logbook, record: Record, symptom: str, notes: list[str]) -> FaultCase | None:
    from rovlog.usecases.fault_cases import list_faults

    found = list_faults(logbook, record.vehicle or record.box)
    notes += found.notes
    return next((c for c in found.cases if (c.record, c.symptom) == (record.id, symptom)), None)


def _recurred(logbook: Logbook, record: Record, symptom: str, notes: list[str]) -> Recurred | None:
    from rovlog.usecases.find_recurrence import find_recurrence

    try:
        return find_recurrence(logbook, record.vehicle, symptom, record.id) if record.vehicle else None
    except RovlogError as error:
        notes.append(f"where else it was is not known: {error.message}")
        return None
