"""Logging an emergency card afterwards, with the time it was opened."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rovlog.faces.screens.desk import Desk, InHand
from rovlog.faces.screens.dialogs import Blank, Form
from rovlog.problems import RovlogError

if TYPE_CHECKING:
    from rovlog.faces.screens.app_deeds import DeedsEverywhere


def ask_for_card(app: DeedsEverywhere) -> None:
    """Ask what was done, and keep it as a note of the record in hand; an empty line drops the offer."""
    if app.opened_card is None:
        app.tell("no emergency card waits to be logged")
        return
    if app.hand is None or app.hand.state is None:
        app.tell_trouble("no dive or work is in hand to log it in: start one, or take one in hand in Dives")
        return
    card, at = app.opened_card
    by = app.place.answering()
    blanks = (Blank("what", "what was seen and done (empty: the card was only read)"), Blank("by", "by", by))

    def keep(values: dict[str, str], form: Form) -> None:
        if not values["what"]:
            app.opened_card = None
            form.leave()
            app.redraw()
            return

        def job(desk: Desk) -> InHand:
            from rovlog.usecases.emergency_cards import log_card_opened

            record = desk.logbook.record(desk.record)
            log_card_opened(
                desk.logbook, record, card.item, by=values["by"], opened_at=at, text=values["what"]
            )
            return desk.look()

        def done(hand: InHand) -> None:
            app.opened_card = None
            form.leave()
            app.show_hand(hand)
            app.tell("kept: the card and what was done; a fault is logged in Dives with x")

        def failed(error: RovlogError) -> None:
            form.tell(f"{error.message}; {error.mend}" if error.mend else error.message)

        app.do(job, done, failed)

    app.push_screen(Form(f"Log card {card.code}: {card.challenge}", blanks, keep))
