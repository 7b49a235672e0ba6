"""Drift: what was approved, what the files say, what the box says, what the pilot says, side by side."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import datetime
from typing import TYPE_CHECKING, Any

from rovlog.domain.dive import Entry, Record
from rovlog.usecases.approvals import InForce
from rovlog.usecases.configurations import Named, start_configuration, working
from rovlog.usecases.logbook import Logbook, start_order
from rovlog.usecases.times import instant
from rovlog.values import dataclass

if TYPE_CHECKING:
    from rovlog.domain.drift.compare import DriftReport, Waiver
    from rovlog.domain.drift.reach import Physics
    from rovlog.domain.drift.statements import Readback


@dataclass(frozen=True, slots=True)
class Drift:
    """One comparison: whose, which baseline, and where each side's word comes from."""

    vehicle: str
    record: Record | None
    in_force: InForce
    working: Named
    report: DriftReport
    readback: Readback | None
    readback_in: str
    logged: Mapping[str, Any] | None
    notes: tuple[str, ...] = ()


def compare_drift(logbook: Logbook, name: str, *, with_effects: bool = True) -> Drift:
    """Drift of a vehicle now, or of a dive: as it started, with what box and pilot said in it.

    For a vehicle its open dive speaks, or its open work, if there is one, else the last word of its
    box. Raises UsageError for an unknown name, and where two dives of the vehicle are open.
    """
    if name in logbook.vehicles():
        from rovlog.usecases.recording import open_dive

        current = open_dive(logbook, name)
        if current is None:
            work = [r for r in logbook.records(name, ("work",)) if not r.is_closed]
            current = work[-1] if work else None
        return drift_of(logbook, name, current, with_effects=with_effects)
    record = _record_named(logbook, name)
    if not record.vehicle:
        from rovlog.problems import UsageError

        raise UsageError(f"{name} is work on a box", "name a vehicle or a dive")
    return drift_of(logbook, record.vehicle, record, with_effects=with_effects)


def _record_named(logbook: Logbook, name: str) -> Record:
    """The dive or work of this id; what is neither is taken for a vehicle where it is like one."""
    from rovlog.domain.nearest import nearest, nearest_mend
    from rovlog.problems import UsageError

    try:
        return logbook.record(name)
    except UsageError:
        vehicles = logbook.vehicles()
        if nearest(name, vehicles) is None:
            raise
        raise UsageError(f"there is no vehicle or dive {name!r}", nearest_mend(name, vehicles)) from None


def drift_of(logbook: Logbook, vehicle: str, record: Record | None, *, with_effects: bool = True) -> Drift:
    """The comparison for one vehicle, seen from one of its records where given."""
    from rovlog.domain.drift.compare import TRIM_TOLERANCE, compare
    from rovlog.domain.drift.tables import box_tables

    now = working(logbook, vehicle)
    force = logbook.in_force(vehicle)
    baseline: Mapping[str, Any] | None = force.approval.configuration if force.approval else None
    working_object: Mapping[str, Any] = now.resolved
    notes: list[str] = []
    if record is not None and record.is_closed:
        # A closed dive is compared with what was in force when it flew, not with today's files.
        flown = start_configuration(logbook, record)
        approvals = {a.digest: a for a in logbook.approvals(vehicle)}
        start = next(iter(record.of_kind("start")), None)
        held = approvals.get(str(start.fields.get("baseline"))) if start else None
        if flown is not None:
            working_object = flown
            baseline = held.configuration if held else None
            force = InForce(held, "" if held else "no baseline was in force when it started")
    box = working_object["control_box"]["box"]
    found = latest_readback(logbook, box, vehicle, record)
    logged = pilots_word(record) if record is not None else None
    if logged is None and record is not None:
        notes += left_behind(logbook, record)
    tables = None
    name = f"boxes/{found[0].box if found else box}.yaml"
    if logbook.book.files.exists(name):
        tables = box_tables(logbook.document(name))
    tolerance = float(logbook.settings().policy.get("trim_tolerance", TRIM_TOLERANCE))
    waivers = tuple(waivers_in_force(logbook, vehicle, record))

    def compared(physics: Physics | None) -> DriftReport:
        read = found[0] if found else None
        return compare(
            baseline, working_object, read, logged, tables,
            physics=physics, trim_tolerance=tolerance, waivers=waivers,
        )  # fmt: skip

    report = compared(None)
    if with_effects and report.deviations:
        # What differences do is computed only where there are any: it costs many times the comparison.
        from rovlog.usecases.physics import bound_physics

        report = compared(bound_physics())
    return Drift(
        vehicle,
        record,
        force,
        now,
        report,
        found[0] if found else None,
        found[1] if found else "",
        logged,
        tuple(notes),
    )


def pilots_word(record: Record) -> dict[str, Any] | None:
    """What the pilot says is set in this record: statements merged in order, later trims laid over them."""
    from rovlog.domain.drift.statements import merged_statements

    said: dict[str, Any] | None = None
    for entry in record.of_kind("setup", "trim"):
        word = (
            dict(entry.fields.get("values") or {})
            if entry.kind == "setup"
            else {"trim": entry.fields.get("trim", {})}
        )
        said = merged_statements(said or {}, word)
    return said


def left_behind(logbook: Logbook, record: Record) -> list[str]:
    """A trim that the pilot of the vehicle's last dive set and that nothing says was put back."""

    def before() -> list[Record]:
        begun = start_order(record.started)
        dives = [r for r in logbook.records(record.vehicle, ("dive",)) if r.id != record.id]
        return [r for r in dives if start_order(r.started) < begun][-1:]

    earlier = logbook.of_others("dive before", record.id, before)
    if not earlier:
        return []
    from rovlog.domain.checks.waters import water_of, water_words
    from rovlog.domain.drift.words import trim_words

    last = earlier[-1]
    trims = [t for t in last.of_kind("trim") if t.fields.get("trim")]
    if not trims:
        return []
    said = dict((pilots_word(last) or {}).get("trim", {}))
    words = ", ".join(trim_words(d, float(s)) for d, s in said.items())
    found_in, here = water_of(last, trims[-1]), water_of(record)
    where = f" in {water_words(found_in)}" if found_in else ""
    notes = [f"on {last.id} the pilot left {words}{where}; nothing here says what is set now"]
    if found_in and here and found_in.get("kind") != here.get("kind"):
        waters = f"in {water_words(found_in)}; this dive is in {water_words(here)}"
        notes.append(f"that trim was found {waters}: find it anew")
    return notes


def latest_readback(
    logbook: Logbook, box: str, vehicle: str, record: Record | None
) -> tuple[Readback, str] | None:
    """The last word of this box and the record it stands in, with why it is stale where it is.

    It is stale once the box was powered off, set, or used with another vehicle. With a closed record,
    only what was known up to that record's end counts.
    """
    from rovlog.domain.drift.statements import Readback

    seen = _seen_of_box(logbook, box, record)
    if record is not None and record.is_closed:
        end = _moment(record.entries[-1].at) if record.entries else None
        seen = [(r, e) for r, e in seen if r.id == record.id or end is None or (_moment(e.at) or end) <= end]
    last: tuple[Record, Entry] | None = None
    stale: str | None = None
    for one, entry in seen:
        if entry.kind == "readback" and entry.fields.get("box") == box:
            last, stale = (one, entry), None
        elif last is not None and stale is None:
            stale = _staling(last, one, entry, vehicle)
    if last is None:
        return None
    if stale is None:
        stale = _staled_in_its_record(last, vehicle)
    if stale is None and record is not None and last[0].id != record.id:
        stale = f"it was read in {last[0].id}, not in this one"
    fields = last[1].fields
    return (
        Readback(
            box=str(fields.get("box", box)),
            firmware=str(fields.get("firmware", "")),
            in_use=dict(fields.get("in_use") or {}),
            stored=dict(fields["stored"]) if fields.get("stored") else None,
            stale=stale,
            at=last[1].at,
        ),
        last[0].id,
    )


TOLD_OF_BOX = ("readback", "mark", "event", "start", "close")


def _seen_of_box(logbook: Logbook, box: str, record: Record | None) -> list[tuple[Record, Entry]]:
    """What counts of a box's past, in order of time: from the last readback outside this record on, and
    whatever was written since this record began."""

    def of_others() -> list[tuple[Record, Entry]]:
        rows = [
            (one, e)
            for one in _records_of_box(logbook, box)
            if record is None or one.id != record.id
            for e in one.entries
            if e.kind in TOLD_OF_BOX
        ]
        rows.sort(key=_by_time)
        if record is None or record.is_closed:
            return rows
        read = [i for i, (_, e) in enumerate(rows) if e.kind == "readback" and e.fields.get("box") == box]
        begun = min((_stamp(e.at) for e in record.entries), default=0.0)
        since = next((i for i, (_, e) in enumerate(rows) if _stamp(e.at) >= begun), len(rows))
        return rows[min(read[-1] if read else since, since) :]

    vehicles = tuple(v for v in logbook.vehicles() if _box_of(logbook, v) == box)
    key = ("box", box, vehicles, record is not None and record.is_closed)
    rows = list(logbook.of_others(key, record.id if record else "", of_others))
    if record is not None and _speaks_of_box(logbook, record, box):
        rows += [(record, e) for e in record.entries if e.kind in TOLD_OF_BOX]
        rows.sort(key=_by_time)
    return rows


def _by_time(row: tuple[Record, Entry]) -> tuple[float, int]:
    return _stamp(row[1].at), row[1].n


def _staled_in_its_record(last: tuple[Record, Entry], vehicle: str) -> str | None:
    """The same by the order of the record's own entries, which a clock that was set back does not change.

    What was written down from memory happened when it says, not where it stands.
    """
    one, readback = last
    for entry in one.entries[one.entries.index(readback) + 1 :]:
        stale = _staling(last, one, entry, vehicle)
        if stale is not None and entry.fields.get("clock") != "memory":
            return stale
    return None


def _staling(last: tuple[Record, Entry], one: Record, entry: Entry, vehicle: str) -> str | None:
    if entry.kind == "mark" and entry.fields.get("mark") == "power-off":
        return f"the box was powered off at {_day_and_time(entry)}"
    if entry.kind == "event" and entry.fields.get("event") == "box-changed":
        return f"the box's setup was changed at {_day_and_time(entry)}"
    if entry.kind == "start" and one.vehicle and one.vehicle != vehicle:
        return f"the box was used with {one.vehicle} since"
    if one.id == last[0].id and entry.kind == "close":
        return f"{one.id} is closed, and nobody says the box stayed on"
    return None


def _records_of_box(logbook: Logbook, box: str) -> Iterable[Record]:
    """Records in which this box spoke or was used, oldest first."""
    vehicles = [v for v in logbook.vehicles() if _box_of(logbook, v) == box]
    for record in logbook.records():
        if record.box == box or record.vehicle in vehicles or _was_read(record, box):
            yield record


def _was_read(record: Record, box: str) -> bool:
    return any(e.fields.get("box") == box for e in record.of_kind("readback"))


def _speaks_of_box(logbook: Logbook, record: Record, box: str) -> bool:
    is_of_vehicle = bool(record.vehicle) and _box_of(logbook, record.vehicle) == box
    return record.box == box or is_of_vehicle or _was_read(record, box)


def _box_of(logbook: Logbook, vehicle: str) -> str:
    from rovlog.problems import RovlogError

    try:
        return str(logbook.vehicle(vehicle)["control_box"]["box"])
    except RovlogError:
        # Another vehicle's broken file is that vehicle's problem, not this one's.
        return ""


def waivers_in_force(logbook: Logbook, vehicle: str, record: Record | None) -> list[Waiver]:
    """Waivers on deviations that still hold: of this record, and dated ones of earlier records."""
    from rovlog.domain.drift.compare import Waiver

    is_over = record is not None and record.is_closed and bool(record.entries)
    now = instant(record.entries[-1].at if record is not None and is_over else logbook.book.clock.now())
    found = []
    for is_here, entry in waivers_on_record(logbook, vehicle, record):
        pointer = entry.fields.get("pointer")
        if pointer is None:
            continue
        until = str(entry.fields.get("until", "dive"))
        if is_here or is_dated_in_force(until, now):
            found.append(Waiver(str(pointer), str(entry.fields.get("reason", "")), entry.by, until))
    return found


def waivers_on_record(logbook: Logbook, vehicle: str, record: Record | None) -> list[tuple[bool, Entry]]:
    """Every waiver of a vehicle, oldest first; True beside those of this record."""

    def of_others() -> list[Entry]:
        others = [r for r in logbook.records(vehicle) if record is None or r.id != record.id]
        return [e for r in others for e in r.of_kind("waiver")]

    rows = logbook.of_others(("waivers", vehicle), record.id if record else "", of_others)
    mine = record.of_kind("waiver") if record is not None else ()
    return [*((False, e) for e in rows), *((True, e) for e in mine)]


def is_dated_in_force(until: str, now: datetime | None) -> bool:
    """True while a waiver with a time or day has not run out; `dive` and words hold in their record only."""
    if now is None:
        return False
    ends = instant(until)
    if ends is None and len(until) == 10:
        ends = instant(
            f"{until}T23:59:59{now.strftime('%z')[:3]}:{now.strftime('%z')[3:]}"
            if now.utcoffset()
            else f"{until}T23:59:59Z"
        )
    return ends is not None and now <= ends


def _moment(at: str) -> datetime | None:
    return instant(at)


def _stamp(at: str) -> float:
    moment = instant(at)
    return moment.timestamp() if moment else 0.0


def _day_and_time(entry: Entry) -> str:
    """With its day: a box may lie on the shelf for weeks."""
    return entry.at[:16].replace("T", " ")
