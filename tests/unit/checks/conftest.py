"""A small diary to write dives and work with, and the shipped lists as values."""

from __future__ import annotations

import pathlib
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Any

import pytest

from rovlog.documents.checklist import checklist_from
from rovlog.documents.tree import read
from rovlog.domain.checks.checklist import Checklist
from rovlog.domain.checks.fold import fold_entries
from rovlog.domain.checks.state import ItemState, states_of
from rovlog.domain.checks.walk import Fold
from rovlog.domain.dive import Entry, Part, Record, join_parts

LISTS = pathlib.Path(__file__).parents[3] / "checklists"

RESOLVED: dict[str, Any] = {
    "vehicle": "heron",
    "control_box": {
        "box": "grey-box",
        "firmware": "1.2",
        "channels": 6,
        "steering_scheme": 4,
        "thruster_map": 2,
    },
    "electrical": {"fuse": {"rating_a": 20}, "supply": {"kind": "battery"}, "least_working_v": 9.0},
    "housings": {"tube": {"depth_rating_m": 30, "vacuum_port": True}},
    "hull": {"mass_kg": 11.0},
    "thrusters": {"bow-left": {"channel": 1}, "stern-right": {"channel": 2}},
    "trim_defaults": {"heave": 0.05},
}
NINE = datetime.fromisoformat("2026-05-01T09:00:00+01:00")
CREW = {"supervisor": "ines", "pilot": "otto", "tender": "ruth", "technician": "piet"}


@dataclass
class Diary:
    """Writes entries one after the other; `clock` is the wall clock and moves only when told."""

    lists: tuple[Checklist, ...]
    resolved: Mapping[str, Any] = field(default_factory=lambda: RESOLVED)
    computed: Mapping[str, float | None] = field(default_factory=dict)
    clock: datetime = NINE
    records: dict[str, list[Entry]] = field(default_factory=dict)
    kinds: dict[str, str] = field(default_factory=dict)
    here: str = ""
    mono_s: float = 0.0

    def start(self, record: str, kind: str = "dive", **fields: Any) -> Diary:
        self.here = record
        self.records[record] = []
        self.kinds[record] = kind
        start: dict[str, Any] = {"crew": CREW, "working": "sha256:one"}
        if kind == "dive":
            start |= {"site": "quay", "water": {"kind": "fresh", "temperature_c": 12.0}}
        return self.add("start", "ines", **(start | fields))

    def add(self, kind: str, by: str, **fields: Any) -> Diary:
        entries = self.records[self.here]
        number = len(entries) + 1
        entries.append(
            Entry(
                f"{self.here}-{number:03}",
                number,
                self.clock.isoformat(),
                self.mono_s,
                by,
                kind,
                "deck",
                fields,
            )
        )
        return self

    def wait(self, **delta: float) -> Diary:
        step = timedelta(**delta)
        self.clock += step
        self.mono_s += max(0.0, step.total_seconds())
        return self

    def tick(
        self, item: str, by: str = "piet", witness: bool = False, outcome: str = "pass", **values: Any
    ) -> Diary:
        fields: dict[str, Any] = {"item": item, "outcome": outcome, "source": "seen"}
        fields |= {"values": values} if values else {}
        return self.add("check", by, **(fields | ({"witness": True} if witness else {})))

    def record(self, name: str) -> Record:
        entries = tuple(self.records[name])
        part = Part(f"dives/{name}.yaml", "deck", entries[0].at, entries)
        kind: Any = self.kinds[name]
        return join_parts(name, kind, "heron", "", (part,))

    def fold(self, name: str = "", now: datetime | None = None, digest: str = "", **options: Any) -> Fold:
        name = name or self.here
        earlier = [self.record(r) for r in self.records if r != name]
        return fold_entries(
            self.lists,
            self.record(name),
            earlier,
            self.resolved,
            now or self.clock,
            digest=digest,
            **options,
        )

    def states(self, **options: Any) -> dict[str, ItemState]:
        return states_of(self.fold(**options), self.computed)

    def state(self, item: str, **options: Any) -> ItemState:
        return self.states(**options)[item]


def a_list(*items: Mapping[str, Any], name: str = "short", phase: str = "pre-dive") -> Checklist:
    """A list with one group of these items; what an item does not say is a plain confirmed one."""
    plain = {
        "challenge": "Thing",
        "response": "there",
        "kind": "confirm",
        "by": "technician",
        "stops": "always",
    }
    return checklist_from(
        {
            "checklist": name,
            "title": name,
            "phase": phase,
            "style": "challenge-response",
            "revision": 1,
            "sections": [
                {"section": f"{name}-one", "title": "One", "items": [{**plain, **i} for i in items]}
            ],
        }
    )


def shipped(name: str) -> Checklist:
    path = LISTS / f"{name}.yaml"
    return checklist_from(read(path.read_bytes(), str(path)).value)


@pytest.fixture(scope="session")
def all_lists() -> tuple[Checklist, ...]:
    order = ("bench", "pre-dive", "launch", "recovery", "post-dive", "after-fault", "periodic", "emergency")
    return tuple(shipped(name) for name in order)


@pytest.fixture
def make_list():
    return a_list


@pytest.fixture
def make_diary():
    def make(*lists: Checklist, **fields: Any) -> Diary:
        return Diary(lists, **fields)

    return make


@pytest.fixture
def diary(all_lists):
    return Diary(all_lists)
