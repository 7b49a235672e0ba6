"""Deeds that work in every place: emergency cards, keys, places, who answers, what is in hand, looks."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any, TypeVar

from textual.app import App

from rovlog.faces.screens.desk import Desk, InHand
from rovlog.faces.screens.looks import LOOKS, NO_COLOUR, Look
from rovlog.faces.screens.room import GENERAL_KEYS

if TYPE_CHECKING:
    from rovlog.domain.checks.checklist import Item
    from rovlog.faces.screens.place import Place

T = TypeVar("T")


class DeedsEverywhere(App[int]):
    """What the app below does for these deeds, and the deeds."""

    look: Look
    cards: tuple[Item, ...]
    opened_card: tuple[Item, str] | None
    chosen_person: str

    @property
    def hand(self) -> InHand | None:
        """What is in hand."""
        raise NotImplementedError

    @property
    def place(self) -> Place:
        """The place in sight."""
        raise NotImplementedError

    def do(self, job: Callable[[Desk], T], done: Callable[[T], None], failed: Any = None) -> None:
        """Run a use case on the logbook's thread."""
        raise NotImplementedError

    def go(self, name: str) -> None:
        """Bring a place into sight."""
        raise NotImplementedError

    def redraw(self) -> None:
        """Draw what is in hand."""
        raise NotImplementedError

    def show_hand(self, hand: InHand) -> None:
        """Show what is in hand now."""
        raise NotImplementedError

    def tell(self, words: str) -> None:
        """Say something in the message line."""
        raise NotImplementedError

    def tell_trouble(self, words: str) -> None:
        """Say in the message line what did not work."""
        raise NotImplementedError

    def clock_now(self) -> str:
        """The wall clock."""
        raise NotImplementedError

    # --- deeds that work everywhere -------------------------------------------------------------

    def action_emergency(self) -> None:
        """F2, from anywhere, out of inputs and dialogs too."""
        from rovlog.faces.screens.cards import Cards

        if isinstance(self.screen, Cards):
            # Never out of the cards: the digit that follows would be an answer to the item below.
            self.screen.show_list()
            return
        self.push_screen(Cards(self.cards, lambda: self.look, self._card_opened), lambda _: self.redraw())

    deed_emergency = action_emergency

    def _card_opened(self, card: Item) -> None:
        self.opened_card = (card, self.clock_now())

    def deed_log_card(self) -> None:
        """Log an emergency card with the time it was opened."""
        from rovlog.faces.screens.card_log import ask_for_card

        ask_for_card(self)

    def deed_all_keys(self) -> None:
        """The page of keys."""
        from rovlog.faces.screens.keys_page import KeysPage

        groups = [(f"{self.place.TITLE}", self.place.keys()), ("Everywhere", GENERAL_KEYS)]
        self.push_screen(KeysPage(groups, lambda: self.look))

    def deed_place(self, name: str) -> None:
        """Go to a place."""
        self.go(name)

    def deed_stops(self) -> None:
        """Everything that stops the dive, from a place that does not show it itself."""
        self.go("checks")
        stops = getattr(self.place, "deed_stops", None)
        if stops is not None:
            stops()

    def deed_next_person(self) -> None:
        """Another person of the crew answers."""
        from rovlog.faces.screens.people import after, crew_in_order

        hand = self.hand
        if hand is None:
            return
        crew = hand.state.crew if hand.state else {}
        self.chosen_person = after(self.place.answering(), crew_in_order(crew, hand.people or {}))
        self.redraw()

    def deed_choose_vehicle(self) -> None:
        """Choose among the open records and the vehicles, by name."""
        from rovlog.faces.screens.choose_vehicle import choose_vehicle

        choose_vehicle(self)

    def deed_next_look(self) -> None:
        """The next look."""
        if self.look is NO_COLOUR:
            self.tell("NO_COLOR is set: the terminal's own two colours are used")
            return
        names = list(LOOKS)
        self.look = LOOKS[names[(names.index(self.look.name) + 1) % len(names)]]
        self.theme = self.look.name
        self.refresh_css()
        room = self.screen_stack[0]
        for widget in room.query("*"):
            widget.refresh()
        self.redraw()
        self.tell(f"look: {self.look.title}")

    def deed_read_anew(self) -> None:
        """Read the files anew."""

        def shown(hand: InHand) -> None:
            self.show_hand(hand)
            self.tell_trouble(hand.trouble) if hand.trouble else self.tell("read anew")

        self.do(lambda desk: desk.look(forget=True), shown)
