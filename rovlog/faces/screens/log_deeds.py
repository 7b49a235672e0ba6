"""What a crew logs by hand in the record in hand: marks, events, trims, readings, faults, notes, close."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from rovlog.domain.dive import MARKS, VOID_EVENTS
from rovlog.domain.vehicle import DEMANDS
from rovlog.faces.screens.desk import Desk, InHand
from rovlog.faces.screens.dialogs import Blank, Pick
from rovlog.faces.screens.kit_deeds import KitDeeds
from rovlog.faces.screens.start_forms import ask_for_dive, ask_for_work, number_in
from rovlog.faces.screens.walk import stops_at_close
from rovlog.usecases.dive_steps import SYMPTOM_ENDINGS

if TYPE_CHECKING:
    from rovlog.usecases.dive_state import DiveState

Keep = Callable[[Desk, dict[str, str]], Any]

SYMPTOMS = (
    *(f"{demand}-{ending}" for demand in ("surge", "yaw", "heave", "sway") for ending in SYMPTOM_ENDINGS),
    *("fuse-opened", "link-lost", "leak", "sinks", "rises", "picture-lost"),
)
"""Symptoms offered; others may be written."""


class LogDeeds(KitDeeds):
    """Deeds on the record in hand; each asks for its lines first, and nothing is kept before enter."""

    def deed_new_dive(self) -> None:
        """Start a dive."""
        ask_for_dive(self.rov)

    def deed_new_work(self) -> None:
        """Start work outside a dive."""
        ask_for_work(self.rov)

    def deed_mark(self) -> None:
        """Mark a moment: the next one expected stands first."""
        state = self.hand.state if self.hand else None
        if state is None:
            self.rov.tell_trouble("no record is in hand: n starts a dive, enter takes the picked one in hand")
            return
        done = [str(m.fields.get("mark")) for m in state.marks]
        expected = MARKS.index(done[-1]) + 1 if done and done[-1] in MARKS else 0
        by = self.answering()
        times = {str(m.fields.get("mark")): m.at[11:16] for m in state.marks}
        rows = [f"{m.replace('-', ' ')}{f'   marked {times[m]}' if m in times else ''}" for m in MARKS]

        def take(index: int) -> None:
            self._mark(MARKS[index], by)

        name = self.hand.name_of(by) if self.hand else by
        self.app.push_screen(
            Pick(f"Mark which moment, by {name}?", rows, take, picked=min(expected, len(MARKS) - 1))
        )

    def _mark(self, which: str, by: str, confirmed: tuple[str, ...] = ()) -> None:
        """Mark it, unless its time looks like a slip: that is asked about first."""

        def job(desk: Desk) -> tuple[InHand | None, tuple[str, ...]]:
            from rovlog.usecases.dive_steps import mark
            from rovlog.usecases.doubtful_times import time_questions

            record = desk.logbook.record(desk.record)
            asked = time_questions(record, desk.book.clock.now(), which, is_typed=False)
            if asked and not confirmed:
                return None, tuple(q.text for q in asked)
            mark(desk.logbook, record, which, by=by, confirmed=confirmed)
            return desk.look(), ()

        def shown(found: tuple[InHand | None, tuple[str, ...]]) -> None:
            hand, asked = found
            if hand is not None:
                self.rov.show_hand(hand)
                self.rov.tell(f"kept: {which.replace('-', ' ')}")
                return

            def keep(index: int) -> None:
                if index == 0:
                    self._mark(which, by, asked)

            self.app.push_screen(Pick(f"{'; '.join(asked)}?", ["keep it as it is", "write nothing"], keep))

        self.do(job, shown)

    def deed_event(self) -> None:
        """An event that voids answers."""

        def keep(desk: Desk, values: dict[str, str]) -> None:
            from rovlog.usecases.dive_steps import log_event

            log_event(desk.logbook, desk.logbook.record(desk.record), values["event"], by=values["by"],
                      part=values["part"] or None, text=values["text"] or None)  # fmt: skip

        slugs = tuple(VOID_EVENTS)

        def take(index: int) -> None:
            blanks = (
                Blank("event", "event", slugs[index]),
                Blank("part", "what it happened to", hint="may be left out"),
                Blank("text", "in words", hint="may be left out"),
            )
            self.ask(
                f"Event: {VOID_EVENTS[slugs[index]]}", blanks, keep, f"kept: {VOID_EVENTS[slugs[index]]}"
            )

        self.app.push_screen(
            Pick("What happened? Answers it voids are asked again.", list(VOID_EVENTS.values()), take)
        )

    def deed_trim(self) -> None:
        """A trim changed in the water."""

        def keep(desk: Desk, values: dict[str, str]) -> None:
            from rovlog.usecases.dive_steps import log_trim

            trim = {d: v for d in DEMANDS if (v := number_in(values[d], d)) is not None}
            log_trim(
                desk.logbook,
                desk.logbook.record(desk.record),
                trim,
                by=values["by"],
                reason=values["reason"] or None,
            )

        hints = {
            "heave": "share of full, down is positive",
            "surge": "ahead is positive",
            "yaw": "bow to starboard",
        }
        blanks = [Blank(d, d, hint=hints.get(d, "")) for d in DEMANDS] + [Blank("reason", "why")]
        self.ask(
            "Trim as it is now",
            blanks,
            keep,
            "kept: the trim",
            "only what was changed; 0,05 is 5 % of full demand",
        )

    def deed_fault(self) -> None:
        """A fault: the vehicle is in quarantine from now on."""

        def keep(desk: Desk, values: dict[str, str]) -> None:
            from rovlog.usecases.approve import require_text
            from rovlog.usecases.dive_steps import log_fault

            require_text("symptom", values["symptom"])
            log_fault(desk.logbook, desk.logbook.record(desk.record), values["symptom"], by=values["by"],
                      part=values["part"] or None, text=values["text"] or None)  # fmt: skip

        blanks = (Blank("symptom", "symptom", options=SYMPTOMS), Blank("text", "what was seen, not why"),
                  Blank("part", "part", hint="may be left out"))  # fmt: skip
        note = "People first. The vehicle is in quarantine until somebody releases it."
        self.ask("Fault", blanks, keep, "kept: the fault; the list after a fault stands in Checks", note)

    def deed_note(self) -> None:
        """A note."""

        def keep(desk: Desk, values: dict[str, str]) -> None:
            from rovlog.usecases.approve import require_text
            from rovlog.usecases.dive_steps import log

            require_text("note", values["text"])
            log(
                desk.logbook,
                desk.logbook.record(desk.record),
                "note",
                {"text": values["text"]},
                by=values["by"],
            )

        self.ask("Note", [Blank("text", "text")], keep, "kept: the note")

    def deed_close(self) -> None:
        """Close the record in hand; what it would be closed over is listed first."""
        state = self.hand.state if self.hand else None
        if state is None:
            self.rov.tell_trouble("no record is in hand: enter takes the picked one in hand")
            return
        stops = stops_at_close(state)

        def job(desk: Desk) -> tuple[str, ...]:
            from rovlog.usecases.left_at_close import left_at_close

            return left_at_close(desk.logbook, desk.logbook.record(desk.record))

        def done(left: tuple[str, ...]) -> None:
            words = list(left)
            if stops:
                reasons = "1 reason still stops" if stops == 1 else f"{stops} reasons still stop"
                words.append(f"{reasons} the dive")
            words += trims_left(state)
            if not words:
                self._ask_close()
                return
            rows = ("no: go back to what is open", "close it all the same")

            def take(index: int) -> None:
                if index == 1:
                    self._ask_close()
                else:
                    self.rov.go("checks")

            self.app.push_screen(Pick("Not settled yet. Close anyway?", rows, take, "; ".join(words)))

        self.do(job, done)

    def _ask_close(self) -> None:
        def keep(desk: Desk, values: dict[str, str]) -> None:
            from rovlog.usecases.dive_steps import close

            clock = "memory" if values["memory"].startswith("y") else None
            close(
                desk.logbook,
                desk.logbook.record(desk.record),
                by=values["by"],
                text=values["text"] or None,
                clock=clock,
            )

        blanks = (Blank("text", "a last word", hint="may be left out"),
                  Blank("memory", "times from memory?", "no", ("no", "yes")))  # fmt: skip
        self.ask(
            "Close",
            blanks,
            keep,
            "kept: closed",
            "later entries stay possible and are shown as after the close",
        )


def trims_left(state: DiveState) -> list[str]:
    """That trims were changed in the water, which the next dive does not start with."""
    kept = dict(state.resolved.get("trim_defaults") or {})
    found: dict[str, float] = {}
    for entry in state.record.of_kind("trim"):
        found.update(entry.fields.get("trim") or {})
    apart = [d for d, v in found.items() if abs(float(v) - float(kept.get(d, 0.0))) > 1e-9]
    return [f"trims never put into the configuration: {', '.join(apart)}"] if apart else []
