"""What can be done to the item in hand besides answering it: fail, defer, waive, pause, release, correct."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any

from rovlog.faces.screens.desk import Desk, InHand
from rovlog.faces.screens.dialogs import Blank, Form, Pick
from rovlog.faces.screens.fields import Fields, known_proposals
from rovlog.faces.screens.place import Place
from rovlog.faces.screens.walk import group_of
from rovlog.problems import RovlogError

if TYPE_CHECKING:
    from rovlog.domain.checks.checklist import Item
    from rovlog.faces.screens.walk import Step
    from rovlog.usecases.dive_state import DiveState

Keep = Callable[[Desk, dict[str, str]], Any]


class ItemDeeds(Place):
    """Deeds that ask for a reason or a name first. None of them happens on one key."""

    def __init__(self, id: str | None = None) -> None:
        super().__init__(id=id)
        self.step: Step | None = None
        self.steps: list[Step] = []
        self.record_id = ""
        self.is_second = False
        self.fields: Fields = None  # type: ignore[assignment]

    # --- what Answering gives -------------------------------------------------------------------

    def submit(self, outcome: str | None = None, text: str | None = None, is_sure: bool = False) -> None:
        """Record the answer."""
        raise NotImplementedError

    def go_on(self, state: DiveState, here: str) -> None:
        """Take the next step in hand."""
        raise NotImplementedError

    def after_field(self) -> None:
        """Go on after a value is given."""
        raise NotImplementedError

    # --- asking ---------------------------------------------------------------------------------

    def empty_fields(self, item: Item) -> None:
        """Nothing is typed for the item any more."""
        state = self.hand.state if self.hand else None
        self.fields = Fields(item, known_proposals(item, state) if state else frozenset())

    def item_in_hand(self) -> Item | None:
        """The item in hand; says so where it is a completion call."""
        item = self.step.item if self.step else None
        if item is None:
            self.rov.tell_trouble("this is a completion call, not an item")
        return item

    def ask(
        self,
        title: str,
        blanks: Sequence[Blank],
        keep: Keep,
        said: str,
        note: str = "",
        moves_on: bool = True,
    ) -> None:
        """Ask for lines, keep them with `keep` on the logbook's thread, then say so and go on."""
        here = self.step.id if self.step else ""

        def kept(values: dict[str, str], form: Form) -> None:
            def job(desk: Desk) -> InHand:
                keep(desk, values)
                return desk.look()

            def done(hand: InHand) -> None:
                form.leave()
                self.rov.hand = hand
                if moves_on and hand.state is not None:
                    self.go_on(hand.state, here)
                self.rov.redraw()
                self.rov.tell(said)

            def failed(error: RovlogError) -> None:
                form.tell(f"{error.message}; {error.mend}" if error.mend else error.message)

            self.rov.do(job, done, failed)

        self.app.push_screen(Form(title, blanks, kept, note))

    def write_text(self) -> None:
        """Write the text of the field in hand in a line of its own."""
        ask = self.fields.ask
        if ask is None:
            return
        blank = Blank("text", ask.words, self.fields.typed.get(ask.value, ""), hint=ask.unit)

        def kept(values: dict[str, str], form: Form) -> None:
            if not values["text"] and not ask.is_optional:
                form.tell(f"nothing is given for {ask.words}")
                return
            form.leave()
            self.fields.write(values["text"])
            self.rov.redraw()
            self.after_field()

        item = self.step.item if self.step else None
        self.app.push_screen(Form(item.challenge if item else ask.words, [blank], kept))

    def ask_once(self, questions: Sequence[str]) -> None:
        """Ask once about a value that looks like a slip; it is kept either way."""
        rows = ("look again, change what is typed", "it was read like this: keep it")
        title = " ".join(questions)
        self.app.push_screen(
            Pick(title, rows, lambda index: self.submit(is_sure=True) if index == 1 else None)
        )

    # --- the deeds ------------------------------------------------------------------------------

    def deed_fail(self) -> None:
        """The item failed: what was seen, then it is kept as failed."""
        item = self.item_in_hand()
        if item is None:
            return
        blank = Blank("text", "what was seen")

        def kept(values: dict[str, str], form: Form) -> None:
            if not values["text"]:
                form.tell("nothing is said: write what was seen, in a few words")
                return
            form.leave()
            self.submit("fail", values["text"])

        self.app.push_screen(Form(f"Failed: {item.challenge}", [blank], kept))

    def deed_defer(self) -> None:
        """Put the item off, with the reason and by when."""
        item = self.item_in_hand()
        if item is None:
            return
        by = self.answering()

        def keep(desk: Desk, values: dict[str, str]) -> None:
            from rovlog.usecases.answer_item import defer_item

            record = desk.logbook.record(desk.record)
            defer_item(
                desk.logbook, record, item.item, by=by, reason=values["reason"], until=values["until"] or None
            )

        blanks = (
            Blank("reason", "why"),
            Blank("until", "by when", "launch", hint="launch, a time or an item"),
        )
        self.ask(
            f"Defer: {item.challenge}", blanks, keep, f"deferred: {item.challenge}; it comes back at the end"
        )

    def deed_not_applicable(self) -> None:
        """The item does not apply today, with the reason."""
        item = self.item_in_hand()
        if item is None:
            return
        by = self.answering()

        def keep(desk: Desk, values: dict[str, str]) -> None:
            from rovlog.usecases.answer_item import item_not_applicable

            record = desk.logbook.record(desk.record)
            item_not_applicable(desk.logbook, record, item.item, by=by, reason=values["reason"])

        self.ask(
            f"Not applicable: {item.challenge}",
            [Blank("reason", "why")],
            keep,
            f"not applicable: {item.challenge}",
        )

    def deed_waive(self) -> None:
        """A waiver by the supervisor, with reason and end."""
        item = self.item_in_hand()
        state = self.hand.state if self.hand else None
        if item is None or state is None:
            return

        def keep(desk: Desk, values: dict[str, str]) -> None:
            from rovlog.usecases.answer_item import waive_item

            record = desk.logbook.record(desk.record)
            waive_item(
                desk.logbook,
                record,
                by=values["by"],
                reason=values["reason"],
                until=values["until"],
                item=item.item,
            )

        blanks = (
            Blank("reason", "why it may be left"),
            Blank("until", "until", "dive", hint="dive, a day (2027-06-14) or a time"),
            Blank("by", "in whose name", state.crew.get("supervisor", self.answering())),
        )
        self.ask(f"Waiver: {item.challenge}", blanks, keep, f"waived: {item.challenge}")

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
            from rovlog.usecases.answer_item import resume_list

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
        self.is_second, self.rov.chosen_person = not self.is_second, ""
        self.empty_fields(item)
        self.rov.redraw()

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
            from rovlog.usecases.answer_item import complete_section

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

        self.do(job, done)

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
