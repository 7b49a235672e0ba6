"""`rovlog audit faults | recurrence | experiment`: what is done about a fault, and whether it held."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Iterable
from typing import TYPE_CHECKING

from rovlog.faces.cli.context import Context, Status
from rovlog.faces.cli.parser import example, pair
from rovlog.faces.cli.record_frame import once, tell_commit

if TYPE_CHECKING:
    from argparse import _SubParsersAction

    from rovlog.faces.cli.parser import CommandParser
    from rovlog.usecases.run_experiment import ExperimentPlan

FAULTS = """Every fault with its stage, derived from the entries: reported, verified by a function test,
cause, action, proof (what it voided redone), closed (released to service, and watched as long as was said).
Below each: what is missing to close it, and the evidence with who holds it."""

RECURRENCE = """Looks in every record of the team for the symptom, and says what those dives had in common
with this fault: the same part, thruster model, box, firmware, scheme or map; then every corrective action
for it, and whether it held since."""

EXPERIMENT = """The single change whose return is expected to tell most, with its prediction. With --start a
work record begins that holds its steps as a list, answered with rovlog work tick VEHICLE EX1 and so
on; the list after a fault is walked in the same record."""


def add_case_commands(commands: _SubParsersAction[CommandParser]) -> None:
    """faults, recurrence, experiment."""
    faults = commands.add_parser(
        "faults",
        help="every fault with its stage, and what is missing to close it",
        description=FAULTS,
        epilog=example("rovlog audit faults --vehicle grebe"),
    )
    faults.add_argument("--vehicle", metavar="VEHICLE|BOX", help="default: every vehicle and box")
    faults.set_defaults(run=run_faults)
    again = commands.add_parser(
        "recurrence",
        help="the same symptom elsewhere, and whether what was done held",
        description=RECURRENCE,
        epilog=example("rovlog audit recurrence --vehicle grebe --symptom yaw-dead"),
    )
    again.add_argument(
        "--vehicle", required=True, metavar="VEHICLE", help="whose last fault with it is looked at"
    )
    again.add_argument("--symptom", required=True, help="the fault's symptom, as yaw-dead")
    again.set_defaults(run=run_recurrence)
    experiment = commands.add_parser(
        "experiment",
        help="the next experiment, and its start as a checklist",
        description=EXPERIMENT,
        epilog=example("rovlog audit experiment --vehicle grebe --symptom yaw-dead"),
    )
    experiment.add_argument("--vehicle", required=True, metavar="VEHICLE", help="the vehicle with the fault")
    experiment.add_argument("--symptom", help="default: any fault")
    experiment.add_argument("--start", action="store_true", help="start a work record with its steps")
    experiment.add_argument("--by", metavar="PERSON", help="who starts it")
    experiment.add_argument(
        "--crew",
        nargs="+",
        type=pair,
        action="extend",
        default=[],
        metavar="ROLE=PERSON",
        help="who is there",
    )
    experiment.set_defaults(run=run_experiment)


def tell_notes(context: Context, notes: Iterable[str]) -> None:
    """Say on standard error what could not be used, or not as it stands."""
    for note in notes_said(notes):
        context.note(note)


def notes_said(notes: Iterable[str]) -> list[str]:
    """The same as it is said, a line each."""
    from rovlog.faces.reports.plain import clean

    return [f"note: {clean(note)}" for note in notes]


def run_faults(args: Namespace, context: Context) -> int:
    """List the faults with their stages."""
    from rovlog.faces.reports.faults_text import faults_data, faults_text
    from rovlog.usecases.fault_cases import list_faults
    from rovlog.usecases.logbook import Logbook

    logbook = Logbook(context.book())
    found = list_faults(logbook, args.vehicle)
    data = {"faults": faults_data(found.cases), "notes": list(found.notes)}
    context.show(data, faults_text(found.cases, logbook.person_name))
    tell_notes(context, found.notes)
    return Status.FINE


def run_recurrence(args: Namespace, context: Context) -> int:
    """Say where else the symptom was."""
    from rovlog.faces.reports.faults_text import recurrence_data, recurrence_text
    from rovlog.usecases.find_recurrence import find_recurrence
    from rovlog.usecases.logbook import Logbook

    logbook = Logbook(context.book())
    found = find_recurrence(logbook, args.vehicle, args.symptom)
    data = {"vehicle": args.vehicle, **recurrence_data(found.found), "notes": list(found.notes)}
    context.show(data, recurrence_text(found.found, logbook.person_name))
    tell_notes(context, found.notes)
    return Status.FINE


def run_experiment(args: Namespace, context: Context) -> int:
    """Say the next experiment; start it as work where asked."""
    from rovlog.faces.reports.experiment_text import experiment_data, experiment_text, started_words
    from rovlog.problems import UsageError
    from rovlog.usecases.dive_state import dive_state
    from rovlog.usecases.logbook import Logbook
    from rovlog.usecases.quarantine_guide import quarantine_guide
    from rovlog.usecases.run_experiment import plan_experiment, start_experiment

    logbook = Logbook(context.book())
    if not args.start:
        plan: ExperimentPlan = plan_experiment(logbook, args.vehicle, args.symptom)
        context.show(experiment_data(plan, None), experiment_text(plan))
        tell_notes(context, plan.notes)
        return Status.FINE
    if args.by is None:
        raise UsageError("an experiment is started by somebody", "add --by PERSON")
    started = start_experiment(logbook, args.vehicle, args.symptom, by=args.by, crew=once(args.crew))
    guide = quarantine_guide(dive_state(logbook, logbook.record(started.record)))
    text = experiment_text(started.plan) + started_words(started.record, guide, logbook.person_name)
    context.show(experiment_data(started.plan, started.record), text)
    tell_notes(context, started.plan.notes)
    tell_commit(context, started.commit)
    return Status.FINE
