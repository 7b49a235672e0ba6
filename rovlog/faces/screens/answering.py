"""Answering the item in hand: what is typed, who answers, what is kept, and where to go next."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rovlog.faces.screens.desk import Desk, InHand
from rovlog.faces.screens.fields import Fields, known_proposals
from rovlog.faces.screens.hold_points import first_blocker
from rovlog.faces.screens.item_deeds import ItemDeeds
from rovlog.faces.screens.people import who_answers
from rovlog.faces.screens.walk import Step, is_closed_hold, next_step, steps_of, where_it_stopped
from rovlog.usecases.dive_state import DiveState

if TYPE_CHECKING:
    from collections.abc import Mapping

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

    def typed_in(self) -> None:
        """Something is typed: its field comes into sight."""

    def _take(self, step: Step, state: DiveState) -> None:
        self.step = step
        self.types_anew = self.letters_are_keys = False
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
        """Who answers: the chosen person, else by the item's roles. A second person is always chosen."""
        hand = self.hand
        if hand is None or hand.state is None:
            return ""
        if self.rov.chosen_person:
            return self.rov.chosen_person
        item = self.step.item if self.step else None
        return who_answers(item, hand.state.crew, hand.people or {})

    def answers_note(self) -> str:
        """That a second person answers, or is not named yet."""
        if self.is_second:
            return "second" if self.rov.chosen_person else "second: press s"
        return super().answers_note()

    def running_timer(self) -> bool:
        """True while a timer of the item in hand runs."""
        hand, item = self.hand, self.step.item if self.step else None
        return hand is not None and item is not None and any(t.item == item.item for t in hand.timers)

    # --- the second person ----------------------------------------------------------------------

    def lacks_second(self, item: Item, by: str, values: Mapping[str, str]) -> bool:
        """True where somebody else has to be named first; says why."""
        state = self.hand.state.items.get(item.item) if self.hand and self.hand.state else None
        if state is None or not state.waits_for_second:
            return False
        if self.is_second:
            return not self.rov.chosen_person
        if by == state.by and not any(_differs(values.get(k), v) for k, v in state.values.items()):
            self.rov.tell_trouble("you answered already; the second answer is somebody else's")
            self.is_second = True
            return True
        return False

    def ask_for_second(self) -> None:
        """Ask who the second person is."""
        from rovlog.faces.screens.second_person import ask_for_second

        ask_for_second(self)

    def second_named(self, person: str) -> None:
        """The second person is named. Whoever saw what the first saw says so by that; others answer now."""
        item = self.step.item if self.step else None
        state = self.hand.state if self.hand else None
        if item is None or state is None:
            return
        self.is_second, self.rov.chosen_person = True, person
        from rovlog.faces.screens.second_person import is_agreement

        if is_agreement(item):
            for name, value in state.items[item.item].values.items():
                self.fields.typed[name] = str(value)
            self.submit()
        elif (
            item.asks
            and not any(self.fields.needs(a) for a in item.asks if a.value not in self.fields.known)
            and self.fields.values()
        ):
            self.submit()
        else:
            self.rov.redraw()

    def second_later(self) -> None:
        """Nobody is there yet: the item waits, and the walk goes on."""
        state = self.hand.state if self.hand else None
        if state is not None and self.step is not None:
            self.go_on(state, self.step.id)
            self.rov.redraw()
            self.rov.tell("the item waits for its second person, and comes back")

    # --- typing ---------------------------------------------------------------------------------

    @property
    def is_typing(self) -> bool:
        """True while digits go into a field."""
        return self.can_answer and self.fields.takes_numbers

    @property
    def writes_text(self) -> bool:
        """True while letters begin the text that the item asks for; after escape they are keys again."""
        return self.can_answer and self.fields.takes_text and not self.letters_are_keys

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
        elif event.key in ("delete", "ctrl+u"):
            fields.clear()
        elif fields.takes_numbers and character and character in "0123456789.,-+":
            if self.types_anew:
                fields.clear()
            fields.put(character)
        elif self.writes_text and event.is_printable:
            self.write_text(event)
            return True
        elif fields.options and character.isdigit():
            if fields.choose(int(character)):
                self.rov.redraw()
                self.after_field(is_enter=False)
                return True
            self.rov.tell_trouble(f"there is no answer {character}")
        elif fields.options and event.key in ("left", "right"):
            fields.choose_beside(1 if event.key == "right" else -1)
        elif event.key == "escape":
            self.letters_are_keys = True
            if self.step is not None and self.step.item is not None:
                self.empty_fields(self.step.item)
        else:
            return False
        self.types_anew = False
        self.rov.redraw()
        self.typed_in()
        return True

    def takes_paste(self, text: str) -> bool:
        """A pasted line goes into the field that is typed in."""
        if not self.can_answer or not (self.fields.takes_numbers or self.fields.takes_text):
            return False
        self.fields.put(text)
        self.rov.redraw()
        return True

    def deed_letters(self) -> None:
        """Letters are keys again where they would begin a text."""
        self.letters_are_keys = True
        self.rov.redraw()

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
        """Go to the next thing to do: from a hold point to the first item that keeps it closed."""
        state = self.hand.state if self.hand else None
        if state is None:
            return
        blocker = None
        if self.step is not None and is_closed_hold(state, self.step):
            blocker = first_blocker(state, self.step)
        self.take_step(blocker or where_it_stopped(state))

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

    def after_field(self, is_enter: bool = True) -> None:
        """Go to the next value; after the last one to the first that is missing, else keep the answer."""
        fields = self.fields
        ask = fields.ask
        self.types_anew = False
        if ask is not None and fields.needs(ask):
            if fields.takes_text:
                self.write_text()
            else:
                self.rov.tell_trouble(f"nothing is given for {ask.words}")
        elif fields.to_next(is_enter) or fields.to_gap():
            self.rov.redraw()
            self.typed_in()
            if fields.takes_text and fields.ask is not None and fields.needs(fields.ask):
                self.write_text()
        else:
            self.submit()

    def submit(self, outcome: str | None = None, text: str | None = None, is_sure: bool = False) -> None:
        """Record the answer, shown as kept once it is on the disk; what looks like a slip is asked about."""
        step, by = self.step, self.answering()
        if step is None or step.item is None:
            return
        item, values, is_second = step.item, self.fields.values(), self.is_second
        if self.lacks_second(item, by, values):
            self.ask_for_second()
            return

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
            return answered, desk.look(now=answered.after) if answered.kept is not None else None

        def done(found: tuple[Answered, InHand | None]) -> None:
            answered, hand = found
            if hand is None:
                self.ask_once([q.text for q in answered.questions])
            else:
                self.kept(item, answered, hand)

        self.rov.keep(job, done)

    def kept(self, item: Item, answered: Answered, hand: InHand) -> None:
        """Show what was kept, and go on."""
        from rovlog.faces.screens.kept_words import kept_words

        self.rov.hand = hand
        assert hand.state is not None
        now = hand.state.items.get(item.item)
        self.empty_fields(item)
        is_second_next = now is not None and now.waits_for_second
        if is_second_next:
            self.is_second, self.rov.chosen_person = True, ""
        elif answered.outcome == "pass" and (now is None or now.is_settled):
            self.go_on(hand.state, item.item)
        else:
            self.is_second = False
        self.rov.redraw()
        words = kept_words(answered, now, hand)
        if "FAILED" in words:
            self.rov.tell_trouble(words)
        else:
            self.rov.tell(words)
        if is_second_next:
            self.ask_for_second()


def _differs(typed: str | None, value: object) -> bool:
    """True where what is typed is another value than the one kept."""
    if typed is None:
        return False
    try:
        return float(typed.replace(",", ".")) != float(str(value))
    except ValueError:
        return typed != str(value)
