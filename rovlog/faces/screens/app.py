"""The app: the strip that never leaves, one of five places below it, the emergency cards over all."""

from __future__ import annotations

import asyncio
import os
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from typing import TYPE_CHECKING, ClassVar, TypeVar

from textual import events, on
from textual.app import App, ComposeResult
from textual.binding import Binding, BindingType
from textual.screen import Screen
from textual.theme import Theme
from textual.widgets import Static

from rovlog.faces.screens.desk import Desk, InHand
from rovlog.faces.screens.drawing import Pen
from rovlog.faces.screens.keys import DoublePress, Key, KeysLine, key
from rovlog.faces.screens.lines import Lines
from rovlog.faces.screens.looks import LOOKS, NO_COLOUR, Look
from rovlog.faces.screens.places import PLACES, PlacesLine, make_place
from rovlog.faces.screens.strip import Offer, StripWidget
from rovlog.problems import RovlogError

if TYPE_CHECKING:
    from rovlog.domain.checks.checklist import Item
    from rovlog.faces.screens.place import Place
    from rovlog.usecases.ports import Book

T = TypeVar("T")

LOOK_ON_S = 20.0
"""Seconds after which what is in hand is read anew, so that what ran out by the clock comes back."""

GENERAL_KEYS = (
    key("f2", "emergency", "emergency", "F2"),
    key("question_mark,f1", "keys", "all_keys", "?"),
    key("f5,alt+1", "Checks", "place:checks", "F5", is_shown=False),
    key("f6,alt+2", "Configuration", "place:configuration", "F6", is_shown=False),
    key("f7,alt+3", "Drift", "place:drift", "F7", is_shown=False),
    key("f8,alt+4", "Dives", "place:dives", "F8", is_shown=False),
    key("f9,alt+5", "Audit", "place:audit", "F9", is_shown=False),
    key("v", "another vehicle or open dive", "choose_vehicle", "v", is_shown=False),
    key("a", "another person answers", "next_person", "a", is_shown=False),
    key("l", "log the emergency card that was opened", "log_card", "l", is_shown=False),
    key("f10", "another look: dark, bright sun, monochrome", "next_look", "F10", is_shown=False),
    key("ctrl+r", "read the files anew", "read_anew", "ctrl+r", is_shown=False),
    key("ctrl+q", "leave; everything kept is on the disk", "leave", "ctrl+q", is_shown=False),
)
DIGITS = {"1": "checks", "2": "configuration", "3": "drift", "4": "dives", "5": "audit"}


class Room(Screen[None]):
    """The one screen below all dialogs."""

    def compose(self) -> ComposeResult:
        """Strip, places, the place, the message, the keys."""
        yield StripWidget()
        yield PlacesLine()
        for name in PLACES:
            place = make_place(name)
            place.display = False
            yield place
        message = Static("", id="message", markup=False)
        message.display = False
        yield message
        yield KeysLine(id="keys")


class RovlogApp(App[int]):
    """rovlog in a terminal."""

    ENABLE_COMMAND_PALETTE = False
    AUTO_FOCUS = None
    HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (60, "-usual"), (120, "-wide")]  # noqa: RUF012 - as the base class has it
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("f2", "emergency", "Emergency", priority=True, show=False),
        Binding("ctrl+q", "leave", "Leave", priority=True, show=False),
        Binding("ctrl+c", "leave", "Leave", priority=True, show=False),
    ]
    CSS = """
    Room { background: $ground; color: $ink; layers: page above; overflow: hidden; }
    Lines { background: $ground; color: $ink; scrollbar-color: $quiet; scrollbar-background: $ground;
        scrollbar-color-hover: $ink; scrollbar-background-hover: $ground; scrollbar-color-active: $ink;
        scrollbar-background-active: $ground; }
    StripWidget, PlacesLine, KeysLine, Place { background: $ground; color: $ink; }
    #message { layer: above; dock: bottom; height: auto; max-height: 6; margin-bottom: 1; background: $ground;
        color: $ink; }
    KeysLine { dock: bottom; }
    Screen.-usual Place, Screen.-wide Place { margin-bottom: 1; }
    Screen.-narrow PlacesLine { display: none; }
    """

    def __init__(self, book: Book, look: str = "") -> None:
        is_plain = bool(os.environ.get("NO_COLOR"))
        super().__init__(ansi_color=True if is_plain else None)
        self.look: Look = NO_COLOUR if is_plain else LOOKS.get(look, LOOKS["dark"])
        for one in (*LOOKS.values(), NO_COLOUR):
            self.register_theme(_theme(one))
        self.theme = self.look.name
        self._book = book
        self._logbook_thread = ThreadPoolExecutor(1, "logbook")
        self._git_thread = ThreadPoolExecutor(1, "git")
        self.desk = Desk(book)
        self._hand: InHand | None = None
        self._looked_s = 0.0
        self.chosen_person = ""
        self.place_name = "checks"
        self._double = DoublePress()
        self._cards: tuple[Item, ...] = ()
        self.opened_card: tuple[Item, str] | None = None

    def get_default_screen(self) -> Screen[None]:
        """The room is the first screen."""
        return Room(id="_default")

    def on_mount(self) -> None:
        self.do(lambda desk: (desk.begin(), desk.cards()), self._begun)
        self.set_interval(LOOK_ON_S, self._look_on)

    def _look_on(self) -> None:
        """Ages and agos go on by themselves; nothing is read while something is asked."""
        if len(self.screen_stack) == 1 and self.hand is not None:
            self.look_again()

    def _begun(self, found: tuple[InHand, tuple[Item, ...]]) -> None:
        hand, self._cards = found
        self.hand = hand
        dives = [o for o in hand.opened if o.kind == "dive"]
        self.go("checks" if hand.state else "dives")
        if hand.trouble:
            self.tell_trouble(hand.trouble)
        if len(dives) > 1:
            self.deed_choose_vehicle()

    @property
    def hand(self) -> InHand | None:
        """What is in hand, as it was read last."""
        return self._hand

    @hand.setter
    def hand(self, hand: InHand) -> None:
        self._hand = hand
        self._looked_s = self._book.clock.mono_s()

    # --- work on the logbook --------------------------------------------------------------------

    def do(
        self,
        job: Callable[[Desk], T],
        done: Callable[[T], None],
        failed: Callable[[RovlogError], None] | None = None,
    ) -> None:
        """Run a job on the logbook's own thread, then `done` here; an error is shown in full."""
        self.run_worker(self._do(job, done, failed), exit_on_error=True)

    async def _do(
        self,
        job: Callable[[Desk], T],
        done: Callable[[T], None],
        failed: Callable[[RovlogError], None] | None,
    ) -> None:
        loop = asyncio.get_running_loop()
        try:
            result = await loop.run_in_executor(self._logbook_thread, job, self.desk)
        except RovlogError as error:
            (failed or self.tell_error)(error)
            return
        done(result)
        if self.desk.commits.is_waiting:
            self.run_worker(self._commit(), exit_on_error=True)

    async def _commit(self) -> None:
        loop = asyncio.get_running_loop()
        for trouble in await loop.run_in_executor(self._git_thread, self.desk.work_off):
            mend = f" ({trouble.mend})" if trouble.mend else ""
            self.tell_trouble(f"kept on the disk, not yet in git: {trouble.reason}{mend}")

    def show_hand(self, hand: InHand) -> None:
        """Show what is in hand now."""
        self.hand = hand
        self.redraw()

    def look_again(self, done: Callable[[], None] | None = None) -> None:
        """Read what is in hand anew and show it."""

        def show(hand: InHand) -> None:
            self.show_hand(hand)
            if done is not None:
                done()

        self.do(lambda desk: desk.look(), show)

    # --- showing --------------------------------------------------------------------------------

    @property
    def place(self) -> Place:
        """The place in sight."""
        from rovlog.faces.screens.place import Place as AnyPlace

        return self.screen_stack[0].query_one(f"#{self.place_name}", AnyPlace)

    @property
    def pen(self) -> Pen:
        """A pen in the look in force."""
        return Pen(self.look)

    def go(self, name: str) -> None:
        """Bring a place into sight."""
        room = self.screen_stack[0]
        for other in PLACES:
            room.query_one(f"#{other}").display = other == name
        self.place_name = name
        self.place.entered()
        self.redraw()

    def redraw(self) -> None:
        """Draw strip, places, place and keys."""
        if self.hand is None:
            return
        room = self.screen_stack[0]
        self.place.redraw()
        offer = None
        if self.opened_card is not None:
            card, at = self.opened_card
            offer = Offer(f"card {card.code} opened {at[11:16]}, key l logs what was done")
        room.query_one(StripWidget).show(self.hand, self.place.answering(), offer)
        room.query_one(PlacesLine).show(self.place_name, self.hand.position)
        self.show_keys()

    def seconds_since_look(self) -> float:
        """Seconds since what is in hand was read, by the program's own clock."""
        return max(0.0, self._book.clock.mono_s() - self._looked_s)

    def clock_now(self) -> str:
        """The wall clock."""
        return self._book.clock.now()

    def read_page(self, title: str, text: str) -> None:
        """Show a report's text on a page of its own."""
        from rovlog.faces.screens.reading import Reading

        self.push_screen(Reading(title, text, lambda: self.look))

    def show_keys(self) -> None:
        """Draw the line of keys."""
        self.screen_stack[0].query_one(KeysLine).show([*self.place.keys(), *GENERAL_KEYS])

    def tell(self, words: str) -> None:
        """Say something in the message line."""
        self._say(words, "message")

    def tell_trouble(self, words: str) -> None:
        """Say in the message line what did not work."""
        self._say(words, "trouble")

    def tell_error(self, error: RovlogError) -> None:
        """Show an error in full, with its mend."""
        mend = f"; mend: {error.mend}" if error.mend else ""
        self.tell_trouble(f"{error.message}{mend}")

    def _say(self, words: str, style: str) -> None:
        from rich.text import Text

        width = max(20, self.size.width)
        lines = self.pen.fold(words, width, style) if words else []
        message = self.screen_stack[0].query_one("#message", Static)
        message.display = bool(lines)
        message.update(Text("\n").join(lines) if lines else "")

    # --- keys -----------------------------------------------------------------------------------

    def on_key(self, event: events.Key) -> None:
        if len(self.screen_stack) > 1 or self.hand is None:
            return
        place = self.place
        is_typing = place.is_typing
        if self._double.is_bounce(event.key, event.time, is_typing):
            event.stop()
            return
        if place.takes(event):
            event.stop()
            return
        for k in (*place.keys(), *GENERAL_KEYS):
            if event.key in k.keys:
                event.stop()
                self.run_deed(k.deed)
                return
        if place.digits_switch and event.key in DIGITS:
            event.stop()
            self.go(DIGITS[event.key])

    def forget_last_key(self) -> None:
        """The next press is no bounce of the last one."""
        self._double.forget()

    def on_paste(self, event: events.Paste) -> None:
        if len(self.screen_stack) > 1:
            return
        rows = [row for row in event.text.splitlines() if row.strip()]
        if len(rows) > 1:
            self.tell_trouble("that is more than one line; one line is meant here")
        elif rows and not self.place.takes_paste(rows[0].strip()):
            self.tell_trouble("nothing is typed here")

    @on(KeysLine.Clicked)
    def key_clicked(self, message: KeysLine.Clicked) -> None:
        """A key on the line was clicked."""
        self.run_deed(message.deed)

    @on(Lines.Deed)
    def words_clicked(self, message: Lines.Deed) -> None:
        """Words that do something were clicked."""
        self.run_deed(message.deed)

    def run_deed(self, deed: str) -> None:
        """Do what a key or a click stands for: a method `deed_…` of the place, else of the app."""
        name, _, rest = deed.partition(":")
        self._say("", "message")
        for owner in (self.place, self):
            method = getattr(owner, f"deed_{name}", None)
            if method is not None:
                method(rest) if rest else method()
                return

    # --- deeds that work everywhere -------------------------------------------------------------

    def action_emergency(self) -> None:
        """F2, from anywhere, out of inputs and dialogs too."""
        from rovlog.faces.screens.cards import Cards

        if isinstance(self.screen, Cards):
            self.screen.dismiss(None)
            return
        self.push_screen(Cards(self._cards, lambda: self.look, self._card_opened), lambda _: self.redraw())

    deed_emergency = action_emergency

    def _card_opened(self, card: Item) -> None:
        self.opened_card = (card, self._book.clock.now())

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

    async def action_leave(self) -> None:
        """Leave; what waits for git is committed first."""
        self._logbook_thread.shutdown(wait=False)
        loop = asyncio.get_running_loop()
        await loop.run_in_executor(self._git_thread, self.desk.work_off)
        self.exit(0)

    def deed_leave(self) -> None:
        """Leave."""
        self.run_worker(self.action_leave(), exit_on_error=True)


def _theme(look: Look) -> Theme:
    ground = "ansi_default" if look.ground == "default" else look.ground
    ink = "ansi_default" if look.ink == "default" else look.ink
    field_ink, field_ground, _ = look.pairs["field"]
    variables = {
        "ground": ground,
        "ink": ink,
        "quiet": ink if look.pairs["quiet"][0] == "default" else look.pairs["quiet"][0],
        "field-ink": ink if field_ink == "default" else field_ink,
        "field-ground": ground if field_ground == "default" else field_ground,
    }
    return Theme(
        name=look.name,
        primary=ink,
        foreground=ink,
        background=ground,
        surface=ground,
        panel=ground,
        dark=look.name != "sun",
        ansi=look.ground == "default",
        variables=variables,
    )


def keys_of(place: Place) -> Sequence[Key]:
    """All keys that work in a place, its own first."""
    return [*place.keys(), *GENERAL_KEYS]
