"""The questions of the place Audit: suspects, last known good, two dives, a value's life, who flew it."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from rovlog.domain.checks.blind import is_covered
from rovlog.faces.screens.desk import Desk
from rovlog.faces.screens.dialogs import Blank, Form
from rovlog.faces.screens.entry_words import words_of
from rovlog.faces.screens.place import Place
from rovlog.problems import RovlogError

if TYPE_CHECKING:
    from rovlog.domain.audit.timeline import Moment
    from rovlog.domain.dive import Record

ANY_FAULT = "any fault, since the picked row is none"
"""What is asked about where the picked moment is no fault."""

NO_RECORD = ("change", "approval", "withdrawal")
"""Kinds of moments that stand in no dive and no work."""


class AuditDeeds(Place):
    """Each question is answered on a page of its own, in the command line's words."""

    def __init__(self, id: str | None = None) -> None:
        super().__init__(id=id)
        self.vehicle = ""
        self.moments: tuple[Moment, ...] = ()
        self.filter = 0
        self.detail = ""

    @property
    def picked(self) -> int:
        """The place of the picked moment."""
        raise NotImplementedError

    @property
    def moment(self) -> Moment | None:
        """The picked moment."""
        return self.moments[self.picked] if self.moments and self.picked < len(self.moments) else None

    def _draw_moment(self) -> None:
        """Draw the picked moment."""
        raise NotImplementedError

    def symptom(self) -> str | None:
        """The picked fault's symptom, None where something else is picked."""
        moment = self.moment
        if moment is None or moment.kind != "fault":
            return None
        words = moment.text.removeprefix("fault ").split(" ")[0]
        return words.rstrip(":") or None

    def explain(self, moment: Moment) -> None:
        """Beside a fault: what was last good, what changed since, and the suspects with their reasons."""
        symptom, vehicle = self.symptom(), self.vehicle

        def job(desk: Desk) -> str:
            from rovlog.faces.reports.audit_text import between_text, known_good_text, suspects_text
            from rovlog.usecases.audit_questions import last_good
            from rovlog.usecases.find_suspects import find_suspects

            names = desk.logbook.person_name
            found = last_good(desk.logbook, vehicle, symptom)
            text = known_good_text(found.good)
            if found.since is not None:
                text += "\n" + between_text(found.since, names)
            return text + "\n" + suspects_text(find_suspects(desk.logbook, vehicle, symptom).ranking, 3)

        self._show_detail(moment, job, "reading what changed …")

    def describe(self, moment: Moment) -> None:
        """Beside a dive or work: what was logged in it, and how many items were answered."""

        def job(desk: Desk) -> str:
            from rovlog.usecases.covered_record import covered_record

            return record_words(covered_record(desk.logbook, desk.logbook.record(moment.record)))

        self._show_detail(moment, job, "")

    def _show_detail(self, moment: Moment, job: Callable[[Desk], str], meanwhile: str) -> None:
        self.detail = meanwhile

        def done(text: str) -> None:
            if self.moment == moment:
                self.detail = text
                self._draw_moment()

        def failed(error: RovlogError) -> None:
            if self.moment == moment:
                self.detail = error.message
                self._draw_moment()

        self.rov.do(job, done, failed)

    def page(self, title: str, job: Callable[[Desk], str]) -> None:
        """Answer a question on a page of its own."""
        self.rov.tell("reading …")

        def done(text: str) -> None:
            self.rov.tell("")
            self.rov.read_page(title, text)

        self.rov.do(job, done)

    def deed_full(self) -> None:
        """The record of the picked moment in full; of a change or an approval, what it changed."""
        moment, hand = self.moment, self.hand
        if moment is None or hand is None:
            return
        vehicle = self.vehicle

        def job(desk: Desk) -> str:
            if moment.kind == "change":
                from rovlog.faces.reports.vehicle_text import compared_text
                from rovlog.usecases.compare_configurations import compare_configurations

                after = f"{vehicle}@{moment.record}"
                return (
                    moment.text
                    + "\n\nAgainst the files as they are now\n"
                    + compared_text(compare_configurations(desk.logbook, after, vehicle))
                )
            if moment.kind in ("approval", "withdrawal"):
                from rovlog.faces.reports.vehicle_text import revisions_text
                from rovlog.usecases.list_vehicles import list_revisions

                return revisions_text(list_revisions(desk.logbook, vehicle), hand.name_of)
            from rovlog.faces.reports.dive_text import dive_text, entries_text
            from rovlog.usecases.covered_record import covered_record
            from rovlog.usecases.dive_state import dive_state

            record = desk.logbook.record(moment.record)
            text = dive_text(dive_state(desk.logbook, record), hand.name_of)
            return text + "\n" + entries_text(covered_record(desk.logbook, record), hand.name_of)

        self.page(f"{moment.kind} {moment.record}", job)

    def deed_suspects(self) -> None:
        """All suspects, for the picked fault's symptom or for any fault."""
        symptom, vehicle, moment = self.symptom(), self.vehicle, self.moment

        def job(desk: Desk) -> str:
            from rovlog.faces.reports.audit_text import suspects_text
            from rovlog.usecases.find_suspects import find_suspects

            is_record = moment is not None and moment.kind not in NO_RECORD
            told = diagnosis_first(desk, moment.record) if moment is not None and is_record else ""
            return told + suspects_text(find_suspects(desk.logbook, vehicle, symptom).ranking, 99)

        self.page(f"Suspects for {symptom or ANY_FAULT}", job)

    def deed_known_good(self) -> None:
        """The last known good, and everything changed since."""
        symptom, vehicle = self.symptom(), self.vehicle

        def job(desk: Desk) -> str:
            from rovlog.faces.reports.audit_text import between_text, known_good_text
            from rovlog.usecases.audit_questions import last_good
            from rovlog.usecases.changes_since import changes_since

            found = last_good(desk.logbook, vehicle, symptom)
            text = known_good_text(found.good)
            if found.since is not None:
                changes = changes_since(found.history, found.since)
                text += "\n" + between_text(found.since, desk.logbook.person_name, changes)
            return text

        self.page(f"Last known good before {symptom or ANY_FAULT}", job)

    def deed_diagnose(self) -> None:
        """Which wiring or setup fault explains the pushes of the picked record."""
        moment = self.moment
        if moment is None:
            return

        def job(desk: Desk) -> str:
            from rovlog.faces.reports.diagnosis_text import diagnosis_text
            from rovlog.usecases.diagnose import diagnose_record

            return diagnosis_text(diagnose_record(desk.logbook, moment.record))

        self.page(f"Diagnosis of {moment.record}", job)

    def deed_between(self) -> None:
        """Two dives side by side."""
        moment = self.moment
        dives = [m.record for m in self.moments if m.kind == "dive"]
        second = (
            moment.record if moment is not None and moment.record in dives else (dives[-1] if dives else "")
        )
        first = dives[dives.index(second) - 1] if second in dives and dives.index(second) > 0 else ""
        blanks = (
            Blank("first", "from dive", first, tuple(dives[-20:])),
            Blank("second", "to dive", second, tuple(dives[-20:])),
        )

        def job(desk: Desk, values: dict[str, str]) -> str:
            from rovlog.faces.reports.audit_text import between_text
            from rovlog.usecases.changes_since import changes_between

            found, changes = changes_between(desk.logbook, values["first"], values["second"])
            return between_text(found, desk.logbook.person_name, changes)

        self._ask("Between two dives", blanks, job)

    def deed_field_history(self) -> None:
        """Every value a field has had."""
        vehicle = self.vehicle

        def job(desk: Desk, values: dict[str, str]) -> str:
            from rovlog.faces.reports.audit_text import field_text
            from rovlog.usecases.audit_questions import follow_field

            pointer = values["pointer"]
            notes: list[str] = []
            rows = follow_field(desk.logbook, vehicle, pointer, notes)
            return field_text(pointer, rows, desk.logbook.person_name) + notes_below(notes)

        blanks = (
            Blank("pointer", "which value", hint="/trim_defaults/heave, /thrusters/bow-port/channel …"),
        )
        self._ask("History of a value", blanks, job)

    def deed_flown(self) -> None:
        """Which dives flew with a value."""
        vehicle = self.vehicle

        def job(desk: Desk, values: dict[str, str]) -> str:
            from rovlog.faces.reports.audit_text import flown_text
            from rovlog.usecases.audit_questions import dives_that_flew

            value = as_value(values["value"]) if values["value"] else None
            notes: list[str] = []
            rows = dives_that_flew(desk.logbook, vehicle, values["pointer"], value, notes)
            return flown_text(values["pointer"], rows) + notes_below(notes)

        blanks = (Blank("pointer", "which value", hint="/control_box/steering_scheme …"),
                  Blank("value", "what it was", hint="empty: any"))  # fmt: skip
        self._ask("Which dives flew with it", blanks, job)

    def _ask(
        self, title: str, blanks: tuple[Blank, ...], answer: Callable[[Desk, dict[str, str]], str]
    ) -> None:
        def keep(values: dict[str, str], form: Form) -> None:
            def done(text: str) -> None:
                form.leave()
                self.rov.read_page(title, text)

            def failed(error: RovlogError) -> None:
                form.tell(f"{error.message}; {error.mend}" if error.mend else error.message)

            self.rov.do(lambda desk: answer(desk, values), done, failed)

        self.app.push_screen(Form(title, blanks, keep))


def notes_below(notes: list[str]) -> str:
    """What could not be used, or not as it stands, below an answer."""
    return "".join(f"\nnote: {note}" for note in notes) + ("\n" if notes else "")


def diagnosis_first(desk: Desk, name: str) -> str:
    """The first paragraph of the diagnosis of a record in which pushes were watched; "" without any."""
    record = desk.logbook.record(name)
    if not record.of_kind("observation"):
        return ""
    from rovlog.faces.reports.diagnosis_text import diagnosis_text
    from rovlog.usecases.diagnose import diagnose_record

    told = diagnosis_text(diagnose_record(desk.logbook, name)).strip().partition("\n\n")[0]
    return f"{told}\nback in Audit, d, diagnose, tells the whole of it\n\n"


def record_words(record: Record) -> str:
    """What was logged in a record, a line each; its checks are counted."""
    checks = record.of_kind("check")
    failed = sorted({str(e.fields.get("item")) for e in checks if e.fields.get("outcome") == "fail"})
    lines = [f"{len(checks)} answers" + (f", failed: {', '.join(failed)}" if failed else "")]
    lines += [f"  {entry.at[11:16]} {words_of(entry)}" for entry in checks if is_covered(entry)]
    for entry in record.entries:
        if entry.kind not in ("check", "completion", "resume", "start"):
            lines.append(f"  {entry.at[11:16]} {words_of(entry)}")
    return "\n".join(lines)


def as_value(text: str) -> float | int | str | bool:
    """A value as it is written in a record: a number (comma or point), true or false, else a word."""
    if text in ("true", "false"):
        return text == "true"
    try:
        return int(text)
    except ValueError:
        pass
    try:
        return float(text.replace(",", "."))
    except ValueError:
        return text
