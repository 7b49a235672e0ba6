"""The item in hand, and asking for what an entry about it needs."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any

from rovlog.faces.screens.desk import Desk, InHand
from rovlog.faces.screens.dialogs import Blank, Form, Pick
from rovlog.faces.screens.fields import Fields, known_proposals
from rovlog.faces.screens.place import Place
from rovlog.problems import RovlogError

if TYPE_CHECKING:
    from textual.events import Key

    from rovlog.domain.checks.checklist import Item
    from rovlog.faces.screens.walk import Step
    from rovlog.usecases.dive_state import DiveState

Keep = Callable[[Desk, dict[str, str]], Any]


class ItemForms(Place):
    """The item in hand, and asking for lines about it."""

    def __init__(self, id: str | None = None) -> None:
        super().__init__(id=id)
        self.step: Step | None = None
        self.steps: list[Step] = []
        self.record_id = ""
        self.is_second = False
        self.types_anew = False
        self.letters_are_keys = False
        self.fields: Fields = None  # type: ignore[assignment]

    # --- what Answering gives -------------------------------------------------------------------

    def submit(self, outcome: str | None = None, text: str | None = None, is_sure: bool = False) -> None:
        """Record the answer."""
        raise NotImplementedError

    def go_on(self, state: DiveState, here: str) -> None:
        """Take the next step in hand."""
        raise NotImplementedError

    def after_field(self, is_enter: bool = True) -> None:
        """Go on after a value is given, by enter or by a digit that chose."""
        raise NotImplementedError

    def ask_for_second(self) -> None:
        """Ask who the second person is."""
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

            self.rov.keep(job, done, failed)

        self.app.push_screen(Form(title, blanks, kept, note))

    def write_text(self, first: Key | None = None) -> None:
        """Write the text of the field in hand in a line of its own; `first` is a key that began it."""
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
        form = Form(item.challenge if item else ask.words, [blank], kept)
        self.app.push_screen(form)
        if first is not None:
            form.take_early(first)

    def ask_once(self, questions: Sequence[str]) -> None:
        """Ask once about a value that looks like a slip; it is kept either way."""
        rows = ("look again, change what is typed", "it was read like this: keep it")
        title = " ".join(questions)

        def take(index: int) -> None:
            if index == 1:
                self.submit(is_sure=True)
            else:
                self.types_anew = True

        self.app.push_screen(Pick(title, rows, take))
