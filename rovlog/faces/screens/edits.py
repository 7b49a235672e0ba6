"""Changing one value of the files: first what it does physically is shown, then it is written or left."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rovlog.faces.screens.desk import Desk, InHand
from rovlog.faces.screens.dialogs import Blank, Form, Pick
from rovlog.problems import RovlogError

if TYPE_CHECKING:
    from rovlog.faces.screens.app import RovlogApp
    from rovlog.usecases.edit_configuration import PlannedEdit


def ask_to_edit(app: RovlogApp) -> None:
    """Ask which value, and what it should become; then show the effect and ask whether to write it."""
    hand = app.hand
    if hand is None or not hand.vehicle:
        return
    vehicle = hand.vehicle
    blanks = (
        Blank("pointer", "which value", hint="/thrusters/bow-port/polarity, /trim_defaults/heave …"),
        Blank("value", "what it should become"),
    )

    def keep(values: dict[str, str], form: Form) -> None:
        def job(desk: Desk) -> PlannedEdit:
            from rovlog.usecases.edit_configuration import plan_edit

            return plan_edit(desk.logbook, vehicle, values["pointer"], values["value"])

        def done(planned: PlannedEdit) -> None:
            form.leave()
            _ask_to_write(app, planned)

        def failed(error: RovlogError) -> None:
            form.tell(f"{error.message}; {error.mend}" if error.mend else error.message)

        app.do(job, done, failed)

    app.push_screen(Form(f"Change a value of {vehicle}", blanks, keep))


def _ask_to_write(app: RovlogApp, planned: PlannedEdit) -> None:
    from rovlog.domain.drift.words import place_words, value_words

    if not planned.is_change:
        app.tell("the file says so already")
        return
    was, becomes = value_words(planned.pointer, planned.was), value_words(planned.pointer, planned.becomes)
    note = [f"{planned.file}: {was} becomes {becomes}."]
    if planned.compared.effect is not None:
        note.append(planned.compared.effect.text + ".")
    note += [f"It would stop a dive: {f.text}." for f in planned.stops]
    if planned.also:
        note.append(f"It also changes {', '.join(planned.also)}.")

    def take(index: int) -> None:
        if index == 0:
            app.tell("nothing was written")
            return

        def job(desk: Desk) -> InHand:
            from rovlog.usecases.edit_configuration import write_edit

            write_edit(desk.logbook, planned)
            return desk.look(forget=True)

        def done(hand: InHand) -> None:
            app.show_hand(hand)
            app.place.entered()
            app.tell(f"written to {planned.file}; it departs from the baseline until it is approved (g)")

        app.do(job, done)

    rows = ("leave the file as it is", f"write it into {planned.file}")
    app.push_screen(Pick(f"Change {place_words(planned.pointer)}?", rows, take, " ".join(note)))
