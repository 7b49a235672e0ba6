"""What else can be done about the item in hand: pause, second person, call, release, timer, correct."""

from __future__ import annotations

from rovlog.faces.screens.desk import Desk, InHand
from rovlog.faces.screens.dialogs import Blank
from rovlog.faces.screens.setting_aside import SettingAside
from rovlog.faces.screens.walk import group_of


class ItemDeeds(SettingAside):
    """Deeds that ask for a reason or a name first. None of them happens on one key."""

    def deed_pause(self) -> None:
        """Pause the list, with the reason."""
        item = self.step.item if self.step else None
        by = self.answering()

        def keep(desk: Desk, values: dict[str, str]) -> None:
            from rovlog.usecases.approve import require_text
            from rovlog.usecases.dive_steps import log

            require_text("reason", values["reason"])
            fields = {"item": item.item if item else None, "reason": values["reason"]}
            log(desk.logbook, desk.logbook.record(desk.record), "pause", fields, by=by)

        self.ask("Pause the list", [Blank("reason", "why")], keep, "paused", moves_on=False)

    def resume(self) -> None:
        """Go on after a pause: the last item is asked again."""
        by = self.answering()

        def job(desk: Desk) -> tuple[str, InHand]:
            from rovlog.usecases.pause_list import resume_list

            resumed = resume_list(desk.logbook, desk.logbook.record(desk.record), by=by)
            return resumed.note, desk.look()

        def done(found: tuple[str, InHand]) -> None:
            self.step = None
            self.rov.show_hand(found[1])
            self.rov.tell(f"resumed; {found[0]}")

        self.do(job, done)

    def deed_second(self) -> None:
        """The second person answers, or the first again."""
        item = self.item_in_hand()
        if item is None:
            return
        if item.witness == "none":
            self.rov.tell_trouble("this item asks for one person only")
            return
        state = self.hand.state if self.hand else None
        waits = state is not None and state.items[item.item].waits_for_second
        named = bool(self.rov.chosen_person)
        self.is_second, self.rov.chosen_person = not self.is_second or (waits and not named), ""
        self.empty_fields(item)
        self.rov.redraw()
        if self.is_second:
            self.ask_for_second()

    def deed_call(self) -> None:
        """Make the completion call of the group in hand."""
        step, by = self.step, self.answering()
        state = self.hand.state if self.hand else None
        if step is None or state is None:
            return
        if group_of(state, step).is_complete:
            self.rov.tell(f"the call is made already: {step.section.title}")
            self.go_on(state, step.id)
            self.rov.redraw()
            return

        def job(desk: Desk) -> tuple[str, InHand]:
            from rovlog.usecases.complete_list import complete_section

            record = desk.logbook.record(desk.record)
            called = complete_section(
                desk.logbook, record, step.checklist.checklist, step.section.section, by=by
            )
            return called.call, desk.look()

        def done(found: tuple[str, InHand]) -> None:
            self.rov.hand = found[1]
            if found[1].state is not None:
                self.go_on(found[1].state, f"call:{step.checklist.checklist}/{step.section.section}")
            self.rov.redraw()
            self.rov.tell(f"kept: “{found[0]}”")

        self.rov.keep(job, done)

    def deed_release(self) -> None:
        """Release a hold point: who does it is picked by name."""
        from rovlog.faces.screens.releases import ask_for_release

        ask_for_release(self)

    def deed_timer(self) -> None:
        """Start the item's next timer."""
        from rovlog.faces.screens.timer_words import next_timer

        item = self.item_in_hand()
        state = self.hand.state if self.hand else None
        if item is None or state is None:
            return
        timer, by = next_timer(item, self.rov.hand.timers if self.rov.hand else ()), self.answering()
        if timer is None:
            self.rov.tell_trouble("this item has no timer")
            return

        def job(desk: Desk) -> InHand:
            from rovlog.usecases.timers import start_timer

            start_timer(desk.logbook, desk.logbook.record(desk.record), item.item, timer.timer, by=by)
            return desk.look()

        def done(hand: InHand) -> None:
            self.rov.show_hand(hand)
            self.rov.tell(f"kept: the timer {timer.timer.replace('-', ' ')} runs")

        self.do(job, done)

    def deed_correct(self) -> None:
        """Correct the last answer of the item by a further entry."""
        from rovlog.faces.screens.corrections import correct_answer

        correct_answer(self)

    def deed_propose(self) -> None:
        """Propose a change to this item; it is kept as a note of the record."""
        item = self.item_in_hand()
        if item is None:
            return
        by = self.answering()

        def keep(desk: Desk, values: dict[str, str]) -> None:
            from rovlog.usecases.list_proposals import propose_change

            propose_change(desk.logbook, desk.logbook.record(desk.record), item.item, values["text"], by=by)

        self.ask(f"Propose a change: {item.challenge}", [Blank("text", "what should change, and why")], keep,
                 "kept: the proposal stands among the notes", moves_on=False)  # fmt: skip
