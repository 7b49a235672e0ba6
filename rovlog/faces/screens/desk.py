"""What the app has in hand: one logbook, one vehicle, one open record; read and written on one thread."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, TypeVar

from rovlog.problems import RovlogError
from rovlog.usecases.checklists_of import checklists_for
from rovlog.usecases.dive_state import DiveState, dive_state
from rovlog.usecases.held_logbook import HeldLogbook
from rovlog.usecases.later_commits import LaterCommits
from rovlog.usecases.logbook import start_order
from rovlog.usecases.timers import timers_of
from rovlog.values import dataclass, replace

if TYPE_CHECKING:
    from rovlog.domain.checks.checklist import Item
    from rovlog.domain.checks.timers import RunningTimer
    from rovlog.domain.dive import Record
    from rovlog.usecases.compare_drift import Drift
    from rovlog.usecases.ports import Book, CommitOutcome

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class OpenRecord:
    """A record that is not closed: `subject` is its vehicle or box, `name` what people call that."""

    id: str
    kind: str
    subject: str
    name: str
    started: str


@dataclass(frozen=True, slots=True)
class InHand:
    """Everything the screens show of what is in hand, as it was read last.

    `position` is the vehicle's place among the vehicles of the logbook, which chooses its border mark;
    `trouble` says why something could not be read.
    """

    title: str
    vehicle: str = ""
    vehicle_name: str = ""
    position: int = 0
    vehicles: tuple[str, ...] = ()
    state: DiveState | None = None
    drift: Drift | None = None
    opened: tuple[OpenRecord, ...] = ()
    people: Mapping[str, str] | None = None
    roles: Mapping[str, tuple[str, ...]] | None = None
    now: str = ""
    timers: tuple[RunningTimer, ...] = ()
    trouble: str = ""

    def name_of(self, person: str) -> str:
        """A person's name, the id where it is not known."""
        return (self.people or {}).get(person, person)


class Desk:
    """The logbook as the app works with it. Every method is called on the same one thread."""

    def __init__(self, book: Book) -> None:
        self.commits = LaterCommits(book.history)
        self.book = replace(book, history=self.commits)
        self.logbook = HeldLogbook(self.book)
        self.record = ""
        self.vehicle = ""
        self._title = ""

    def begin(self) -> InHand:
        """Take in hand what was worked on last: the open record last written to, else the last vehicle."""
        settings = self.logbook.settings()
        self._title = settings.title
        records = self.logbook.records()
        opened = [r for r in records if not r.is_closed]
        dives = [r for r in opened if r.kind == "dive"]
        found = max(
            dives or opened,
            key=lambda r: start_order(r.entries[-1].at if r.entries else r.started),
            default=None,
        )
        if found is not None:
            self.record, self.vehicle = found.id, found.vehicle
        else:
            flown = [r.vehicle for r in records if r.vehicle]
            known = self.logbook.vehicles()
            self.vehicle = flown[-1] if flown and flown[-1] in known else (known[0] if known else "")
        return self.look()

    def take(self, record: str = "", vehicle: str = "") -> InHand:
        """Take another record, or a vehicle without one, in hand."""
        if record:
            found = self.logbook.record(record)
            self.record, self.vehicle = found.id, found.vehicle
        else:
            self.record, self.vehicle = "", vehicle
            mine = [r for r in self.logbook.records(vehicle) if not r.is_closed]
            if mine:
                self.record = mine[-1].id
        return self.look()

    def does(self, job: Callable[[Desk], T]) -> T:
        """Do one job with the files as they are now: an editor or another program may have changed them."""
        self.logbook.forget()
        return job(self)

    def look(self, forget: bool = False, now: DiveState | None = None) -> InHand:
        """Read what is in hand anew; with `forget` the vehicles' files too; `now` is its state if known."""
        if forget:
            self.logbook.forget()
            self.logbook.let_go()
        settings = self.logbook.settings()
        known = self.logbook.vehicles()
        state = now
        drift: Drift | None = None
        trouble = ""
        try:
            if self.record:
                state = now or dive_state(self.logbook, self.logbook.record(self.record))
                drift = state.drift
                trouble = "; ".join(state.problems)
            elif self.vehicle:
                from rovlog.usecases.compare_drift import drift_of

                drift = drift_of(self.logbook, self.vehicle, None)
        except RovlogError as error:
            trouble = error.message
        return InHand(
            title=settings.title,
            vehicle=self.vehicle,
            vehicle_name=self._name_of(self.vehicle) or (state.record.box if state else ""),
            position=known.index(self.vehicle) if self.vehicle in known else 0,
            vehicles=tuple(known),
            state=state,
            drift=drift,
            opened=self._opened(),
            people={k: p.name for k, p in settings.people.items()},
            roles={k: p.roles for k, p in settings.people.items()},
            now=self.book.clock.now(),
            timers=timers_of(self.logbook, state) if state else (),
            trouble=trouble,
        )

    def cards(self) -> tuple[Item, ...]:
        """The emergency cards: the logbook's, or those we ship where its own cannot be read."""
        lists, _ = checklists_for(self.logbook, self.vehicle)
        found = tuple(i for c in lists if c.phase == "emergency" for i in c.items())
        return found or self._shipped_cards()

    def timers(self) -> tuple[RunningTimer, ...]:
        """The timers of the record in hand, as they stand now."""
        if not self.record:
            return ()
        return timers_of(self.logbook, dive_state(self.logbook, self.logbook.record(self.record)))

    def work_off(self) -> list[CommitOutcome]:
        """Commit what waits; may run on another thread."""
        return self.commits.work_off()

    def _shipped_cards(self) -> tuple[Item, ...]:
        from rovlog.usecases.show_checklists import checklist_values

        data = self.book.shipped.checklists()["emergency"]
        return tuple(checklist_values(self.logbook.checked(data, "checklists/emergency.yaml")).items())

    def _name_of(self, vehicle: str) -> str:
        if not vehicle:
            return ""
        try:
            return str(self.logbook.vehicle(vehicle).get("name", vehicle))
        except RovlogError:
            # Its file is broken; the trouble line says so, the id still names it.
            return vehicle

    def _opened(self) -> tuple[OpenRecord, ...]:
        found = []

        def of_others() -> list[Record]:
            return [r for r in self.logbook.records() if not r.is_closed and r.id != self.record]

        opened = list(self.logbook.of_others("opened", self.record, of_others))
        mine = self.logbook.record(self.record) if self.record else None
        if mine is not None and not mine.is_closed:
            opened.append(mine)
        for record in sorted(opened, key=lambda r: (start_order(r.started), r.id)):
            subject = record.vehicle or record.box
            name = self._name_of(record.vehicle) if record.vehicle else record.box
            found.append(OpenRecord(record.id, record.kind, subject, name, record.started))
        return tuple(found)
