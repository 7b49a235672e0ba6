"""Answering the item in hand: what is typed, who answers, what is kept, and where to go next."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rovlog.faces.screens.desk import Desk, InHand
from rovlog.faces.screens.fields import Fields, known_proposals
from rovlog.faces.screens.item_deeds import ItemDeeds
from rovlog.faces.screens.people import who_answers, who_is_second
from rovlog.faces.screens.walk import Step, next_step, steps_of, where_it_stopped
from rovlog.usecases.dive_state import DiveState

if TYPE_CHECKING:
    from textual import events

    from rovlog.domain.checks.checklist import Item
    from rovlog.usecases.answer_item import Answered


class Answering(ItemDeeds):
    """The item in hand and its answer."""

    @property
    def digits_switch(self) -> bool:
        """Digits belong to the answers here; the places have their function keys."""
        return False

    def settle(self) -> DiveState | None:
        """Bring the step in hand in line with what is in hand; None where no record is."""
        state = self.hand.state if self.hand else None
        if state is None:
            self.step, self.record_id = None, ""
            return None
        self.steps = steps_of(state)
        if self.record_id != state.record.id or self.step is None:
            self.record_id = state.record.id
            self._take(where_it_stopped(state), state)
            return state
        known = {s.id: s for s in self.steps}
        found = known.get(self.step.id)
        if found is None:
            self._take(where_it_stopped(state), state)
        else:
            self.step = found
        return state

    def _take(self, step: Step, state: DiveState) -> None:
        self.step = step
        self.rov.chosen_person = ""
        if step.item is not None:
            self.fields = Fields(step.item, known_proposals(step.item, state))
            self.is_second = state.items[step.item.item].waits_for_second
        else:
            self.is_second = False

    def take_step(self, step: Step) -> None:
        """Take a step in hand."""
        state = self.hand.state if self.hand else None
        if state is not None:
            self._take(step, state)
            self.rov.redraw()

    def go_on(self, state: DiveState, here: str) -> None:
        """Take the next step that is due in hand; stay where nothing is."""
        step = next_step(state, here, steps_of(state))
        if step is not None:
            self._take(step, state)

    def answering(self) -> str:
        """Who answers: the chosen person, else by the item's roles; the second where it is their turn."""
        hand = self.hand
        if hand is None or hand.state is None:
            return ""
        if self.rov.chosen_person:
            return self.rov.chosen_person
        item = self.step.item if self.step else None
        people = hand.people or {}
        first = who_answers(item, hand.state.crew, people)
        if item is not None and self.is_second:
            given = hand.state.items[item.item].by or first
            return who_is_second(item, given, hand.state.crew, people)
        return first

    def running_timer(self) -> bool:
        """True while a timer of the item in hand runs."""
        hand, item = self.hand, self.step.item if self.step else None
        return hand is not None and item is not None and any(t.item == item.item for t in hand.timers)

    # --- typing ---------------------------------------------------------------------------------

    @property
    def is_typing(self) -> bool:
        """True while digits go into a field."""
        return self.can_answer and self.fields.takes_numbers

    @property
    def can_answer(self) -> bool:
        """True while the item in hand takes an answer."""
        state = self.hand.state if self.hand else None
        return (
            state is not None and state.pause is None and self.step is not None and self.step.item is not None
        )

    def takes(self, event: events.Key) -> bool:
        """Digits, comma and sign go into a number; a digit chooses; arrows left and right choose too."""
        if not self.can_answer:
            return False
        fields = self.fields
        character = event.character or ""
        if event.key == "backspace":
            fields.take_back()
        elif fields.takes_numbers and character and character in "0123456789.,-+":
            fields.put(character)
        elif fields.options and character.isdigit():
            if fields.choose(int(character)):
                self.rov.redraw()
                self.after_field()
                return True
            self.rov.tell_trouble(f"there is no answer {character}")
        elif fields.options and event.key in ("left", "right"):
            fields.choose_beside(1 if event.key == "right" else -1)
        elif event.key == "escape":
            if self.step is not None and self.step.item is not None:
                self.empty_fields(self.step.item)
        else:
            return False
        self.rov.redraw()
        return True

    def takes_paste(self, text: str) -> bool:
        """A pasted line goes into the field that is typed in."""
        if not self.can_answer or not (self.fields.takes_numbers or self.fields.takes_text):
            return False
        self.fields.put(text)
        self.rov.redraw()
        return True

    def deed_field(self, by: str) -> None:
        """Go to another value of the item."""
        self.fields.move(int(by))
        self.rov.redraw()

    def deed_move(self, by: str) -> None:
        """Go to the step before or after."""
        if self.step is None:
            return
        ids = [s.id for s in self.steps]
        at = ids.index(self.step.id) + int(by)
        if 0 <= at < len(ids):
            self.take_step(self.steps[at])

    def deed_next_due(self) -> None:
        """Go to the next thing to do."""
        state = self.hand.state if self.hand else None
        if state is not None:
            self.take_step(where_it_stopped(state))

    def deed_item(self, name: str) -> None:
        """Take an item in hand by its id (a click in the overview)."""
        step = next((s for s in self.steps if s.item is not None and s.item.item == name), None)
        if step is not None:
            self.take_step(step)

    # --- keeping --------------------------------------------------------------------------------

    def deed_keep(self) -> None:
        """Enter: keep the answer, or go to the value that is still missing."""
        state = self.hand.state if self.hand else None
        if state is None or self.step is None:
            return
        if state.pause is not None:
            self.resume()
        elif self.step.item is None:
            self.deed_call()
        elif self.step.item.kind == "release":
            self.deed_release()
        else:
            self.after_field()

    def after_field(self) -> None:
        """Go to the next value that is missing; where none is, keep the answer."""
        fields = self.fields
        ask = fields.ask
        if ask is not None and fields.needs(ask):
            if fields.takes_text:
                self.write_text()
            else:
                self.rov.tell_trouble(f"nothing is given for {ask.words}")
            return
        if fields.to_next_gap():
            if fields.takes_text:
                self.write_text()
            self.rov.redraw()
            return
        gap = next((i for i, a in enumerate(fields.asks) if fields.needs(a)), None)
        if gap is not None:
            fields.here = gap
            self.rov.redraw()
            return
        self.submit()

    def submit(self, outcome: str | None = None, text: str | None = None, is_sure: bool = False) -> None:
        """Record the answer, shown as kept once it is on the disk; what looks like a slip is asked about."""
        step, by = self.step, self.answering()
        if step is None or step.item is None:
            return
        item, values, is_second = step.item, self.fields.values(), self.is_second

        def job(desk: Desk) -> tuple[Answered, InHand | None]:
            from rovlog.usecases.answer_item import answer_item

            answered = answer_item(
                desk.logbook,
                desk.logbook.record(desk.record),
                item.item,
                by=by,
                values=values,
                outcome=outcome,
                text=text,
                is_second=is_second,
                is_sure=is_sure or outcome is not None,
            )
            return answered, desk.look() if answered.kept is not None else None

        def done(found: tuple[Answered, InHand | None]) -> None:
            answered, hand = found
            if hand is None:
                self.ask_once([q.text for q in answered.questions])
            else:
                self.kept(item, answered, hand)

        self.do(job, done)

    def kept(self, item: Item, answered: Answered, hand: InHand) -> None:
        """Show what was kept, and go on."""
        from rovlog.faces.screens.kept_words import kept_words

        self.rov.hand = hand
        assert hand.state is not None
        now = hand.state.items.get(item.item)
        self.empty_fields(item)
        if now is not None and now.waits_for_second:
            self.is_second, self.rov.chosen_person = True, ""
        elif answered.outcome == "pass" and (now is None or now.is_settled):
            self.go_on(hand.state, item.item)
        else:
            self.is_second = False
        self.rov.redraw()
        self.rov.tell(kept_words(answered, now, hand))
