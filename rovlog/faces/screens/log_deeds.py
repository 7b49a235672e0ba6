"""What a crew logs by hand in the record in hand: marks, events, trims, readings, faults, notes, close."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from rovlog.domain.dive import MARKS, ROLES, VOID_EVENTS
from rovlog.domain.vehicle import DEMANDS
from rovlog.faces.screens.desk import Desk, InHand
from rovlog.faces.screens.dialogs import Blank, Form, Pick
from rovlog.faces.screens.place import Place
from rovlog.faces.screens.start_forms import ask_for_dive, ask_for_work, number_in, water_fields
from rovlog.problems import RovlogError, UsageError
from rovlog.usecases.dive_steps import SYMPTOM_ENDINGS

Keep = Callable[[Desk, dict[str, str]], Any]

SYMPTOMS = (
    *(f"{demand}-{ending}" for demand in ("surge", "yaw", "heave", "sway") for ending in SYMPTOM_ENDINGS),
    *("fuse-opened", "link-lost", "leak", "sinks", "rises", "picture-lost"),
)
"""Symptoms offered; others may be written."""


class LogDeeds(Place):
    """Deeds on the record in hand; each asks for its lines first, and nothing is kept before enter."""

    def in_hand_id(self) -> str:
        """The id of the record in hand, "" without one."""
        hand = self.hand
        return hand.state.record.id if hand and hand.state else ""

    def ask(self, title: str, blanks: Sequence[Blank], keep: Keep, said: str, note: str = "") -> None:
        """Ask for lines and keep them on the record in hand."""
        hand = self.hand
        if hand is None or hand.state is None:
            self.rov.tell_trouble("no record is in hand: n starts a dive, enter takes the picked one in hand")
            return
        people = tuple(hand.people or {})
        rows = [*blanks, Blank("by", "by", self.answering(), people)]

        def kept(values: dict[str, str], form: Form) -> None:
            def job(desk: Desk) -> InHand:
                keep(desk, values)
                return desk.look()

            def done(found: InHand) -> None:
                form.leave()
                self.rov.show_hand(found)
                self.rov.tell(said)

            def failed(error: RovlogError) -> None:
                form.tell(f"{error.message}; {error.mend}" if error.mend else error.message)

            self.rov.do(job, done, failed)

        self.app.push_screen(Form(f"{title}  ({hand.state.record.id})", rows, kept, note))

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
            def job(desk: Desk) -> InHand:
                from rovlog.usecases.dive_steps import mark

                mark(desk.logbook, desk.logbook.record(desk.record), MARKS[index], by=by)
                return desk.look()

            def shown(hand: InHand) -> None:
                self.rov.show_hand(hand)
                self.rov.tell(f"kept: {MARKS[index].replace('-', ' ')}")

            self.do(job, shown)

        name = self.hand.name_of(by) if self.hand else by
        self.app.push_screen(
            Pick(f"Mark which moment, by {name}?", rows, take, picked=min(expected, len(MARKS) - 1))
        )

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

    def deed_setup(self) -> None:
        """What the pilot says is set in the box."""

        def keep(desk: Desk, values: dict[str, str]) -> None:
            from rovlog.usecases.dive_steps import state_setup

            state_setup(desk.logbook, desk.logbook.record(desk.record), box_values(values), by=values["by"])

        self.ask("Setup, as the pilot says it", box_blanks(""), keep, "kept: the pilot's word")

    def deed_readback(self) -> None:
        """A readback typed in from the box."""

        def keep(desk: Desk, values: dict[str, str]) -> None:
            from rovlog.usecases.type_readback import type_readback

            type_readback(
                desk.logbook,
                desk.logbook.record(desk.record),
                by=values["by"],
                in_use=box_values(values),
                firmware=values["firmware"] or None,
                source="box-read",
            )

        blanks = [*box_blanks(""), Blank("firmware", "firmware", hint="empty: as on file")]
        self.ask("Readback: what the box itself shows", blanks, keep, "kept: the readback; Drift compares it")

    def deed_reading(self) -> None:
        """A reading of an instrument."""

        def keep(desk: Desk, values: dict[str, str]) -> None:
            from rovlog.usecases.dive_steps import log_reading

            found = pairs(values["values"], "value")
            log_reading(
                desk.logbook, desk.logbook.record(desk.record), values["reading"], found, by=values["by"]
            )

        kinds = ("clamp-meter", "supply", "gauge", "load-step", "thermometer")
        blanks = (Blank("reading", "what was read", options=kinds),
                  Blank("values", "values", hint="current_a=7,5 voltage_v=12,1"))  # fmt: skip
        self.ask("Reading", blanks, keep, "kept: the reading")

    def deed_observe(self) -> None:
        """A push of the function test and what each thruster did."""

        def keep(desk: Desk, values: dict[str, str]) -> None:
            from rovlog.usecases.dive_steps import observe

            seen = dict(_split(p, "thruster") for p in values["seen"].split())
            observe(desk.logbook, desk.logbook.record(desk.record), pairs(values["push"], "push"), seen,
                    by=values["by"], medium=values["medium"])  # fmt: skip

        blanks = (Blank("push", "push", hint="left-stick-y=-0,3"),
                  Blank("seen", "seen", hint="bow-port=ahead stern-port=still"),
                  Blank("medium", "dry or wet", "dry", ("dry", "wet")))  # fmt: skip
        self.ask("Push of the function test", blanks, keep, "kept: the push and what was seen")

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

    def deed_crew(self) -> None:
        """A change of crew."""
        state = self.hand.state if self.hand else None
        crew = dict(state.crew) if state else {}
        people = tuple((self.hand.people if self.hand else None) or {})

        def keep(desk: Desk, values: dict[str, str]) -> None:
            from rovlog.usecases.dive_steps import check_crew, log

            changed = {r: values[r] for r in ROLES if values[r] and values[r] != crew.get(r)}
            if not changed:
                raise UsageError("nobody changes", "write who takes which role, or leave with escape")
            check_crew(desk.logbook, changed)
            log(desk.logbook, desk.logbook.record(desk.record), "crew", {"crew": changed}, by=values["by"])

        self.ask(
            "Crew from now on", [Blank(r, r, crew.get(r, ""), people) for r in ROLES], keep, "kept: the crew"
        )

    def deed_change_place(self) -> None:
        """A change of place or water."""

        def keep(desk: Desk, values: dict[str, str]) -> None:
            from rovlog.usecases.dive_steps import log

            fields = {
                "site": values["site"] or None,
                "water": water_fields(values["water"]) if values["water"] else None,
                "depth_m": number_in(values["depth"], "depth"),
            }
            if not any(v is not None for v in fields.values()):
                raise UsageError("nothing changes", "write what is new, or leave with escape")
            log(desk.logbook, desk.logbook.record(desk.record), "place", fields, by=values["by"])

        blanks = (Blank("site", "site"), Blank("water", "water", hint="fresh:18 or salt:12:33"),
                  Blank("depth", "deepest planned, m"))  # fmt: skip
        self.ask("Place from now on", blanks, keep, "kept: the place")

    def deed_fitted(self) -> None:
        """A part fitted."""

        def keep(desk: Desk, values: dict[str, str]) -> None:
            from rovlog.usecases.dive_steps import log

            fields = {"part": values["part"], "to": values["to"], "replaces": values["replaces"] or None}
            log(desk.logbook, desk.logbook.record(desk.record), "fitted", fields, by=values["by"])

        blanks = (
            Blank("part", "part, by its id"),
            Blank("to", "fitted as", hint="tether, battery, fuse-holder …"),
            Blank("replaces", "in place of", hint="may be left out"),
        )
        self.ask("Part fitted", blanks, keep, "kept: the part")

    def deed_attach(self) -> None:
        """A file kept as evidence, with its digest."""

        def keep(desk: Desk, values: dict[str, str]) -> None:
            from rovlog.usecases.attach_evidence import attach_evidence

            record = desk.logbook.record(desk.record)
            attach_evidence(desk.logbook, record, values["file"], what=values["what"], by=values["by"])

        blanks = (
            Blank("file", "file in the logbook's folder"),
            Blank("what", "what it shows, who holds the thing"),
        )
        self.ask("File kept as evidence", blanks, keep, "kept: the file's name and digest")

    def deed_correct_entry(self) -> None:
        """Correct an entry by a further one."""

        def keep(desk: Desk, values: dict[str, str]) -> None:
            from rovlog.usecases.dive_steps import correct

            name, value = _split(values["change"], "field")
            changes: dict[str, Any] = {name: value}
            correct(desk.logbook, desk.logbook.record(desk.record), values["entry"], changes,
                    by=values["by"], reason=values["reason"])  # fmt: skip

        blanks = (Blank("entry", "entry, by its number"), Blank("change", "field=what should stand there"),
                  Blank("reason", "why"))  # fmt: skip
        self.ask("Correct an entry", blanks, keep, "kept: corrected by a further entry; the first one stays")

    def deed_close(self) -> None:
        """Close the record in hand."""

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


def box_blanks(initial: str) -> list[Blank]:
    """What a box holds, as lines of a form."""
    return [
        Blank("steering_scheme", "steering scheme, its number", initial),
        Blank("thruster_map", "thruster map, its number", initial),
        Blank("trim", "trims", hint="heave=0,05 yaw=-0,02; empty: not said"),
        Blank("power_limit", "power limit", hint="share of full; empty: not said"),
    ]


def box_values(values: dict[str, str]) -> dict[str, Any]:
    """What was written about a box, keyed as in a readback."""
    found: dict[str, Any] = {}
    for name in ("steering_scheme", "thruster_map"):
        if values[name]:
            if not values[name].isdigit():
                raise UsageError(
                    f"{name.replace('_', ' ')} is {values[name]!r}", "give the number the box shows"
                )
            found[name] = int(values[name])
    if values["trim"]:
        found["trim"] = pairs(values["trim"], "trim")
    limit = number_in(values["power_limit"], "power limit")
    if limit is not None:
        found["power_limit"] = limit
    return found


def pairs(text: str, what: str) -> dict[str, float]:
    """`name=number` words, apart by blanks."""
    found: dict[str, float] = {}
    for word in text.split():
        name, value = _split(word, what)
        number = number_in(value, f"{what} {name}")
        if number is None:
            raise UsageError(f"{what} {name} has no number", f"write {name}=0,1")
        found[name] = number
    return found


def _split(word: str, what: str) -> tuple[str, str]:
    name, sign, value = word.partition("=")
    if not sign:
        raise UsageError(f"{word!r} is no {what}", "write NAME=VALUE")
    return name.strip(), value.strip()
