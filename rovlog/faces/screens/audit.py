"""The place Audit: the timeline, the moment picked in full beside it, and the questions asked of it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, ClassVar

from rich.text import Text
from textual import events, on
from textual.app import ComposeResult
from textual.containers import Horizontal

from rovlog.faces.reports.timeline_text import CLOCK_MARKS
from rovlog.faces.screens.audit_cases import AuditCases
from rovlog.faces.screens.desk import Desk
from rovlog.faces.screens.keys import Key, key
from rovlog.faces.screens.lines import Lines
from rovlog.faces.screens.place import WIDE

if TYPE_CHECKING:
    from rovlog.domain.audit.timeline import Moment

KIND_MARKS = {
    "dive": "▿",
    "work": "□",
    "change": "∆",
    "approval": "✓",
    "withdrawal": "–",
    "fault": "✗",
    "event": "!",
    "trim": "±",
    "readback": "=",
    "waiver": "~",
    "release": "›",
    "close": "▪",
}
"""A mark for each kind of moment; it never stands without the word."""

FILTERS = (
    (
        "the story",
        ("dive", "work", "fault", "event", "change", "approval", "withdrawal", "fitted", "trim", "waiver"),
    ),
    ("everything", ()),
    ("dives and work", ("dive", "work")),
    ("faults and events", ("fault", "event", "waiver")),
    ("changes and approvals", ("change", "approval", "withdrawal", "fitted")),
)


AROUND = 2
"""Moments kept in sight before and after the picked one."""


def nearest(moments: Sequence[Moment], kept: Moment | None) -> int:
    """The place of a moment among others, of the last one not after it where it is not there."""
    if kept is None:
        return max(0, len(moments) - 1)
    if kept in moments:
        return list(moments).index(kept)
    before = [place for place, m in enumerate(moments) if m.at <= kept.at]
    return before[-1] if before else 0


class Audit(AuditCases):
    """Newest at the bottom, where it opens; only the lines in sight are drawn."""

    TITLE = "Audit"
    NAME = "audit"

    SCOPED_CSS = False
    DEFAULT_CSS = """
    Audit Horizontal { layout: vertical; }
    Audit #timeline { height: 50%; padding: 0 1; }
    Audit #moment { height: 1fr; padding: 0 1; }
    Screen.-wide Audit Horizontal { layout: horizontal; }
    Screen.-wide Audit #timeline { width: 76; height: 1fr; margin-right: 2; }
    """

    KEYS: ClassVar[tuple[Key, ...]] = (
        key("enter", "in full", "full"),
        key("s", "suspects", "suspects"),
        key("d", "diagnose", "diagnose"),
        key("g", "last good", "known_good"),
        key("b", "between two dives", "between"),
        key("k", "kinds", "kinds"),
        key("h", "history of a value", "field_history"),
        key("w", "which dives flew with a value", "flown", is_shown=False),
        key("x", "start the next experiment", "experiment", is_shown=False),
        key("f", "faults and their stages", "faults", is_shown=False),
        key("r", "the same symptom elsewhere", "recurrence", is_shown=False),
        key("up", "the moment before", "move:-1", "up", is_shown=False),
        key("down", "the moment after", "move:1", "down", is_shown=False),
        key("pageup", "a page back", "turn:-1", "page up", is_shown=False),
        key("pagedown", "a page on", "turn:1", "page down", is_shown=False),
        key("home", "the first", "edge:0", "home", is_shown=False),
        key("end", "the last", "edge:1", "end", is_shown=False),
        key("right", "scroll the picked moment", "scroll:1", "right", is_shown=False),
        key("left", "scroll it back", "scroll:-1", "left", is_shown=False),
    )

    def compose(self) -> ComposeResult:
        """The timeline, and the moment picked."""
        with Horizontal():
            yield Lines(lambda: self.look, can_pick=True, id="timeline")
            yield Lines(lambda: self.look, id="moment")

    def on_resize(self, event: events.Resize) -> None:
        self._draw_moment()

    def keys(self) -> Sequence[Key]:
        """The keys of the place."""
        return self.KEYS

    def entered(self) -> None:
        """Read the timeline anew."""
        self._read()

    def redraw(self) -> None:
        """What is in hand changed."""
        vehicle = self.hand.vehicle if self.hand else ""
        if vehicle != self.vehicle:
            self._read()
        else:
            self._draw_moment()

    def _read(self) -> None:
        vehicle = self.hand.vehicle if self.hand else ""
        self.vehicle = vehicle
        if not vehicle:
            self.moments = ()
            self.query_one("#timeline", Lines).show_lines(
                [self.pen.line(("no vehicle is on file yet", "quiet"))]
            )
            return
        kinds = FILTERS[self.filter][1]

        def job(desk: Desk) -> tuple[Moment, ...]:
            from rovlog.usecases.audit_timeline import vehicle_timeline

            return vehicle_timeline(desk.logbook, vehicle, kinds=kinds)

        def done(moments: tuple[Moment, ...]) -> None:
            kept = self.moments[self.picked] if self.picked < len(self.moments) else None
            self.moments = moments
            timeline = self.query_one("#timeline", Lines)
            timeline.margin = AROUND
            timeline.show_rows(len(moments), self._row, nearest(moments, kept))
            self.show_moment()

        self.do(job, done)

    @property
    def picked(self) -> int:
        """The place of the picked moment."""
        return self.query_one("#timeline", Lines).picked

    def _row(self, index: int, width: int, picked: bool) -> Text:
        moment, pen = self.moments[index], self.pen
        is_new_day = index == 0 or self.moments[index - 1].at[:10] != moment.at[:10]
        day = moment.at[:10] if is_new_day else " " * 10
        mark = KIND_MARKS.get(moment.kind, "·")
        style = {"fault": "failed", "approval": "answered", "withdrawal": "expired", "change": "waived"}.get(
            moment.kind, "text"
        )
        style = "picked" if picked else style
        head = f"{day} {moment.at[11:16]}{CLOCK_MARKS.get(moment.clock, ' ')} {mark} {moment.kind:<10} "
        line = pen.line((head, "picked" if picked else "quiet"), (self._words(moment), style))
        line.truncate(width, overflow="ellipsis")
        if picked:
            line.append(" " * max(0, width - line.cell_len), pen.look.style("picked"))
        return line

    def _words(self, moment: Moment) -> str:
        """The moment in words, without saying again whose timeline this is."""
        text = moment.text
        for head in (f"dive of {self.vehicle} at ", f"work on {self.vehicle}: "):
            text = text.removeprefix(head)
        return text

    def show_moment(self) -> None:
        """Show the picked moment in full; of a fault also what may be behind it."""
        self.detail = ""
        self.query_one("#moment", Lines).scroll_to(y=0, animate=False)
        moment = self.moment
        if moment is not None and moment.kind == "fault":
            self.explain(moment)
        elif moment is not None and moment.kind in ("dive", "work"):
            self.describe(moment)
        self._draw_moment()

    def _draw_moment(self) -> None:
        moment, pen = self.moment, self.pen
        lines = self.query_one("#moment", Lines)
        width = max(
            20, (self.app.size.width - 80 if self.app.size.width >= WIDE else self.app.size.width) - 3
        )
        if moment is None:
            lines.show_lines([pen.line(("nothing is on record", "quiet"))])
            return
        where = f"  {self.picked + 1} of {len(self.moments)}, {FILTERS[self.filter][0]}"
        shown = [
            pen.line((f"{moment.at[:16].replace('T', ' ')}  {moment.kind}", "challenge"), (where, "quiet"))
        ]
        shown += pen.fold(moment.text, width, "strong")
        if moment.by:
            shown += pen.fold(f"by {self.name_of(moment.by)}, in {moment.record}", width, "quiet")
        if moment.is_jump:
            shown += pen.fold("its clock went back", width, "old")
        if moment.clock == "memory":
            shown += pen.fold("the time is from memory", width, "old")
        shown += pen.report(self.detail, width, moment.kind == "fault")
        lines.show_lines(shown)

    def deed_move(self, by: str) -> None:
        """Pick another moment."""
        self.query_one("#timeline", Lines).move(int(by))
        self.show_moment()

    def deed_turn(self, by: str) -> None:
        """Turn a page of the timeline."""
        self.query_one("#timeline", Lines).turn_page(int(by))
        self.show_moment()

    def deed_edge(self, which: str) -> None:
        """The first or the last moment."""
        self.query_one("#timeline", Lines).pick(len(self.moments) - 1 if which == "1" else 0)
        self.show_moment()

    def deed_scroll(self, by: str) -> None:
        """Scroll the picked moment."""
        self.query_one("#moment", Lines).turn_page(int(by))

    def deed_kinds(self) -> None:
        """Show other kinds of moments."""
        self.filter = (self.filter + 1) % len(FILTERS)
        self._read()
        self.rov.tell(f"shown: {FILTERS[self.filter][0]}")

    @on(Lines.Picked, "#timeline")
    def clicked(self, message: Lines.Picked) -> None:
        """A click picks a moment."""
        message.stop()
        self.show_moment()
