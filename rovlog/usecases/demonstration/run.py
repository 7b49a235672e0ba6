"""One record of the demonstration being written: answers, marks and the rest, as the program's own steps.

Every answer is judged by the rules that judge a person's; several are put on the disk in one step.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from hashlib import sha256
from typing import TYPE_CHECKING, Any

from rovlog.problems import RovlogError
from rovlog.usecases.answer_item import answer_fields
from rovlog.usecases.demonstration.stage import Plan, Stage
from rovlog.usecases.dive_state import DiveState, dive_state
from rovlog.usecases.dive_steps import close
from rovlog.usecases.recording import Row, append_all

if TYPE_CHECKING:
    from rovlog.domain.checks.checklist import Item
    from rovlog.domain.dive import Record

SETTLED = ("answered", "not-applicable", "waived", "deferred")


class Run:
    """A dive or piece of work under the pen. `plan` says where and who; `box` is the vehicle's."""

    def __init__(self, stage: Stage, record: str, plan: Plan) -> None:
        """Take a record that was started."""
        self.stage: Stage = stage
        self.id: str = record
        self.plan: Plan = plan
        self.crew: dict[str, str] = dict(plan.crew)
        self.box: str = stage.box_of(plan.vehicle)
        self._rows: list[Row] = []
        self._done: set[str] = set()
        self._state: DiveState | None = None
        self.first_trim: dict[str, float] | None = None

    # --- what stands ------------------------------------------------------------------------

    @property
    def record(self) -> Record:
        """The record as it is on the disk."""
        return self.stage.logbook.record(self.id)

    @property
    def state(self) -> DiveState:
        """The state at the last look."""
        return self._state if self._state is not None else self.look()

    def look(self) -> DiveState:
        """Put what is written on the disk and fold the record anew."""
        self.flush()
        self._state = dive_state(self.stage.logbook, self.record)
        self._done.clear()
        return self._state

    def flush(self) -> None:
        """Put what is written on the disk."""
        if self._rows:
            append_all(self.stage.logbook, self.record, self._rows)
            self._rows.clear()

    # --- writing ----------------------------------------------------------------------------

    def write(
        self,
        kind: str,
        by: str,
        fields: Mapping[str, Any],
        after_s: float = 20.0,
        *,
        clock: str | None = None,
        at: str | None = None,
    ) -> None:
        """Write one entry, so long after the last. `at` is what it says where that is not the time now."""
        now = self.stage.clock
        now.pass_s(after_s)
        self._rows.append(Row(kind, by, dict(fields), at or now.now(), clock, now.mono_s()))

    def mark(
        self, which: str, by: str, after_s: float = 5.0, *, clock: str | None = None, at: str | None = None
    ) -> None:
        """Mark a moment."""
        self.write("mark", by, {"mark": which}, after_s, clock=clock, at=at)

    def note(self, by: str, text: str, after_s: float = 30.0) -> None:
        """Write a note."""
        self.write("note", by, {"text": text}, after_s)

    def readback(self, by: str, box: str, after_s: float = 25.0) -> None:
        """Write down what the box shows."""
        held = self.stage.boxes[box]
        if self.first_trim is None:
            self.first_trim = dict(held.trim)
        fields = {
            "box": box,
            "firmware": held.firmware,
            "boots": held.boots,
            "in_use": held.in_use(),
            "stored": held.stored(),
            "source": "paper",
        }
        self.write("readback", by, fields, after_s)

    def keep(self, file: str, text: str, what: str, by: str) -> None:
        """Keep a file as evidence, with its digest in the record."""
        self.stage.keep_file(file, text, f"{self.id}: {what}", by)
        digest = "sha256:" + sha256(text.encode()).hexdigest()
        self.write("attachment", by, {"file": file, "digest": digest, "what": what}, 240)
        self.look()

    # --- the lists --------------------------------------------------------------------------

    def answer(self, name: str, *, by: str | None = None, may_fail: bool = False, **given: Any) -> None:
        """Answer one item, by whose turn it is, with the second person's answer where one is asked for.

        Raises RovlogError where the answer fails and the story does not want it to.
        """
        from rovlog.usecases.demonstration.numbers import answer_for

        item = self.state.fold.items[name]
        who = by or self.person_for(item)
        usual = answer_for(item, self)
        said = {**usual, **given}
        if "values" in usual and "values" in given:
            said["values"] = {**usual["values"], **given["values"]}
        pause = self.stage.between(9, 27)
        if item.kind == "release":
            self.write("release", who, {"item": name, "point": name, "text": item.response}, pause)
        else:
            fields, _ = answer_fields(self.state, item, by=who, **said)
            if fields["outcome"] == "fail" and not may_fail:
                raise RovlogError(f"{name} fails on {self.id}: {fields['values']}")
            self.write("check", who, fields, pause)
            if item.witness != "none":
                second = self.second_for(who)
                again, _ = answer_fields(self.state, item, by=second, is_second=True, **said)
                self.write("check", second, again, self.stage.between(6, 14))
        self._done.add(name)

    def settle(self, checklist: str, sections: Iterable[str] | None = None, *, call: bool = True) -> None:
        """Answer everything of these groups that is open, failed or expired, and call each complete."""
        chosen = self.state.checklist(checklist)
        if chosen is None:
            raise RovlogError(f"there is no list {checklist} for {self.id}")
        wanted = set(sections) if sections is not None else None
        for section in chosen.sections:
            if wanted is not None and section.section not in wanted:
                continue
            for item in section.items:
                self.answer_if_open(item.item)
            if call:
                self.call(checklist, section.section)

    def answer_if_open(self, name: str, **given: Any) -> None:
        """Answer an item unless it stands."""
        known = self.state.items.get(name)
        if name not in self._done and (known is None or known.state not in SETTLED):
            self.answer(name, **given)

    def call(self, checklist: str, section: str) -> None:
        """Make a group's completion call."""
        chosen = self.state.checklist(checklist)
        found = next(s for s in chosen.sections if s.section == section) if chosen else None
        who = self.crew.get("supervisor", next(iter(self.crew.values())))
        text = (found.completion or f"{found.title} complete") if found else section
        self.write("completion", who, {"checklist": checklist, "section": section, "text": text}, 8)

    def require_clear(self) -> None:
        """Answer again what ran out meanwhile; raise RovlogError if anything else on record stops the dive.

        The script never flies over a stop.
        """
        for _ in range(3):
            stops = self.look().stops
            if not stops:
                return
            for stop in stops:
                if self.state.item(stop.id) is None:
                    break
                self.answer_if_open(stop.id)
        raise RovlogError(f"{self.id} is stopped: " + "; ".join(s.reason for s in stops))

    def close(self, by: str, text: str | None = None, after_s: float = 60.0) -> None:
        """Close the record."""
        self.flush()
        self.stage.clock.pass_s(after_s)
        close(self.stage.logbook, self.record, by=by, text=text)

    # --- people -----------------------------------------------------------------------------

    def person_for(self, item: Item) -> str:
        """Whose turn an item is: the first role it names that is in the crew."""
        for role in item.by:
            if role in self.crew:
                return self.crew[role]
        return next(iter(self.crew.values()))

    def second_for(self, first: str) -> str:
        """Somebody else of the crew."""
        order = ("tender", "pilot", "supervisor", "technician")
        return next(self.crew[r] for r in order if r in self.crew and self.crew[r] != first)
