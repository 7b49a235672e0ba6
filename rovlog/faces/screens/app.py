"""The app: the strip that never leaves, one of five places below it, the emergency cards over all."""

from __future__ import annotations

import asyncio
import gc
import os
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from typing import TYPE_CHECKING, ClassVar, TypeVar

from textual import events, on
from textual.binding import Binding, BindingType
from textual.message import Message
from textual.screen import Screen

from rovlog.faces.screens.app_deeds import DeedsEverywhere
from rovlog.faces.screens.desk import Desk, InHand
from rovlog.faces.screens.drawing import Pen
from rovlog.faces.screens.keys import DoublePress, KeysLine
from rovlog.faces.screens.lines import Lines
from rovlog.faces.screens.looks import LOOKS, NO_COLOUR, Look
from rovlog.faces.screens.message_line import MessageLine
from rovlog.faces.screens.places import PLACES, PlacesLine
from rovlog.faces.screens.room import DIGITS, GENERAL_KEYS, Room
from rovlog.faces.screens.strip import Offer, StripWidget
from rovlog.faces.screens.style_sheet import STYLE_SHEET
from rovlog.faces.screens.themes import theme_of
from rovlog.problems import RovlogError

if TYPE_CHECKING:
    from rovlog.domain.checks.checklist import Item
    from rovlog.faces.screens.place import Place
    from rovlog.usecases.ports import Book

T = TypeVar("T")

LOOK_ON_S = 20.0
"""Seconds after which what is in hand is read anew, so that what ran out by the clock comes back."""


class RovlogApp(DeedsEverywhere):
    """rovlog in a terminal."""

    ENABLE_COMMAND_PALETTE = False
    AUTO_FOCUS = None
    HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (60, "-usual"), (120, "-wide")]  # noqa: RUF012 - as the base class has it
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("f2", "emergency", "Emergency", priority=True, show=False),
        Binding("ctrl+q", "leave", "Leave", priority=True, show=False),
        Binding("ctrl+c", "leave", "Leave", priority=True, show=False),
    ]
    CSS = STYLE_SHEET

    def __init__(self, book: Book, look: str = "") -> None:
        is_plain = bool(os.environ.get("NO_COLOR"))
        super().__init__(ansi_color=True if is_plain else None)
        self.look: Look = NO_COLOUR if is_plain else LOOKS.get(look, LOOKS["dark"])
        for one in (*LOOKS.values(), NO_COLOUR):
            self.register_theme(theme_of(one))
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
        self._said = 0
        self.cards: tuple[Item, ...] = ()
        self.opened_card = None

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
        if not self._has_places():
            # A logbook of a few dives may be read before all is there to show it.
            self.set_timer(0.01, lambda: self._begun(found))
            return
        hand, self.cards = found
        self.hand = hand
        if not self.is_headless:
            # What is in memory now stays: to search ten thousand dives for waste would hold up a key.
            gc.freeze()
        dives = [o for o in hand.opened if o.kind == "dive"]
        self.go("checks" if hand.state else "dives")
        if hand.trouble:
            self.tell_trouble(hand.trouble)
        if len(dives) > 1:
            self.deed_choose_vehicle()

    def _has_places(self) -> bool:
        """True once every place is composed."""
        found = {p.id: p.is_mounted for p in self.screen_stack[0].query("Room > Place")}
        return all(found.get(name, False) for name in PLACES)

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

    def keep(
        self,
        job: Callable[[Desk], T],
        done: Callable[[T], None],
        failed: Callable[[RovlogError], None] | None = None,
        enter_rest_s: float = 0.0,
    ) -> None:
        """As `do`, for what brings another item in hand: keys pressed before that is drawn are dropped."""
        self._double.close()
        said = self._said

        def kept(result: T) -> None:
            done(result)
            self._forget_words(said, is_done=True)
            self._hear_when_drawn(enter_rest_s)

        def refused(error: RovlogError) -> None:
            (failed or self.tell_error)(error)
            self._forget_words(said, is_done=True)
            self._hear_when_drawn(0.0)

        self.do(job, kept, refused)

    def _hear_when_drawn(self, enter_rest_s: float) -> None:
        # Just before it is drawn, not when we hear of that: on a busy machine it may be seen long before.
        shown_s = Message().time

        def drawn() -> None:
            self._double.open(shown_s, enter_rest_s)

        self.call_after_refresh(drawn)

    async def _do(
        self,
        job: Callable[[Desk], T],
        done: Callable[[T], None],
        failed: Callable[[RovlogError], None] | None,
    ) -> None:
        loop = asyncio.get_running_loop()
        try:
            result = await loop.run_in_executor(self._logbook_thread, self.desk.does, job)
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
            head = "kept on the disk, not yet in git: " if trouble.commit is None else ""
            self.tell_trouble(f"{head}{trouble.reason}{mend}")

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
        room.query_one(StripWidget).show(self.hand, self.place.answering(), offer, self.place.answers_note())
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
        """Say something in the message line: on one line, so that it covers nothing in hand."""
        self._say(words, "message", is_short=True)

    def tell_trouble(self, words: str) -> None:
        """Say in the message line what did not work."""
        self._say(words, "trouble")

    def tell_error(self, error: RovlogError) -> None:
        """Show an error in full, with its mend."""
        mend = f"; mend: {error.mend}" if error.mend else ""
        self.tell_trouble(f"{error.message}{mend}")

    def _say(self, words: str, style: str, is_short: bool = False) -> None:
        width = max(20, self.size.width)
        lines = self.pen.fold(words, width, style) if words else []
        if is_short and len(lines) > 1:
            lines = [self.pen.line((words, style))]
            lines[0].truncate(width, overflow="ellipsis")
        self._said += 1
        self.screen_stack[0].query_one(MessageLine).say(lines)

    def _forget_words(self, said: int, is_done: bool = False) -> None:
        """What was said before a press is said no more, unless something else has been said since.

        While something is being kept it stands until that is done, so that one picture follows the other.
        """
        if self._said == said and (is_done or not self._double.is_closed):
            self._say("", "message")

    # --- keys -----------------------------------------------------------------------------------

    def on_key(self, event: events.Key) -> None:
        if len(self.screen_stack) > 1:
            self._hand_on(event)
            return
        if self.hand is None:
            return
        place = self.place
        is_typing = place.is_typing
        if self.is_bounce(event, is_typing):
            event.stop()
            return
        said = self._said
        if place.takes(event):
            event.stop()
            self._forget_words(said)
            return
        for k in (*place.keys(), *GENERAL_KEYS):
            if event.key in k.keys:
                event.stop()
                self.run_deed(k.deed)
                return
        self._forget_words(said)
        if place.digits_switch and event.key in DIGITS:
            event.stop()
            self.go(DIGITS[event.key])

    def _hand_on(self, event: events.Key) -> None:
        """A key that was on its way to the place when a dialog was asked for goes to that."""
        from rovlog.faces.screens.dialogs import Dialog

        if isinstance(self.screen, Dialog) and not self.screen.has_seen(event):
            event.stop()
            self.screen.take_early(event)

    def is_bounce(self, event: events.Key, is_typing: bool = False) -> bool:
        """True for the second of two presses that count once, and for one pressed before what is in sight."""
        return self._double.is_unread(event.key, event.time) or self._double.is_bounce(
            event.key, event.time, is_typing
        )

    def forget_last_key(self) -> None:
        """The next press is no bounce of the last one."""
        self._double.forget()

    def on_paste(self, event: events.Paste) -> None:
        if len(self.screen_stack) > 1:
            from rovlog.faces.screens.dialogs import Form

            if isinstance(self.screen, Form):
                self.screen.take_paste(event.text)
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
        said = self._said
        for owner in (self.place, self):
            method = getattr(owner, f"deed_{name}", None)
            if method is not None:
                method(rest) if rest else method()
                break
        self._forget_words(said)

    async def action_leave(self) -> None:
        """Leave; what waits for git is committed first."""
        self._logbook_thread.shutdown(wait=False)
        loop = asyncio.get_running_loop()
        await loop.run_in_executor(self._git_thread, self.desk.work_off)
        self.exit(0)

    def deed_leave(self) -> None:
        """Leave."""
        self.run_worker(self.action_leave(), exit_on_error=True)
