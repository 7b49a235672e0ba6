"""The place Drift: one block a difference, baseline, files, box and pilot side by side, and what it does."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, ClassVar

from rich.text import Text
from textual import events
from textual.app import ComposeResult

from rovlog.domain.drift.words import place_words
from rovlog.faces.reports.drift_text import COLUMN_WORDS, headline, verdict
from rovlog.faces.reports.plain import clean
from rovlog.faces.screens.desk import Desk, InHand
from rovlog.faces.screens.dialogs import Blank
from rovlog.faces.screens.keys import Key, key
from rovlog.faces.screens.lines import Lines
from rovlog.faces.screens.log_deeds import LogDeeds
from rovlog.faces.screens.strip import ago_words

if TYPE_CHECKING:
    from rovlog.domain.drift.compare import Deviation
    from rovlog.usecases.compare_drift import Drift

SOURCES = ("baseline", "working", "readback", "logged")
"""The columns. What the box has stored apart from what it uses stands below the row."""


class DriftPlace(LogDeeds):
    """What stops the dive stands first; the arrows pick a difference."""

    TITLE = "Drift"
    NAME = "drift"

    SCOPED_CSS = False
    DEFAULT_CSS = "DriftPlace #drift { padding: 0 1; }"

    KEYS: ClassVar[tuple[Key, ...]] = (
        key("b", "readback", "readback"),
        key("s", "pilot's word", "setup"),
        key("h", "how to set the box", "how"),
        key("w", "waiver", "waive_pointer"),
        key("g", "approve", "approve"),
        key("up", "the difference before", "move:-1", "up", is_shown=False),
        key("down", "the difference after", "move:1", "down", is_shown=False),
        key("pagedown", "more of this page", "scroll:1", "page down", is_shown=False),
        key("pageup", "back up this page", "scroll:-1", "page up", is_shown=False),
    )

    def __init__(self, id: str | None = None) -> None:
        super().__init__(id=id)
        self._picked = 0
        self._begins: list[int] = []

    def compose(self) -> ComposeResult:
        """One page of lines."""
        yield Lines(lambda: self.look, id="drift")

    def on_resize(self, event: events.Resize) -> None:
        self.redraw()

    def keys(self) -> Sequence[Key]:
        """The keys of the place."""
        return self.KEYS

    def redraw(self) -> None:
        """Draw every difference."""
        drift = self.hand.drift if self.hand else None
        lines = self.query_one("#drift", Lines)
        width = max(30, self.app.size.width - 3)
        pen = self.pen
        if drift is None:
            why = (self.hand.trouble if self.hand else "") or "no vehicle is in hand"
            lines.show_lines(pen.fold(f"Drift cannot be told: {why}", width, "trouble"))
            return
        rows = list(drift.report.deviations)
        self._picked = max(0, min(self._picked, len(rows) - 1))
        shown = self._head(drift, width)
        self._begins = []
        for number, deviation in enumerate(rows):
            self._begins.append(len(shown))
            shown += self._block(deviation, width, number == self._picked)
            shown.append(pen.line(""))
        if not rows:
            shown += pen.fold("No difference was found between what was compared.", width, "clear")
            shown.append(pen.line(""))
        for note in (*drift.report.notes, *drift.notes):
            shown += pen.fold(note, width, "old", ("note ", "label"))
        shown += self._foot(rows, width)
        lines.show_lines(shown)

    def _head(self, drift: Drift, width: int) -> list[Text]:
        pen, hand = self.pen, self.hand
        assert hand is not None
        style = "stop" if drift.report.stops else "clear"
        shown = pen.fold(headline(drift.report), width, style)
        for finding in drift.report.stops:
            if not finding.finding.startswith("drift-"):
                shown += pen.fold(finding.text, width, "strong", ("STOPS  ", "failed"))
                shown += pen.fold(f"ends when: {finding.clears}", width, "quiet", ("       ", "text"))
        if drift.readback is not None:
            box = f"box {drift.readback.box} read {ago_words(drift.readback.at, hand.now)}"
            stale = drift.readback.stale
            shown += pen.fold(f"{box}, stale: {stale}" if stale else box, width, "old" if stale else "quiet")
        columns = [COLUMN_WORDS.get(s, s) for s in SOURCES]
        if drift.report.deviations:
            shown += [pen.line(""), self._columns(columns, width, "label")]
        return shown

    def _columns(self, words: Sequence[str], width: int, style: str) -> Text:
        room = max(8, (width - 7) // len(words))
        cells = [w[: room - 1].ljust(room) if len(w) < room else w[: room - 2] + "… " for w in words]
        return self.pen.line("       ", ("".join(cells), style))

    def _block(self, deviation: Deviation, width: int, is_picked: bool) -> list[Text]:
        pen = self.pen
        word = verdict(deviation)
        style = {"STOPS": "failed", "waived": "waived"}.get(word, "deferred")
        mark = {"STOPS": "✗", "waived": "~"}.get(word, "›")
        place = clean(place_words(deviation.pointer))
        head = pen.line((f"{'>' if is_picked else ' '}{mark} {word} ", style), (f" {place}", "challenge"))
        pointer = pen.line((deviation.pointer, "quiet"))
        shown = [pen.beside(head, pointer, width) if head.cell_len + pointer.cell_len < width else head]
        values = [clean(deviation.words.get(s, "–")) for s in SOURCES]
        room = max(8, (width - 7) // len(SOURCES))
        if all(len(v) < room for v in values):
            shown.append(self._columns(values, width, "strong"))
        else:
            for source, value in zip(SOURCES, values, strict=True):
                shown += pen.fold(
                    value, width, "strong", (f"       {COLUMN_WORDS.get(source, source):<9}", "label")
                )
        if "stored" in deviation.words and deviation.words["stored"] != deviation.words.get("readback"):
            shown += pen.fold(
                deviation.words["stored"], width, "strong", ("       the box has stored ", "label")
            )
        if deviation.effect is not None:
            shown += pen.fold(deviation.effect.text, width, "text", ("       ", "text"))
        if deviation.reasons:
            words = "stops because: " if deviation.stops_dive else "waived, though: "
            shown += pen.fold(words + "; ".join(deviation.reasons), width, "quiet", ("       ", "text"))
        return shown

    def _foot(self, rows: Sequence[Deviation], width: int) -> list[Text]:
        pen = self.pen
        if not rows:
            return []
        place = clean(place_words(rows[self._picked].pointer))
        shown = [pen.line((f"What can be done about {place}", "strong"))]
        for label, words in (
            ("h", "correct the box: shows how it is set by hand; then b, and the difference is gone"),
            ("w", "waiver: the supervisor accepts it with a reason and an end; it stays on this page"),
            ("g", "approve: the files become the next baseline; every finding asks a reason first"),
        ):
            shown += pen.fold(words, width, "text", (f" {label}  ", "key"))
        return shown

    def deed_move(self, by: str) -> None:
        """Pick another difference and bring it into sight."""
        if not self._begins:
            return
        self._picked = max(0, min(self._picked + int(by), len(self._begins) - 1))
        self.redraw()
        lines = self.query_one("#drift", Lines)
        lines.scroll_to(y=max(0, self._begins[self._picked] - 3), animate=False)

    def deed_scroll(self, by: str) -> None:
        """Scroll the page."""
        self.query_one("#drift", Lines).turn_page(int(by))

    def deed_how(self) -> None:
        """The builder's own words for putting a number back by hand, and what comes next."""
        drift = self.hand.drift if self.hand else None
        if drift is None:
            return
        box = str(drift.working.resolved["control_box"]["box"])

        def job(desk: Desk) -> str:
            return str(desk.logbook.box(box).get("how_to_set") or "")

        def done(words: str) -> None:
            text = words or f"boxes/{box}.yaml does not say: write it under how_to_set."
            wanted = drift.working.resolved["control_box"]
            text += (
                f"\n\nThe files ask for steering scheme {wanted['steering_scheme']} and thruster map "
                f"{wanted['thruster_map']}.\n\nThen read the box again: b types in what it shows."
            )
            self.rov.read_page(f"How to set {box}", text)

        self.do(job, done)

    def deed_waive_pointer(self) -> None:
        """A waiver for the picked difference, by the supervisor."""
        drift = self.hand.drift if self.hand else None
        state = self.hand.state if self.hand else None
        rows = drift.report.deviations if drift else ()
        if not rows or state is None:
            self.rov.tell_trouble("no difference, or no dive is in hand to waive it in")
            return
        pointer = rows[self._picked].pointer

        def keep(desk: Desk, values: dict[str, str]) -> None:
            from rovlog.usecases.give_waiver import waive_item

            record = desk.logbook.record(desk.record)
            waive_item(desk.logbook, record, by=values["by"], reason=values["reason"], until=values["until"],
                       pointer=pointer)  # fmt: skip

        blanks = (
            Blank("reason", "why it may be left"),
            Blank("until", "until", "dive", hint="dive, a day or a time"),
        )
        title = f"Waiver: {place_words(pointer)}"
        self.ask(title, blanks, keep, "kept: the waiver; the difference stays on this page as waived")

    def deed_approve(self) -> None:
        """Approve what the files say."""
        from rovlog.faces.screens.approvals import approve

        approve(self.rov)

    def readied(self, hand: InHand) -> None:
        """Show another comparison."""
        self.rov.show_hand(hand)
