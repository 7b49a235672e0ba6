"""What the five places have in common: they show what is in hand, name their keys, and do their deeds."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, ClassVar, TypeVar

from textual.containers import Container

from rovlog.faces.screens.desk import Desk, InHand
from rovlog.faces.screens.drawing import Pen
from rovlog.faces.screens.keys import Key
from rovlog.faces.screens.looks import Look

if TYPE_CHECKING:
    from textual import events

    from rovlog.faces.screens.app import RovlogApp

T = TypeVar("T")

WIDE = 120
"""Columns from which a place shows its parts side by side."""

NARROW = 60
"""Columns below which the item in hand has the screen for itself."""


class Place(Container):
    """One of the five places below the strip."""

    DEFAULT_CSS = "Place { height: 1fr; width: 100%; }"
    SCOPED_CSS = False

    TITLE: ClassVar[str] = ""
    NAME: ClassVar[str] = ""

    @property
    def rov(self) -> RovlogApp:
        """The app, typed."""
        found: RovlogApp = self.app  # type: ignore[assignment]
        return found

    @property
    def hand(self) -> InHand | None:
        """What is in hand."""
        return self.rov.hand

    def name_of(self, person: str) -> str:
        """A person's name, the id where it is not known."""
        return self.hand.name_of(person) if self.hand else person

    @property
    def look(self) -> Look:
        """The look in force."""
        return self.rov.look

    @property
    def pen(self) -> Pen:
        """A pen in the look in force."""
        return Pen(self.look)

    def do(self, job: Callable[[Desk], T], done: Callable[[T], None]) -> None:
        """Run a use case on the logbook's thread; `done` shows what it returned."""
        self.rov.do(job, done)

    def entered(self) -> None:
        """The place comes into sight."""

    def redraw(self) -> None:
        """Draw what is in hand anew."""

    def keys(self) -> Sequence[Key]:
        """The place's own keys of the moment."""
        return ()

    def takes(self, event: events.Key) -> bool:
        """Take a key as typing; True where it was taken."""
        return False

    @property
    def is_typing(self) -> bool:
        """True while digits are typed into something."""
        return False

    @property
    def digits_switch(self) -> bool:
        """True where a digit brings another place into sight."""
        return True

    def takes_paste(self, text: str) -> bool:
        """Take a pasted line as typing; True where it was taken."""
        return False

    def answers_note(self) -> str:
        """What stands behind the name of who answers where that is not who it usually is."""
        return "chosen" if self.rov.chosen_person else ""

    def answering(self) -> str:
        """Who is answering, by id; "" where nobody is asked."""
        hand = self.hand
        if hand is None or hand.state is None:
            return ""
        from rovlog.faces.screens.people import who_answers

        return self.rov.chosen_person or who_answers(None, hand.state.crew, hand.people or {})
