"""The next experiment after a fault: one change, its prediction and its test, started as a checklist."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from rovlog.problems import RovlogError, UsageError
from rovlog.usecases.find_suspects import Suspects, find_suspects
from rovlog.usecases.logbook import Logbook
from rovlog.usecases.ports import CommitOutcome
from rovlog.values import dataclass

if TYPE_CHECKING:
    from rovlog.domain.audit.experiment import Experiment
    from rovlog.domain.vehicle import Configuration


@dataclass(frozen=True, slots=True)
class ExperimentPlan:
    """One experiment as steps to be walked in order. `notes` names what of the record could not be used."""

    vehicle: str
    symptom: str | None
    experiment: Experiment
    purpose: str
    steps: tuple[str, ...]
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class StartedExperiment:
    """The work record that holds the steps, and whether its start is in git."""

    plan: ExperimentPlan
    record: str
    commit: CommitOutcome


def plan_experiment(logbook: Logbook, vehicle: str, symptom: str | None = None) -> ExperimentPlan:
    """The single change whose return is expected to tell most, as steps.

    Raises UsageError where nothing that was changed can be put back.
    """
    found = find_suspects(logbook, vehicle, symptom)
    experiment = found.ranking.experiment
    if experiment is None:
        why = found.ranking.certainty[0] if found.ranking.certainty else "no suspect can be put back"
        raise UsageError(
            f"no experiment can be proposed: {why}",
            "do the function test of the list after a fault, and ask: rovlog diagnose",
        )
    purpose = _on_one_line(f"experiment for {symptom or 'any fault'}: {experiment.what}")
    steps = tuple(_on_one_line(s) for s in _steps(logbook, found, experiment, vehicle, symptom))
    return ExperimentPlan(vehicle, symptom, experiment, purpose, steps, found.history.notes)


def start_experiment(
    logbook: Logbook, vehicle: str, symptom: str | None, *, by: str, crew: Mapping[str, str] | None = None
) -> StartedExperiment:
    """Start a work record with the experiment's purpose, and write its steps into it as notes."""
    from rovlog.domain.audit.fault_case import STEP_HEAD
    from rovlog.usecases.dive_steps import start_work
    from rovlog.usecases.recording import Row, append_all

    plan = plan_experiment(logbook, vehicle, symptom)
    started = start_work(logbook, vehicle, by=by, purpose=plan.purpose, crew=crew)
    count = len(plan.steps)
    rows = [
        Row("note", by, {"text": f"{STEP_HEAD}{n} of {count}: {step}"})
        for n, step in enumerate(plan.steps, start=1)
    ]
    append_all(logbook, logbook.record(started.record), rows)
    return StartedExperiment(plan, started.record, started.commit)


def _steps(
    logbook: Logbook, found: Suspects, experiment: Experiment, vehicle: str, symptom: str | None
) -> tuple[str, ...]:
    from rovlog.domain.diagnosis.dry_limits import dry_limits

    is_bench = experiment.where == "bench"
    shown = symptom or "the fault"
    first = "people clear, thruster power isolated; the list after a fault first, as far as its function test"
    if is_bench:
        pushes = _pushes(logbook, found, vehicle, symptom)
        look = f"the same pushes again: {pushes}; write down what every thruster does"
        share = dry_limits(logbook.settings().policy).command_share
        before = f"nothing changed yet, in a tub, or dry at {share:.0%} of command at most: {pushes}"
    else:
        look = "fly as on the faulty dive, nothing else changed; log the fault if it shows"
        before = "nothing else is changed: people, place and setup as on the faulty dive where they can be"
    return (
        first,
        before,
        f"the single change: {experiment.deed}",
        f"prediction: if this is to blame, {shown} shows {experiment.if_to_blame:.0%} of the time after it; "
        f"if it is not, {experiment.if_not:.0%}",
        look,
        "gone: keep it, and approve a revision if anything differs from the record; "
        "still there: put it back as it was, write that down, and ask for the next experiment",
    )


def _pushes(logbook: Logbook, found: Suspects, vehicle: str, symptom: str | None) -> str:
    """The pushes that ask for the symptom's demand, with what every thruster does if all is as approved."""
    from rovlog.domain.allocation.gamepad import CONTROLS
    from rovlog.domain.audit.evidence import demand_of
    from rovlog.usecases.predict_push import predicted_push

    demand = demand_of(symptom)
    known = [f.as_flown.resolved for f in found.history.flights.flights if f.as_flown.resolved is not None]
    if not demand or not known:
        return "every axis both ways"
    try:
        typed = _typed(known[-1])
        controls = sorted({e.control for e in typed.steering_scheme.entries if e.drives == demand})
        said = []
        for control in controls:
            for end in CONTROLS[control].ends:
                if end:
                    seen = predicted_push(known[-1], {control: end})
                    moving = ", ".join(f"{t} {s}" for t, s in seen.items() if s != "still")
                    said.append(f"{CONTROLS[control].words(end)} (as approved {moving or 'all still'})")
    except RovlogError:
        # What flew cannot be computed: the list after a fault asks for every push anyway.
        return "every axis both ways"
    return "; ".join(said) or "every axis both ways"


def _on_one_line(text: str) -> str:
    """A record's words without what no entry may hold: line ends and other control characters."""
    from unicodedata import category

    return "".join(" " if category(c) in ("Cc", "Cs", "Zl", "Zp") else c for c in text)


def _typed(resolved: Mapping[str, Any]) -> Configuration:
    from rovlog.documents.configuration import configuration

    return configuration(resolved)
