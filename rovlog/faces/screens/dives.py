"""The place Dives: every dive and work, the entries of the one picked, and what is logged by hand."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from rich.text import Text
from textual import events, on
from textual.app import ComposeResult
from textual.containers import Horizontal

from rovlog.domain.dive import Entry, Record
from rovlog.faces.reports.check_text import caller
from rovlog.faces.reports.plain import clean
from rovlog.faces.screens.desk import Desk
from rovlog.faces.screens.entry_words import entry_line
from rovlog.faces.screens.keys import Key, key
from rovlog.faces.screens.lines import Lines
from rovlog.faces.screens.log_deeds import LogDeeds
from rovlog.faces.screens.place import WIDE
from rovlog.usecases.list_dives import ListedRecord


class Dives(LogDeeds):
    """Newest first; the arrows pick one, enter takes it in hand."""

    TITLE = "Dives"
    NAME = "dives"

    SCOPED_CSS = False
    DEFAULT_CSS = """
    Dives Horizontal { layout: vertical; }
    Dives #records { height: 40%; min-height: 5; padding: 0 1; }
    Dives #entries { height: 1fr; padding: 0 1; }
    Screen.-wide Dives Horizontal { layout: horizontal; }
    Screen.-wide Dives #records { width: 56; height: 1fr; margin-right: 2; }
    """

    KEYS: ClassVar[tuple[Key, ...]] = (
        key("enter", "take in hand", "take"),
        key("n", "new dive", "new_dive"),
        key("m", "mark", "mark"),
        key("t", "trim", "trim"),
        key("f", "fault", "fault"),
        key("o", "note", "note"),
        key("c", "close", "close"),
        key("w", "new work outside a dive", "new_work", is_shown=False),
        key("e", "event that voids answers", "event", is_shown=False),
        key("s", "setup, as the pilot says it", "setup", is_shown=False),
        key("b", "box readback, typed in", "readback", is_shown=False),
        key("r", "reading: clamp meter, gauge, load step", "reading", is_shown=False),
        key("p", "push of the function test, and what was seen", "observe", is_shown=False),
        key("k", "change of crew", "crew", is_shown=False),
        key("g", "change of place or water", "change_place", is_shown=False),
        key("j", "part fitted", "fitted", is_shown=False),
        key("y", "file kept as evidence", "attach", is_shown=False),
        key("u", "correct an entry", "correct_entry", is_shown=False),
        key("up", "the record before", "move:-1", "up", is_shown=False),
        key("down", "the record after", "move:1", "down", is_shown=False),
        key("pagedown", "more entries", "scroll:1", "page down", is_shown=False),
        key("pageup", "earlier entries", "scroll:-1", "page up", is_shown=False),
        key("i", "the record in full", "full", is_shown=False),
        key("x", "everything that stops the dive", "stops", is_shown=False),
    )

    def __init__(self, id: str | None = None) -> None:
        super().__init__(id=id)
        self._rows: list[ListedRecord] = []
        self._record: Record | None = None
        self._shown = ""
        self._hand_seen = ""

    def compose(self) -> ComposeResult:
        """Records, and the entries of the one picked."""
        with Horizontal():
            yield Lines(lambda: self.look, can_pick=True, id="records")
            yield Lines(lambda: self.look, id="entries")

    def on_resize(self, event: events.Resize) -> None:
        self._draw()

    def entered(self) -> None:
        """Read the list anew."""
        self._read()

    def redraw(self) -> None:
        """What is in hand changed: its entries too."""
        self._read()

    def _read(self) -> None:
        def job(desk: Desk) -> list[ListedRecord]:
            from rovlog.usecases.list_dives import list_dives

            rows = [*list_dives(desk.logbook, "dive"), *list_dives(desk.logbook, "work")]
            return sorted(
                rows, key=lambda r: (r.is_closed, "-work-" in r.id and r.is_closed, _back(r.started))
            )

        def done(rows: list[ListedRecord]) -> None:
            is_new = self._hand_seen != self.in_hand_id()
            self._hand_seen = self.in_hand_id()
            picked = (self._hand_seen if is_new else "") or self._picked_id() or self._hand_seen
            self._rows = rows
            ids = [r.id for r in rows]
            lines = self.query_one("#records", Lines)
            lines.show_rows(len(rows), self._row, ids.index(picked) if picked in ids else 0)
            self._read_record()

        self.do(job, done)

    def _picked_id(self) -> str:
        lines = self.query_one("#records", Lines)
        return self._rows[lines.picked].id if self._rows and lines.picked < len(self._rows) else ""

    def _read_record(self) -> None:
        picked = self._picked_id()
        if not picked:
            self._record = None
            self._draw()
            return

        def done(record: Record) -> None:
            if record.id == self._picked_id():
                self._record = record
                self._draw()

        def job(desk: Desk) -> Record:
            from rovlog.usecases.covered_record import covered_record

            return covered_record(desk.logbook, desk.logbook.record(picked))

        self.do(job, done)

    def _row(self, index: int, width: int, picked: bool) -> Text:
        row, pen = self._rows[index], self.pen
        is_in_hand = row.id == self.in_hand_id() and not row.is_closed
        state = "open" if not row.is_closed else ""
        fault = f"fault {row.faults[0]}" if row.faults else ""
        work = "work" if "-work-" in row.id else f"{row.number:>4}"
        left = f"{'>' if is_in_hand else ' '}{row.started[:10]} {row.subject} {work}  {row.where}"
        right = "  ".join(x for x in (fault, "in hand" if is_in_hand else state) if x)
        style = (
            "picked" if picked else ("strong" if not row.is_closed else ("expired" if row.faults else "text"))
        )
        line = pen.beside(pen.line((left, style)), pen.line((f" {right} " if right else "", style)), width)
        if picked:
            line.stylize(pen.look.style("picked"))
        return line

    def _draw(self) -> None:
        lines, pen, record = self.query_one("#entries", Lines), self.pen, self._record
        width = max(
            20, (self.app.size.width - 62 if self.app.size.width >= WIDE else self.app.size.width) - 3
        )
        if record is None:
            lines.show_lines(
                pen.fold("Nothing is on record yet: n starts a dive, w work outside one.", width, "strong")
            )
            return
        hand = self.hand
        names = hand.name_of if hand else str
        called = caller(hand.state.fold.items) if hand is not None and hand.state is not None else str
        crew = ", ".join(f"{r} {clean(names(p))}" for r, p in self._crew(record).items())
        head = [pen.line((record.id, "challenge"), ("  closed" if record.is_closed else "  open", "quiet"))]
        if crew:
            head += pen.fold(crew, width, "quiet")
        head += pen.fold("ctrl+q leaves rovlog; everything kept is on the disk", width, "quiet")
        entries = list(record.entries)

        def line_at(index: int, line_width: int, picked: bool) -> Text:
            if index < len(head):
                return head[index]
            return entry_line(entries[index - len(head)], line_width, pen, names, called)

        was_at_end = lines.scroll_offset.y + lines.size.height >= lines.count
        lines.show_rows(len(head) + len(entries), line_at)
        if was_at_end or self._shown != record.id:
            lines.scroll_to(y=max(0, len(head) + len(entries) - lines.size.height), animate=False)
        self._shown = record.id

    @staticmethod
    def _crew(record: Record) -> dict[str, str]:
        crew: dict[str, str] = {}
        for entry in record.of_kind("start", "crew"):
            crew.update(entry.fields.get("crew") or {})
        return crew

    def keys(self) -> Sequence[Key]:
        """The keys of the place."""
        return self.KEYS

    def deed_move(self, by: str) -> None:
        """Pick another record."""
        self.query_one("#records", Lines).move(int(by))
        self._read_record()

    def deed_scroll(self, by: str) -> None:
        """Scroll the entries."""
        self.query_one("#entries", Lines).turn_page(int(by))

    def deed_take(self) -> None:
        """Take the picked record in hand; an open one goes on in Checks."""
        picked = self._picked_id()
        if not picked:
            return

        def done(hand: object) -> None:
            from rovlog.faces.screens.desk import InHand

            assert isinstance(hand, InHand)
            self.rov.chosen_person = ""
            self.rov.show_hand(hand)
            if hand.state is not None and not hand.state.record.is_closed:
                self.rov.go("checks")
            self.rov.tell(f"in hand: {picked}")

        self.do(lambda desk: desk.take(picked), done)

    def deed_full(self) -> None:
        """The picked record in full, as the command line shows it."""

        picked, hand = self._picked_id(), self.hand
        if not picked or hand is None:
            return

        def job(desk: Desk) -> str:
            from rovlog.faces.reports.dive_text import dive_text, entries_text
            from rovlog.usecases.covered_record import covered_record
            from rovlog.usecases.dive_state import dive_state

            record = desk.logbook.record(picked)
            text = dive_text(dive_state(desk.logbook, record), hand.name_of)
            return text + "\n" + entries_text(covered_record(desk.logbook, record), hand.name_of)

        self.do(job, lambda text: self.rov.read_page(picked, text))

    @on(Lines.Picked, "#records")
    def clicked(self, message: Lines.Picked) -> None:
        """A click picks a record."""
        message.stop()
        self._read_record()

    def entries_in_hand(self) -> list[Entry]:
        """The entries of the record in hand."""
        state = self.hand.state if self.hand else None
        return list(state.record.entries) if state else []


def _back(started: str) -> tuple[int, ...]:
    """A key that puts later times first."""
    return tuple(-ord(c) for c in started[:19])
