"""Comparing two configurations by name: working files, a revision, a commit, or what flew on a dive."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rovlog.faces.screens.desk import Desk
from rovlog.faces.screens.dialogs import Blank, Form
from rovlog.problems import RovlogError

if TYPE_CHECKING:
    from rovlog.faces.screens.app import RovlogApp


def ask_to_compare(app: RovlogApp) -> None:
    """Ask for both names and show what differs, with what each difference does."""
    hand = app.hand
    if hand is None:
        return
    vehicle = hand.vehicle
    approval = hand.drift.in_force.approval if hand.drift else None
    first = f"{vehicle}@{approval.revision}" if approval else vehicle
    hint = f"{vehicle}, {vehicle}@3, {vehicle}@<commit> or a dive"
    blanks = (Blank("a", "from", first, hint=hint), Blank("b", "to", vehicle))

    def keep(values: dict[str, str], form: Form) -> None:
        def job(desk: Desk) -> str:
            from rovlog.faces.reports.vehicle_text import compared_text
            from rovlog.usecases.compare_configurations import compare_configurations

            return compared_text(compare_configurations(desk.logbook, values["a"], values["b"]))

        def done(text: str) -> None:
            form.leave()
            app.read_page(f"{values['a']} and {values['b']}", text)

        def failed(error: RovlogError) -> None:
            form.tell(f"{error.message}; {error.mend}" if error.mend else error.message)

        app.do(job, done, failed)

    app.push_screen(Form("Compare two configurations", blanks, keep))
