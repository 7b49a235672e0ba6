"""A checklist for paper: with the values of a vehicle or of a dive filled in, or blank."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from rovlog.problems import UsageError
from rovlog.usecases.configurations import Named, named, of_approval
from rovlog.usecases.logbook import Logbook
from rovlog.usecases.show_checklists import checklist_document, checklist_values
from rovlog.values import dataclass, field

if TYPE_CHECKING:
    from rovlog.domain.checks.checklist import Checklist
    from rovlog.domain.checks.state import ItemState
    from rovlog.usecases.dive_state import DiveState


@dataclass(frozen=True, slots=True)
class ChecklistReport:
    """One list with what is filled in.

    `vehicle` is the name printed, "" where none was given; `resolved` and `computed` are empty where
    the values are to be written by hand. `codes` is what to type for each item and each group: its
    code where only one has it, else its id. `excused` says which items the configuration takes out,
    and why; `answered` are the items of the dive that are on record already.
    """

    checklist: Checklist
    codes: Mapping[str, str]
    vehicle: str = ""
    digest: str = ""
    revision: int | None = None
    is_blank: bool = True
    departs: bool = False
    resolved: Mapping[str, Any] = field(default_factory=dict)
    computed: Mapping[str, float | None] = field(default_factory=dict)
    excused: Mapping[str, str] = field(default_factory=dict)
    answered: Mapping[str, ItemState] = field(default_factory=dict)
    record: str = ""
    day: str = ""
    site: str = ""
    crew: Mapping[str, str] = field(default_factory=dict)


def report_checklist(
    logbook: Logbook, name: str, *, vehicle: str = "", dive: str = "", is_blank: bool = False
) -> ChecklistReport:
    """A list (`pre-dive`, `pre-dive@<commit>`) as it stands on file, filled from a configuration or a dive.

    A vehicle's name alone is its baseline in force, as on its cards; `grebe@3` and the like is that
    configuration. With `is_blank` the head is filled in and no value is. Raises UsageError for a list
    or a vehicle that does not exist, and where the list is not for that vehicle.
    """
    document = checklist_document(logbook, name)
    if dive:
        return _of_dive(logbook, document, dive, is_blank)
    if not vehicle:
        checklist = checklist_values(document)
        return ChecklistReport(checklist, codes_of(checklist))
    chosen, departs = _in_force(logbook, vehicle)
    checklist = _for(document, chosen.vehicle, chosen.resolved)
    computed, excused = _worked_out(logbook, chosen, checklist)
    return ChecklistReport(
        checklist,
        codes_of(checklist),
        _name_of(logbook, chosen.vehicle),
        chosen.digest,
        chosen.revision,
        is_blank,
        departs,
        {} if is_blank else chosen.resolved,
        {} if is_blank else computed,
        {} if is_blank else excused,
    )


def codes_of(checklist: Checklist) -> dict[str, str]:
    """What to type for each item and group of a list: the code where it is the only one, else the id."""
    found: dict[str, str] = {}
    rows = [(s.section, s.code) for s in checklist.sections]
    rows += [(i.item, i.code) for i in checklist.items()]
    every = [code.casefold() for _, code in rows if code]
    for identity, code in rows:
        found[identity] = code if code and every.count(code.casefold()) == 1 else identity
    return found


def _of_dive(logbook: Logbook, document: dict[str, Any], name: str, is_blank: bool) -> ChecklistReport:
    from rovlog.usecases.dive_state import dive_state
    from rovlog.usecases.recording import find_record

    record = find_record(logbook, name, "dive" if name in logbook.vehicles() else None)
    state = dive_state(logbook, record)
    if not record.vehicle:
        raise UsageError(f"{record.id} is work on a box", "name a dive, or give --vehicle")
    checklist = _for(document, record.vehicle, state.resolved)
    drift = state.drift.in_force.approval if state.drift is not None else None
    is_approved = drift is not None and drift.digest == state.digest
    shown = {} if is_blank else _shown(state, checklist)
    return ChecklistReport(
        checklist,
        codes_of(checklist),
        _name_of(logbook, record.vehicle),
        state.digest,
        drift.revision if drift is not None and is_approved else None,
        is_blank,
        drift is not None and not is_approved,
        {} if is_blank else state.resolved,
        {} if is_blank else state.computed,
        {n: s.reason for n, s in shown.items() if s.state == "not-applicable"},
        {n: s for n, s in shown.items() if s.state in ("answered", "waived", "deferred")},
        record.id,
        record.started[:10],
        state.site,
        {role: logbook.person_name(who) for role, who in state.crew.items()},
    )


def _shown(state: DiveState, checklist: Checklist) -> dict[str, ItemState]:
    return {i.item: state.items[i.item] for i in checklist.items() if i.item in state.items}


def _in_force(logbook: Logbook, name: str) -> tuple[Named, bool]:
    """The configuration of this name, and whether the working files depart from it."""
    chosen = named(logbook, name)
    if name not in logbook.vehicles():
        return chosen, False
    force = logbook.in_force(name)
    if force.approval is None:
        return chosen, False
    return of_approval(logbook, force.approval), force.approval.digest != chosen.digest


def _worked_out(
    logbook: Logbook, chosen: Named, checklist: Checklist
) -> tuple[Mapping[str, float | None], Mapping[str, str]]:
    from rovlog.domain.checks.state import applies
    from rovlog.domain.checks.walk import begin
    from rovlog.usecases.computed_quantities import configuration_quantities, next_vacuum_limits

    found, _ = configuration_quantities(logbook, chosen, None, None)
    computed = {
        **found,
        "baseline_revision": None if chosen.revision is None else float(chosen.revision),
        **next_vacuum_limits(logbook, chosen.vehicle, chosen.resolved),
    }
    fold = begin((checklist,), chosen.resolved)
    # Whether a fault is open is a question for a dive; on paper those steps stay.
    rows = {i.item: applies(i, fold) for i in checklist.items() if i.applies_when and i.applies_when.pointer}
    return computed, {name: why for name, why in rows.items() if why}


def _for(document: dict[str, Any], vehicle: str, resolved: Mapping[str, Any]) -> Checklist:
    """The list as this vehicle has it, with an item for each housing where it asks so."""
    checklist = checklist_values(document, resolved)
    if not checklist.is_for(vehicle):
        raise UsageError(
            f"{checklist.checklist} is not for {vehicle}", "it is for: " + ", ".join(checklist.applies_to)
        )
    return checklist


def _name_of(logbook: Logbook, vehicle: str) -> str:
    from rovlog.usecases.report_dive import vehicle_name

    return vehicle_name(logbook, vehicle)
