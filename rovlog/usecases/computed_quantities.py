"""The computed quantities that checklists name, for one record as it stands.

What depends on the configuration and the water alone is kept by digest, so that showing a dive costs
no computation twice, nor the import of what computes it.
"""

from __future__ import annotations

import json
import math
from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime
from typing import TYPE_CHECKING, Any

from rovlog.domain.dive import Record
from rovlog.domain.findings import Finding
from rovlog.problems import RovlogError
from rovlog.usecases.configurations import Named
from rovlog.usecases.logbook import Logbook
from rovlog.values import asdict

if TYPE_CHECKING:
    from rovlog.domain.checks.walk import Fold
    from rovlog.domain.diagnosis.function_test import PushName
    from rovlog.usecases.compare_drift import Drift

COMPUTED_FORMAT = "5"
"""Part of every cache key: raise it when what is kept, or how it is computed, changes."""

Quantities = dict[str, float | None]

STICK = "worst_case_stick:"
"""Before a control's name: where it stands in the manoeuvre that draws the most. No limit names it."""


def configuration_quantities(
    logbook: Logbook, named: Named, water: Mapping[str, Any] | None, depth_m: float | None
) -> tuple[Quantities, tuple[Finding, ...]]:
    """Quantities and findings that follow from a configuration, a water and a depth. Kept by digest.

    What cannot be computed is None; a configuration that cannot be computed at all has one finding.
    """
    from rovlog import __version__

    where = json.dumps([dict(water) if water else None, depth_m], sort_keys=True)
    key = f"computed:{COMPUTED_FORMAT}:{__version__}:{named.digest}:{where}"
    known = logbook.book.cache.get_many([key]).get(key)
    if known is not None:
        values, rows = json.loads(known)
        return values, tuple(Finding(**row) for row in rows)
    values, findings = _compute(named, water, depth_m)
    logbook.book.cache.put_many({key: json.dumps([values, [asdict(f) for f in findings]]).encode()})
    return values, findings


def _compute(
    named: Named, water: Mapping[str, Any] | None, depth_m: float | None
) -> tuple[Quantities, tuple[Finding, ...]]:
    from rovlog.domain.checks.computed import COMPUTED

    values: Quantities = dict.fromkeys(COMPUTED)
    try:
        configuration = named.configuration
        found, findings = _all_values(configuration, water, depth_m)
    except RovlogError as error:
        finding = Finding(
            "cannot-be-computed",
            "stops",
            f"the configuration cannot be computed: {error.message}",
            clears=error.mend,
        )
        return values, (finding,)
    is_kept = {*values, *(k for k in found if k.startswith(STICK))}
    values.update({k: v for k, v in found.items() if k in is_kept and (v is None or math.isfinite(v))})
    return values, findings


def _all_values(
    configuration: Any, water: Mapping[str, Any] | None, depth_m: float | None
) -> tuple[Quantities, tuple[Finding, ...]]:
    from rovlog.domain.checks.defaults import LIMITS
    from rovlog.domain.diagnosis.function_test import driven_ends
    from rovlog.domain.hydrostatics.righting import righting
    from rovlog.domain.hydrostatics.rise import rise
    from rovlog.usecases.compute_budget import WaterGiven, compute_budget, computed_values
    from rovlog.usecases.find_findings import configuration_findings
    from rovlog.usecases.water_effects import approval_water_findings
    from rovlog.usecases.water_spec import recorded_salinity

    given = None
    salinity = recorded_salinity(water) if water is not None else None
    if water is not None and salinity is not None:
        given = WaterGiven(float(water["temperature_c"]), salinity, depth_m or 0.0)
    budget = compute_budget(configuration, given)
    values: Quantities = dict(computed_values(budget))
    findings = [*configuration_findings(configuration, budget.electrics)]

    def limit(name: str) -> float:
        value = configuration.limits.get(name, LIMITS[name].value)
        return float(value) if value is not None else 0.0

    mass = configuration.hull.mass_kg
    tether = configuration.electrical.tether
    capacity = configuration.electrical.supply.capacity_ah
    density = budget.buoyancy.density_kg_m3 if budget.buoyancy else 998.2
    upright = righting(configuration, density)
    values |= {STICK + control: position for control, position in budget.electrics.worst.sticks.items()}
    values |= {
        "thrusters_fitted": float(len(configuration.thrusters)),
        "lift_people": float(math.ceil(mass / limit("lift_kg_each"))) if limit("lift_kg_each") else None,
        "tether_reach_m": tether.length_m * (1.0 - limit("tether_slack_share")),
        "least_capacity_ah": capacity * limit("capacity_share") if capacity else None,
        "direction_pushes": float(len(driven_ends(configuration))),
        "tether_lift_n": mass * 9.80665,
        "still_pitch_deg": upright.rest_pitch_deg if upright else None,
        "still_roll_deg": upright.rest_roll_deg if upright else None,
        "depth_margin_m": None,
    }
    if budget.buoyancy is None:
        findings += approval_water_findings(configuration)
    else:
        from rovlog.domain.hydrostatics.findings import water_findings

        findings += water_findings(configuration, budget.buoyancy, budget.pressure, upright)
        values["density_kg_m3"] = budget.buoyancy.density_kg_m3
        values["net_up_n"] = budget.buoyancy.net_up_n
        at_one_metre = rise(configuration, budget.buoyancy.density_kg_m3, budget.buoyancy.hull_up_n, 1.0)
        values["rise_time_s"] = at_one_metre.rise_time_s
        if budget.pressure is not None:
            values["depth_margin_m"] = budget.pressure.depth_margin_m
    return values, tuple(findings)


def record_quantities(logbook: Logbook, record: Record, fold: Fold, drift: Drift | None) -> Quantities:
    """Quantities that follow from what was recorded: readbacks, observations, faults, waivers, hours."""
    from rovlog.domain.axes import DEMANDS
    from rovlog.domain.drift.statements import CODES

    values: Quantities = {
        "open_faults": float(len(fold.faults)),
        "voided_open": float(len({name for f in fold.faults for name in f.left})),
        "running_hours_h": round(running_here_s(record, fold.now) / 3600.0, 3),
    }
    if drift is not None:
        force = drift.in_force.approval
        values["baseline_revision"] = float(force.revision) if force else None
        fresh = drift.readback is not None and drift.readback.stale is None
        values["setup_differences"] = (
            float(sum(d.stops_dive for d in drift.report.deviations)) if fresh else None
        )
        if fresh and drift.readback is not None:
            in_use = drift.readback.in_use
            trims = dict(in_use.get("trim") or {})
            values |= {f"readback_trim_{d}": float(trims.get(d, 0.0)) for d in DEMANDS}
            values |= {f"readback_{c}": float(in_use[c]) for c in CODES if c in in_use}
        values["open_waivers"] = float(sum(d.waived for d in drift.report.deviations))
    values["readback_changes"] = _readback_changes(record)
    values |= _watched(logbook, record)
    values |= _vacuum_limits(logbook, record, fold.resolved)
    if fold.faults:
        values["evidence_files"] = float(_evidence_files(logbook, record, fold))
        values["changes_since_good"] = _changes_since_good(logbook, record, fold.faults[0].symptom)
    return values


def running_here_s(record: Record, now: datetime | None) -> float:
    """Seconds from power on to power off in this record alone; what is still on counts up to `now`."""
    from rovlog.usecases.times import instant

    total, since = 0.0, None
    for entry in record.of_kind("mark"):
        at, which = instant(entry.at), entry.fields.get("mark")
        if which == "power-on":
            since = since or at
        elif which == "power-off" and since is not None and at is not None:
            total, since = total + max(0.0, (at - since).total_seconds()), None
    if since is not None and now is not None:
        total += max(0.0, (now - since).total_seconds())
    return total


def _readback_changes(record: Record) -> float | None:
    """How many values of the last readback differ from the first of this record; None with fewer than two."""
    from rovlog.domain.checks.happenings import flat

    read = record.of_kind("readback")
    if len(read) < 2:
        return None
    first = flat(dict(read[0].fields.get("in_use") or {}))
    last = flat(dict(read[-1].fields.get("in_use") or {}))
    return float(sum(first.get(k) != last.get(k) for k in {*first, *last}))


def _watched(logbook: Logbook, record: Record) -> Quantities:
    """What the function test holds since it was last voided: pushes watched, in all and in water, and the
    reports of thrusters unlike the prediction (None without any)."""
    if not record.of_kind("observation"):
        return {"direction_pushes_seen": 0.0, "water_pushes_seen": 0.0, "direction_mismatches": None}
    from rovlog.domain.checks.watched_pushes import since_voided, watched
    from rovlog.usecases.fold_record import check_policy
    from rovlog.usecases.predict_push import Predictions

    observed = since_voided(record, check_policy(logbook))
    predictions = Predictions(logbook)
    counts = [predictions.mismatches(record, e) for e in observed]
    known = [c for c in counts if c is not None]
    listed = _listed(logbook, record)
    return {
        "direction_pushes_seen": float(len(watched(observed) & listed)),
        "water_pushes_seen": float(len(watched(observed, "wet") & listed)),
        "direction_mismatches": float(sum(known)) if known else None,
    }


def _listed(logbook: Logbook, record: Record) -> frozenset[PushName]:
    """The pushes of the whole test, for what the record flies; () where that cannot be told."""
    from rovlog.domain.diagnosis.function_test import driven_ends, name_of
    from rovlog.usecases.function_test import flown_configuration

    try:
        configuration = flown_configuration(logbook, record)
    except RovlogError:
        # What it flies is not known: then no push can be said to be one of its test.
        return frozenset()
    names = (name_of({control: end}) for control, end in driven_ends(configuration))
    return frozenset(name for name in names if name is not None)


def _vacuum_limits(logbook: Logbook, record: Record, resolved: Mapping[str, Any]) -> Quantities:
    """The limit of the whole vehicle's holds, and of each housing's own where it has several."""
    from itertools import takewhile

    def of_others() -> list[tuple[str, float]]:
        return _rises(takewhile(lambda one: one.id != record.id, logbook.records(record.vehicle)))

    return _limits_after(logbook, logbook.of_others("vacuum rises", record.id, of_others), resolved)


def next_vacuum_limits(logbook: Logbook, vehicle: str, resolved: Mapping[str, Any]) -> Quantities:
    """The limits that the vehicle's next vacuum holds will be judged against."""
    return _limits_after(logbook, _rises(logbook.records(vehicle)), resolved)


def _rises(records: Iterable[Record]) -> list[tuple[str, float]]:
    """The housing and the rise, kPa, of every hold that passed, oldest first."""
    from rovlog.usecases.vacuum_holds import recorded_holds

    return [(hold.housing, hold.rise_kpa) for hold in recorded_holds(records) if hold.has_passed]


def _limits_after(
    logbook: Logbook, rises: Sequence[tuple[str, float]], resolved: Mapping[str, Any]
) -> Quantities:
    from rovlog.domain.checks.computed import of_housing
    from rovlog.domain.checks.defaults import LIMITS
    from rovlog.domain.checks.per_housing import housings_of

    name = "vacuum_rise_limit_kpa"
    limit = float(logbook.settings().policy.get("vacuum_limit_kpa", LIMITS["vacuum_rise_kpa"].value))
    values: Quantities = {name: _vacuum_limit(limit, [rise for _, rise in rises])}
    housings = housings_of(resolved)
    if len(housings) > 1:
        ports = [h for h, row in housings.items() if row.get("vacuum_port")]
        for housing in housings:
            # A hold that does not say of which housing it was is of the only one that can be held.
            names = {housing, ""} if ports == [housing] else {housing}
            own = [rise for of, rise in rises if of in names]
            values[of_housing(name, housing)] = _vacuum_limit(limit, own)
    return values


def _vacuum_limit(limit: float, rises: list[float]) -> float:
    """The lesser of the limit and twice the usual rise of the last five holds, kPa."""
    from statistics import median

    if len(rises) < 2:
        return limit
    # A housing that hardly ever rises would make the limit finer than any gauge: 0.2 kPa is the floor.
    return min(limit, max(0.2, 2.0 * median(rises[-5:])))


def _evidence_files(logbook: Logbook, record: Record, fold: Fold) -> int:
    """Files attached since the first fault that is open, in its record and in later ones up to this."""
    fault = fold.faults[0].moment
    ids = [r.id for r in logbook.records(record.vehicle)]
    if fault.record not in ids or record.id not in ids:
        return 0
    count = 0
    for one in logbook.records(record.vehicle)[ids.index(fault.record) : ids.index(record.id) + 1]:
        since = [e.id for e in one.entries].index(fault.entry.id) if one.id == fault.record else 0
        count += sum(e.kind == "attachment" for e in one.entries[since:])
    return count


def _changes_since_good(logbook: Logbook, record: Record, symptom: str) -> float | None:
    from rovlog.usecases.audit_questions import last_good

    try:
        found = last_good(logbook, record.vehicle, symptom, with_changes=False)
    except RovlogError:
        # Without a dive known to be good there is nothing to count from.
        return None
    since = found.since
    if since is None:
        return None
    return float(len(since.configuration) + len(since.parts) + len(since.happenings))
