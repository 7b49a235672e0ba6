"""A small invented team at the poolside, over the fakes: one vehicle, the shipped lists, three people."""

from __future__ import annotations

import json
from dataclasses import dataclass, field
from typing import Any

from fakes import fake_book
from vehicles import puffin

from rovlog.domain.dive import Record
from rovlog.usecases.answer_item import Answered, answer_item
from rovlog.usecases.approve import approve_vehicle
from rovlog.usecases.dive_state import DiveState, dive_state
from rovlog.usecases.dive_steps import close, start_dive, start_work
from rovlog.usecases.function_test import Medium, function_test_of, observe_push
from rovlog.usecases.logbook import Logbook
from rovlog.usecases.ports import Book
from rovlog.usecases.predict_push import predicted_push
from rovlog.usecases.start_logbook import start_logbook

PEOPLE: dict[str, dict[str, object]] = {
    "ines": {"name": "Ines Karg", "roles": ["supervisor", "pilot"]},
    "otto": {"name": "Otto Lind", "roles": ["technician"]},
    "ruth": {"name": "Ruth Abay", "roles": ["tender", "technician", "supervisor"]},
}
CREW = {"supervisor": "ines", "pilot": "ines", "tender": "ruth", "technician": "otto"}
ALONE = dict.fromkeys(("supervisor", "pilot", "tender", "technician"), "ines")
FRESH = {"kind": "fresh", "temperature_c": 15.0}
SALT = {"kind": "salt", "temperature_c": 15.0, "salinity": 35.0}


@dataclass
class Poolside:
    """One logbook in memory and the record in hand. Time passes only when told."""

    book: Book = field(default_factory=fake_book)
    record_id: str = ""

    def __post_init__(self) -> None:
        self.logbook = Logbook(self.book)
        start_logbook(self.book, "Lock basin team", PEOPLE)
        documents = puffin()
        vehicle = documents.vehicle
        vehicle["housings"][0]["vacuum_port"] = True
        vehicle["trim_defaults"] = {"heave": 0.05}
        self.write("vehicles/puffin.yaml", vehicle)
        self.write("boxes/quay-box.yaml", documents.box)
        for name, model in documents.models.items():
            self.write(f"thrusters/{name}.yaml", model)
        self.approve("first set-up")

    @property
    def clock(self) -> Any:
        """The clock, to be moved."""
        return self.book.clock

    @property
    def record(self) -> Record:
        """The record in hand, as it is on the disk."""
        return self.logbook.record(self.record_id)

    def write(self, name: str, value: dict[str, Any]) -> None:
        """Put a document in place, as an editor would."""
        self.book.files.tree[name] = (json.dumps(value) + "\n").encode()  # type: ignore[attr-defined]
        self.logbook = Logbook(self.book)

    def change(self, pointer: str, value: Any) -> None:
        """Change one value of the vehicle's file, by its pointer."""
        document = json.loads(self.book.files.read("vehicles/puffin.yaml"))
        *path, last = pointer.strip("/").split("/")
        here = document
        for key in path:
            here = here.setdefault(key, {})
        here[last] = value
        self.write("vehicles/puffin.yaml", document)

    def approve(self, reason: str) -> None:
        """Approve the working files, accepting whatever would stop a dive."""
        asked = approve_vehicle(self.logbook, "puffin", by="ines", reason=reason)
        if asked.revision is None:
            accept = {f.finding: "in the basin at half stick only" for f in asked.unanswered}
            approve_vehicle(self.logbook, "puffin", by="ines", reason=reason, accept=accept)

    def dive(self, crew: dict[str, str] | None = None, water: dict[str, Any] | None = None) -> Poolside:
        """Start a dive, at the clock's time."""
        started = start_dive(
            self.logbook,
            "puffin",
            by="ines",
            site="lock basin",
            water=water or FRESH,
            crew=crew or CREW,
            depth_m=4.0,
        )
        self.record_id = started.record
        return self

    def work(self, purpose: str = "after a fault", crew: dict[str, str] | None = None) -> Poolside:
        """Start work on the vehicle."""
        self.record_id = start_work(
            self.logbook, "puffin", by="otto", purpose=purpose, crew=crew or CREW
        ).record
        return self

    def close(self) -> Poolside:
        """Close the record in hand."""
        close(self.logbook, self.record, by="ines")
        self.clock.advance(3600)
        return self

    def tick(self, item: str, by: str = "otto", is_sure: bool | None = None, **values: Any) -> Answered:
        """Answer an item; half a minute passes."""
        more = {k: values.pop(k) for k in ("outcome", "source", "is_second", "text") if k in values}
        answered = answer_item(
            self.logbook, self.record, item, by=by, values=values or None, is_sure=is_sure, **more
        )
        self.clock.advance(30)
        return answered

    def watch(self, by: str = "ruth", medium: Medium = "dry", most: int = 99) -> Poolside:
        """Watch what is left of the function test, at most so many pushes; nothing is wrong, rests kept."""
        for _ in range(most):
            test = function_test_of(self.logbook, self.record, medium)
            if test.next is None:
                break
            push = dict(test.next.positions(is_dry=medium == "dry") or ())
            seen = predicted_push(test.configuration.resolved, push)
            observe_push(self.logbook, self.record, seen, push, by=by, medium=medium)
            self.clock.advance(20)
        return self

    def state(self) -> DiveState:
        """The record in hand as it stands now."""
        return dive_state(self.logbook, self.record)
