"""What is done about a fault, in the place Audit: its stages, where else it was, and the next experiment."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rovlog.faces.screens.audit_deeds import AuditDeeds
from rovlog.faces.screens.desk import Desk
from rovlog.faces.screens.dialogs import Blank, Form
from rovlog.faces.screens.start_forms import started_in

if TYPE_CHECKING:
    from rovlog.faces.screens.desk import InHand
    from rovlog.usecases.run_experiment import ExperimentPlan


class AuditCases(AuditDeeds):
    """Answered on a page each, in the command line's words; an experiment is started from a form."""

    def deed_faults(self) -> None:
        """Every fault of the vehicle with its stage, and what is missing to close it."""
        vehicle = self.vehicle

        def job(desk: Desk) -> str:
            from rovlog.faces.reports.faults_text import faults_text
            from rovlog.usecases.fault_cases import list_faults

            return faults_text(list_faults(desk.logbook, vehicle).cases, desk.logbook.person_name)

        self.page(f"Faults of {vehicle}", job)

    def deed_recurrence(self) -> None:
        """Where else the picked fault's symptom was, and whether what was done held."""
        symptom, vehicle = self.symptom(), self.vehicle
        if symptom is None:
            self.rov.tell_trouble("pick a fault first")
            return

        def job(desk: Desk) -> str:
            from rovlog.faces.reports.faults_text import recurrence_text
            from rovlog.usecases.find_recurrence import find_recurrence

            return recurrence_text(
                find_recurrence(desk.logbook, vehicle, symptom).found, desk.logbook.person_name
            )

        self.page(f"{symptom} elsewhere", job)

    def deed_experiment(self) -> None:
        """The next experiment for the picked fault: a form says the single change, and starts it."""
        symptom, vehicle, hand = self.symptom(), self.vehicle, self.hand
        if hand is None:
            return
        people = tuple(hand.people or {})

        def job(desk: Desk) -> ExperimentPlan:
            from rovlog.usecases.run_experiment import plan_experiment

            return plan_experiment(desk.logbook, vehicle, symptom)

        def start(values: dict[str, str], form: Form) -> None:
            def begin(desk: Desk) -> InHand:
                from rovlog.usecases.run_experiment import start_experiment

                found = start_experiment(desk.logbook, vehicle, symptom, by=values["by"])
                return desk.take(found.record)

            started_in(self.rov, form, begin)

        def done(plan: ExperimentPlan) -> None:
            blank = Blank("by", "started by", self.answering() or (people[0] if people else ""), people)
            self.app.push_screen(Form(f"Next experiment: {plan.experiment.text}", (blank,), start))

        self.do(job, done)
