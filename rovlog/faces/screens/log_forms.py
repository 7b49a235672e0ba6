"""Asking for the lines of an entry and keeping it on the record in hand."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from rovlog.domain.checks.checklist import Item
from rovlog.faces.reports.dive_text import reopened_words
from rovlog.faces.screens.desk import Desk, InHand
from rovlog.faces.screens.dialogs import Blank, Form
from rovlog.faces.screens.place import Place
from rovlog.problems import RovlogError

Keep = Callable[[Desk, dict[str, str]], Any]


class LogForms(Place):
    """A place from which entries are logged; nothing is kept before enter on the last line."""

    def in_hand_id(self) -> str:
        """The id of the record in hand, "" without one."""
        hand = self.hand
        return hand.state.record.id if hand and hand.state else ""

    def ask(self, title: str, blanks: Sequence[Blank], keep: Keep, said: str, note: str = "") -> None:
        """Ask for lines and keep them on the record in hand."""
        hand = self.hand
        if hand is None or hand.state is None:
            self.rov.tell_trouble("no record is in hand: n starts a dive, enter takes the picked one in hand")
            return
        people = tuple(hand.people or {})
        rows = [*blanks, Blank("by", "by", self.answering(), people)]

        def kept(values: dict[str, str], form: Form) -> None:
            def job(desk: Desk) -> tuple[InHand, tuple[Item, ...]]:
                from rovlog.usecases.reopened_items import reopened_items

                before = desk.logbook.record(desk.record)
                keep(desk, values)
                return desk.look(), reopened_items(desk.logbook, before)

            def done(found: tuple[InHand, tuple[Item, ...]]) -> None:
                look, reopened = found
                form.leave()
                self.rov.show_hand(look)
                self.rov.tell(f"{said}; {reopened_words(reopened)}" if reopened else said)

            def failed(error: RovlogError) -> None:
                form.tell(f"{error.message}; {error.mend}" if error.mend else error.message)

            self.rov.do(job, done, failed)

        self.app.push_screen(Form(f"{title}  ({hand.state.record.id})", rows, kept, note))
