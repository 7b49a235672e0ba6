"""Asking a person: a few lines to fill in, or one thing to pick. Leaving with escape changes nothing."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from rich.text import Text
from textual import events, on
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.screen import ModalScreen
from textual.widgets import Input, Static

from rovlog.faces.screens.drawing import Pen
from rovlog.faces.screens.lines import Lines
from rovlog.faces.screens.looks import Look
from rovlog.values import dataclass

if TYPE_CHECKING:
    from rovlog.faces.screens.app import RovlogApp


@dataclass(frozen=True, slots=True)
class Blank:
    """One line of a form: its name, what it is called, what stands in it first, what it may hold.

    Where `options` are given the arrows up and down go through them; other words may still be typed.
    """

    name: str
    label: str
    initial: str = ""
    options: tuple[str, ...] = ()
    hint: str = ""


MOST_NAMED = 8
"""Options that are named below a line; of more only the first and the last are."""


def options_words(options: Sequence[str]) -> str:
    """What a line may hold, in words."""
    if len(options) > MOST_NAMED:
        return f"up and down: one of {len(options)}, {options[0]} to {options[-1]}"
    return f"one of: {', '.join(options)} (up and down)"


class OneLine(Input):
    """An input of one line. Several lines pasted into it are refused, not cut down to the first."""

    DEFAULT_CSS = """
    OneLine { height: 1; border: none; padding: 0 1; background: $field-ground; color: $field-ink;
        background-tint: $field-ground 0%; }
    OneLine:focus { border: none; text-style: bold underline; background: $field-ground; color: $field-ink;
        background-tint: $field-ground 0%; }
    """

    def __init__(self, blank: Blank) -> None:
        super().__init__(value=blank.initial, id=f"blank-{blank.name}", compact=True, select_on_focus=True)
        self.blank = blank
        self.cursor_blink = False

    def _on_paste(self, event: events.Paste) -> None:
        event.stop()
        event.prevent_default()
        self.put_pasted(event.text)

    def put_pasted(self, text: str) -> None:
        """Put a pasted line where the cursor stands, whatever empty lines stood about it."""
        rows = [row.strip() for row in text.splitlines() if row.strip()]
        screen = self.screen
        if len(rows) == 1:
            self.replace(rows[0], *self.selection)
        elif rows and isinstance(screen, Form):
            screen.tell("that is more than one line; one line is meant here")

    async def _on_key(self, event: events.Key) -> None:
        """Keys that move or take back are done at once: what is typed behind them must not overtake them."""
        direct = {
            "backspace": self.action_delete_left,
            "delete": self.action_delete_right,
            "left": self.action_cursor_left,
            "right": self.action_cursor_right,
            "home": self.action_home,
            "end": self.action_end,
        }
        if event.key in direct:
            direct[event.key]()
        elif event.key == "enter" and isinstance(self.screen, Form):
            if not self.screen.is_bounce(event):
                self.screen.line_done(self)
        elif event.key in ("up", "down") and self.blank.options:
            options = self.blank.options
            by = 1 if event.key == "down" else -1
            at = options.index(self.value) + by if self.value in options else (0 if by > 0 else -1)
            self.value = options[at % len(options)]
            self.cursor_position = len(self.value)
        else:
            await super()._on_key(event)
            return
        event.stop()
        event.prevent_default()


class Dialog(ModalScreen[None]):
    """A box above the place, in the look in force. Escape leaves it."""

    DEFAULT_CSS = """
    Dialog { align: center bottom; background: $ground 0%; }
    Dialog > Vertical { margin-bottom: 1; width: 74; max-width: 100%; height: auto; max-height: 100%;
        background: $ground; color: $ink; border: heavy $ink; padding: 0 1; }
    Dialog Static { height: auto; background: $ground; color: $ink; }
    Dialog .blank { height: auto; background: $ground; }
    Dialog .blank Static { width: 26; padding-right: 1; }
    Dialog .blank OneLine { width: 1fr; }
    Dialog.-narrow .blank { layout: vertical; }
    Dialog.-narrow .blank Static { width: 100%; }
    Dialog.-narrow .blank OneLine { width: 100%; }
    """

    @property
    def look(self) -> Look:
        """The look in force."""
        app: RovlogApp = self.app  # type: ignore[assignment]
        return app.look

    @property
    def pen(self) -> Pen:
        """A pen in the look in force."""
        return Pen(self.look)

    def is_bounce(self, event: events.Key) -> bool:
        """True for the second of two presses that count once; also of the key that opened this."""
        app: RovlogApp = self.app  # type: ignore[assignment]
        return app.is_bounce(event)

    def leave(self) -> None:
        """Close without a result."""
        self.dismiss(None)

    def on_key(self, event: events.Key) -> None:
        self._seen = event

    def has_seen(self, event: events.Key) -> bool:
        """True for a key that came through this dialog; False for one pressed before it could be heard."""
        return getattr(self, "_seen", None) is event

    def take_early(self, event: events.Key) -> None:
        """A key that was pressed after this was asked for and before it was there."""


class Form(Dialog):
    """A few lines to fill in. `keep` is called with what stands in them; what it refuses is shown here."""

    def __init__(
        self,
        title: str,
        blanks: Sequence[Blank],
        keep: Callable[[dict[str, str], Form], None],
        note: str = "",
    ) -> None:
        super().__init__()
        self._title, self._blanks, self._keep, self._note = title, tuple(blanks), keep, note
        self._is_keeping = False
        self._early: list[events.Key] = []

    def compose(self) -> ComposeResult:
        """Title, lines, hint, message."""
        with Vertical():
            yield Static(self.pen.line((self._title, "strong")), markup=False)
            if self._note:
                yield Static(Text("\n").join(self.pen.fold(self._note, self._room, "quiet")), markup=False)
            for blank in self._blanks:
                with Horizontal(classes="blank"):
                    yield Static(self.pen.line((blank.label, "label")), markup=False)
                    yield OneLine(blank)
            yield Static("", id="form-message", markup=False)

    @property
    def _room(self) -> int:
        """Columns inside the box."""
        return max(20, min(70, self.app.size.width - 4))

    def on_mount(self) -> None:
        self.set_focus(self.query(OneLine).first())
        early, self._early = self._early, []
        for event in early:
            self.take_early(event)

    def take_early(self, event: events.Key) -> None:
        """What is typed after the form was asked for belongs into its line, also before that is drawn."""
        if not (event.is_printable or event.key == "backspace"):
            return
        line = self._line_in_hand()
        if line is None:
            self._early.append(event)
        else:
            line.post_message(event)

    def _line_in_hand(self) -> OneLine | None:
        if isinstance(self.focused, OneLine):
            return self.focused
        return next(iter(self.query(OneLine)), None)

    def on_paste(self, event: events.Paste) -> None:
        event.stop()
        self.take_paste(event.text)

    def take_paste(self, text: str) -> None:
        """A line pasted before the form's own line was in hand."""
        line = self._line_in_hand()
        if line is not None:
            line.put_pasted(text)

    def on_descendant_focus(self) -> None:
        """Say what the line in hand may hold."""
        self.query_one("#form-message", Static).update(Text("\n").join(self._help()))

    def _help(self) -> list[Text]:
        line = self.focused
        lines: list[Text] = []
        if isinstance(line, OneLine):
            options = line.blank.options
            said = [options_words(options)] if options else []
            said += [line.blank.hint] if line.blank.hint else []
            if said:
                lines = self.pen.fold("; ".join(said), self._room, "quiet")
        rows = list(self.query(OneLine))
        is_last = not rows or line is rows[-1]
        enter = "enter keep" if is_last else "enter next line"
        return [*lines, *self.pen.fold(f"{enter}  esc leave  F2 emergency", self._room, "quiet")]

    def tell(self, message: str) -> None:
        """Show why it was not kept; the form stays as it is."""
        self._is_keeping = False
        lines = self.pen.fold(message, self._room, "trouble")
        self.query_one("#form-message", Static).update(Text("\n").join([*lines, *self._help()]))

    @on(Input.Changed)
    def corrected(self) -> None:
        """What was wrong is being mended: the message goes."""
        self.query_one("#form-message", Static).update(Text("\n").join(self._help()))

    def values(self) -> dict[str, str]:
        """What stands in the lines."""
        return {row.blank.name: row.value.strip() for row in self.query(OneLine)}

    def line_done(self, line: OneLine) -> None:
        """Enter keeps on the last line, and goes on to the next on the others."""
        rows = list(self.query(OneLine))
        at = rows.index(line)
        if at + 1 < len(rows):
            self.set_focus(rows[at + 1])
        elif not self._is_keeping:
            self._is_keeping = True
            self._keep(self.values(), self)

    def on_key(self, event: events.Key) -> None:
        if event.key == "escape":
            event.stop()
            self.leave()
        elif event.is_printable:
            event.stop()
            self.take_early(event)


class Pick(Dialog):
    """One thing to pick from a list, by arrows and enter, by number, or with the mouse."""

    DEFAULT_CSS = "Pick Lines { height: auto; max-height: 14; min-height: 1; }"

    def __init__(
        self, title: str, rows: Sequence[str], take: Callable[[int], None], note: str = "", picked: int = 0
    ) -> None:
        super().__init__()
        self._title, self._rows, self._take, self._note, self._first = title, tuple(rows), take, note, picked

    def compose(self) -> ComposeResult:
        """Title, rows, hint."""
        with Vertical():
            yield Static(Text("\n").join(self.pen.fold(self._title, 66, "strong")), markup=False)
            if self._note:
                yield Static(Text("\n").join(self.pen.fold(self._note, 66, "quiet")), markup=False)
            yield Lines(lambda: self.look, can_pick=True, id="pick-rows")
            yield Static(
                self.pen.line((f"{self._digits()}up and down, enter take  esc leave  F2 emergency", "quiet")),
                markup=False,
                id="pick-hint",
            )

    def on_mount(self) -> None:
        lines = self.query_one(Lines)
        lines.styles.height = max(1, min(14, len(self._rows), self.app.size.height - 6))
        lines.show_rows(len(self._rows), self._row, self._first)

    def take_early(self, event: events.Key) -> None:
        """Nobody picks what is not in sight yet: the key is dropped, and that is said."""
        if self.is_mounted:
            words = "a key pressed before this was drawn was not taken"
            self.query_one("#pick-hint", Static).update(self.pen.line((words, "trouble")))

    def _digits(self) -> str:
        count = min(9, len(self._rows))
        return f"1 to {count} takes, " if count > 1 else ""

    def _row(self, index: int, width: int, picked: bool) -> Text:
        number = f"{index + 1}" if index < 9 else " "
        words = f"{'>' if picked else ' '}{number}  {self._rows[index]}"
        return self.pen.band(words, width, "picked") if picked else self.pen.line((words, "text"))

    def on_key(self, event: events.Key) -> None:
        lines = self.query_one(Lines)
        if self.is_bounce(event):
            event.stop()
            return
        moves = {"up": -1, "down": 1}
        if event.key in moves:
            lines.move(moves[event.key])
        elif event.key in ("pageup", "pagedown"):
            lines.turn_page(1 if event.key == "pagedown" else -1)
        elif event.key == "enter":
            self._picked(lines.picked)
        elif (
            event.character
            and event.character.isdigit()
            and 0 < int(event.character) <= min(9, len(self._rows))
        ):
            self._picked(int(event.character) - 1)
        elif event.key == "escape":
            self.leave()
        else:
            return
        event.stop()

    @on(Lines.Picked)
    def take_clicked(self, message: Lines.Picked) -> None:
        """A second click on the picked row takes it; so does enter."""
        message.stop()
        self._picked(message.index)

    def _picked(self, index: int) -> None:
        if self._rows:
            self.dismiss(None)
            self._take(index)
