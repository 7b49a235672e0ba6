"""The steps of a dive or of work outside one, each a single entry: start, mark, trim, fault, close …"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from rovlog.domain.axes import DEMANDS
from rovlog.domain.dive import MARKS, ROLES, VOID_EVENTS, Entry, Record
from rovlog.problems import UsageError
from rovlog.usecases.configurations import Named, deviations_of, working
from rovlog.usecases.logbook import Logbook
from rovlog.usecases.one_line import require_text, require_word
from rovlog.usecases.ports import CommitOutcome
from rovlog.usecases.recording import Written, append, commit_record, create_record
from rovlog.values import dataclass

SOURCES = ("seen", "measured", "computed", "box-read", "paper")
SYMPTOM_ENDINGS = ("weak", "reversed", "dead")


@dataclass(frozen=True, slots=True)
class StartedDive:
    """A started record: its id, the revision in force, and where the working files depart from it."""

    record: str
    working: Named | None
    revision: int | None
    why_no_baseline: str
    deviations: tuple[Mapping[str, Any], ...]
    commit: CommitOutcome
    notes: tuple[str, ...] = ()


def start_dive(
    logbook: Logbook,
    vehicle: str,
    *,
    by: str,
    site: str,
    water: Mapping[str, Any],
    crew: Mapping[str, str],
    task: str | None = None,
    depth_m: float | None = None,
    minutes: float | None = None,
    at: str | None = None,
    record: str | None = None,
    clock: str | None = None,
) -> StartedDive:
    """Start a dive: who, where, which water, and which configuration is on the vehicle.

    The start entry holds the digests of the baseline in force and of the working files, and leaf by
    leaf where the two depart, so that what flew can be told later from this file and the approval
    alone. Raises UsageError where the vehicle has an open dive already.
    """
    now = working(logbook, vehicle)
    for other in logbook.records(vehicle, ("dive",)):
        if not other.is_closed and record is None:
            raise UsageError(
                f"{vehicle} has an open dive: {other.id}",
                f"go on with it, or close it: rovlog dive close {other.id} --by … "
                "(add --from-memory if it is old)",
            )
    from rovlog.usecases.list_control import control_findings, lists_to_keep
    from rovlog.usecases.whereabouts import loan_of

    check_crew(logbook, crew)
    require_text("site", site)
    on = _on_vehicle(logbook, now)
    fields = {
        "site": site,
        "water": dict(water),
        "crew": dict(crew),
        "baseline": on.baseline,
        "revision": on.revision,
        "working": now.digest,
        "deviations": list(on.deviations) or None,
        "task": task,
        "depth_m": depth_m,
        "minutes": minutes,
        "lists": lists_to_keep(logbook) or None,
    }
    written = create_record(
        logbook, "dive", {"vehicle": vehicle}, by, fields, at=at, record=record, clock=clock
    )
    outcome = commit_record(logbook, written.record, f"Start dive {written.record} at {site}", by, at)
    loan = loan_of(logbook, vehicle)
    lent = (f"{vehicle} is {loan.words}: rovlog work return {vehicle} --by … takes it back",) if loan else ()
    changed = control_findings(logbook, logbook.record(written.record))
    told = tuple(f"{f.text}: it stops the dive\n  clears: {f.clears}" for f in changed)
    notes = (*told, *lent, *_box_notes(logbook, now, written.record), *entitlement_notes(logbook, crew))
    return StartedDive(written.record, now, on.revision, on.why_none, on.deviations, outcome, notes)


def start_work(
    logbook: Logbook,
    subject: str,
    *,
    by: str,
    purpose: str,
    crew: Mapping[str, str] | None = None,
    at: str | None = None,
    record: str | None = None,
    clock: str | None = None,
) -> StartedDive:
    """Start a work record on a vehicle or a box: bench, tub, refit, quarantine, periodic care."""
    from rovlog.usecases.list_control import lists_to_keep

    require_text("purpose", purpose)
    check_crew(logbook, crew or {})
    is_vehicle = subject in logbook.vehicles()
    fields: dict[str, Any] = {"purpose": purpose, "crew": dict(crew) if crew else None}
    now: Named | None = None
    on = _OnVehicle(None, None, "", ())
    if is_vehicle:
        now = working(logbook, subject)
        on = _on_vehicle(logbook, now)
        fields |= {"baseline": on.baseline, "working": now.digest, "deviations": list(on.deviations) or None}
        fields |= {"lists": lists_to_keep(logbook) or None}
    else:
        logbook.box(subject)
    kind = "vehicle" if is_vehicle else "box"
    written = create_record(logbook, "work", {kind: subject}, by, fields, at=at, record=record, clock=clock)
    outcome = commit_record(logbook, written.record, f"Start work {written.record}: {purpose}", by, at)
    return StartedDive(written.record, now, on.revision, on.why_none, on.deviations, outcome)


@dataclass(frozen=True, slots=True)
class _OnVehicle:
    """What a record starts from: the baseline's digest and revision, and where the files depart from it."""

    baseline: str | None
    revision: int | None
    why_none: str
    deviations: tuple[Mapping[str, Any], ...]


def _on_vehicle(logbook: Logbook, now: Named) -> _OnVehicle:
    force = logbook.in_force(now.vehicle)
    baseline = force.approval
    if baseline is None:
        return _OnVehicle(None, None, force.why_none, tuple(deviations_of(None, now.resolved)))
    rows = () if baseline.digest == now.digest else deviations_of(baseline.configuration, now.resolved)
    return _OnVehicle(baseline.digest, baseline.revision, force.why_none, tuple(rows))


def entitlement_notes(logbook: Logbook, crew: Mapping[str, str]) -> tuple[str, ...]:
    """A supervisor to whom the logbook does not give the role can neither release nor waive: said at once."""
    named = crew.get("supervisor")
    able = [p for p, person in logbook.settings().people.items() if "supervisor" in person.roles]
    if named is None or not able or named in able:
        return ()
    return (
        f"{logbook.person_name(named)} is named supervisor, but logbook.yaml gives that role to "
        f"{' and '.join(logbook.person_name(p) for p in able)}: nobody in this crew can release or waive",
    )


def check_crew(logbook: Logbook, crew: Mapping[str, str]) -> None:
    """Raise UsageError for an unknown role or person."""
    for role, who in crew.items():
        if role not in ROLES:
            raise UsageError(f"there is no role {role!r} in a crew", "roles are: " + ", ".join(ROLES))
        logbook.person(who)


def mark(
    logbook: Logbook,
    record: Record,
    which: str,
    *,
    by: str,
    at: str | None = None,
    clock: str | None = None,
    confirmed: Sequence[str] = (),
) -> Written:
    """Mark a moment of the dive (power on … power off).

    `confirmed` are the questions about its time that somebody answered with yes (`doubtful_times`).
    """
    require_word("mark", which, MARKS)
    fields: dict[str, Any] = {"mark": which}
    if confirmed:
        fields |= {"confirmed": True, "questions": list(confirmed)}
    return append(logbook, record, "mark", by, fields, at=at, clock=clock)


def log_event(
    logbook: Logbook,
    record: Record,
    event: str,
    *,
    by: str,
    part: str | None = None,
    text: str | None = None,
    at: str | None = None,
) -> Written:
    """Record an event that voids answers (housing opened, connector parted …)."""
    require_word("event", event, VOID_EVENTS)
    return append(logbook, record, "event", by, {"event": event, "part": part, "text": text}, at=at)


def log_trim(
    logbook: Logbook,
    record: Record,
    trim: Mapping[str, float],
    *,
    by: str,
    reason: str | None = None,
    at: str | None = None,
) -> Written:
    """Record a trim changed in the water: share of full demand by demand; positive heave is down."""
    for demand, share in trim.items():
        require_word("demand", demand, DEMANDS)
        if not -1.0 <= share <= 1.0:
            raise UsageError(f"trim {demand} is {share:g}", "give a share of full demand between -1 and 1")
    if not trim:
        raise UsageError("no trim is given", "write heave=0.05; positive heave is down")
    return append(logbook, record, "trim", by, {"trim": dict(trim), "reason": reason}, at=at)


def state_setup(
    logbook: Logbook, record: Record, values: Mapping[str, Any], *, by: str, at: str | None = None
) -> Written:
    """Record what the pilot says is set in the box; keys as in a readback."""
    if not values:
        raise UsageError("nothing is said", "write steering_scheme=3 thruster_map=1 trim.heave=0.1")
    return append(logbook, record, "setup", by, {"values": dict(values)}, at=at)


def log_readback(
    logbook: Logbook, record: Record, readback: Mapping[str, Any], *, by: str, at: str | None = None
) -> Written:
    """Record what the surface box says it holds; `in_use` and `stored` keyed alike."""
    return append(logbook, record, "readback", by, dict(readback), at=at)


def log_reading(
    logbook: Logbook,
    record: Record,
    reading: str,
    values: Mapping[str, float],
    *,
    by: str,
    source: str = "measured",
    at: str | None = None,
) -> Written:
    """Record a reading (clamp meter, gauge, load step) with its values, each with its unit in the name."""
    require_word("source", source, SOURCES)
    for name, value in values.items():
        if (name in DEMANDS or name.startswith("channel-")) and not -1.0 <= value <= 1.0:
            raise UsageError(
                f"{name} is {value:g}",
                f"a demand beside a reading is a share of full demand between -1 and 1: {name}=0.5",
            )
    return append(
        logbook, record, "reading", by, {"reading": reading, "values": dict(values), "source": source}, at=at
    )


def log_fault(
    logbook: Logbook,
    record: Record,
    symptom: str,
    *,
    by: str,
    part: str | None = None,
    text: str | None = None,
    at: str | None = None,
) -> tuple[Written, CommitOutcome]:
    """Record a fault; it is a milestone, so it is committed at once."""
    written = append(logbook, record, "fault", by, {"symptom": symptom, "part": part, "text": text}, at=at)
    return written, commit_record(logbook, record.id, f"Fault on {record.id}: {symptom}", by, at)


def log(
    logbook: Logbook,
    record: Record,
    kind: str,
    fields: Mapping[str, Any],
    *,
    by: str,
    at: str | None = None,
    clock: str | None = None,
) -> Written:
    """Record an entry whose fields need no more than their schema's check (note, crew, place, fitted …)."""
    return append(logbook, record, kind, by, fields, at=at, clock=clock)


def correct(
    logbook: Logbook,
    record: Record,
    entry: str,
    changes: Mapping[str, Any],
    *,
    by: str,
    reason: str,
    at: str | None = None,
) -> Written:
    """Correct an entry by a further one: what it names stays in the file, the fold shows the new fields.

    An answer whose values are corrected is judged anew.
    """
    from rovlog.usecases.judge_anew import judged_anew

    require_text("reason", reason)
    matches = [e for e in record.entries if e.id == entry or str(e.n) == entry]
    if len(matches) != 1:
        raise UsageError(
            f"{record.id} has {'no' if not matches else 'more than one'} entry {entry!r}",
            "name it by its number or id: rovlog dive show DIVE lists them",
        )
    refused = sorted(set(changes) & {"id", "kind", "n", "mono_s"})
    if refused:
        raise UsageError(
            f"a correction cannot set {refused[0]}", "correct other fields, or write a new entry"
        )
    if not changes:
        raise UsageError("nothing is corrected", "give FIELD=VALUE")
    changes = {**changes, **judged_anew(logbook, record, matches[0], changes)}
    _refuse_misfit(logbook, record, matches[0], changes)
    fields = {"corrects": matches[0].id, "set": dict(changes), "reason": reason}
    return append(logbook, record, "correction", by, fields, at=at)


def _refuse_misfit(logbook: Logbook, record: Record, entry: Entry, changes: Mapping[str, Any]) -> None:
    """Raise UsageError where the entry would no longer be one of its kind."""
    from rovlog.documents.misfits import misfit, row_of

    if "by" in changes:
        logbook.person(str(changes["by"]))
    wrong = misfit({**row_of(entry), **changes}, record.kind, logbook.book.shipped.schemas())
    if wrong:
        raise UsageError(f"not recorded: corrected so, {wrong}", "correct it to what such an entry may hold")


def close(
    logbook: Logbook,
    record: Record,
    *,
    by: str,
    text: str | None = None,
    at: str | None = None,
    clock: str | None = None,
) -> tuple[Written, CommitOutcome]:
    """Close the record: names for each part how far it is covered, with a digest of those lines."""
    from rovlog.documents.records import covers_digest, read_part

    fresh = logbook.record(record.id)
    covers = {}
    for part in fresh.parts:
        upto = max((e.n for e in part.entries), default=0)
        data = logbook.book.files.read(part.file)
        covers[part.writer] = {"upto": upto, "sha256": covers_digest(read_part(data, part.file), upto)}
    written = append(logbook, fresh, "close", by, {"covers": covers, "text": text}, at=at, clock=clock)
    what = "dive" if record.kind == "dive" else "work"
    return written, commit_record(logbook, record.id, f"Close {what} {record.id}", by, at)


def _box_notes(logbook: Logbook, now: Named, record: str) -> tuple[str, ...]:
    """One surface box in two open dives is worth a word: it can hold one vehicle's setup only."""
    box = now.resolved["control_box"]["box"]
    others = []
    for other in logbook.records(kinds=("dive",)):
        if other.is_closed or other.id == record or other.vehicle not in logbook.vehicles():
            continue
        if logbook.vehicle(other.vehicle).get("control_box", {}).get("box") == box:
            others.append(other.id)
    return tuple(f"the box {box} is in another open dive too: {o}" for o in others)
