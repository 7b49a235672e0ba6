"""What the demonstration's script stands on: logbook, clock, chance, and the boxes as they really are."""

from __future__ import annotations

from collections.abc import Mapping
from random import Random
from typing import Any

from rovlog.usecases.approve import Approved, approve_vehicle, commit_files
from rovlog.usecases.demonstration.scripted import ScriptedClock
from rovlog.usecases.demonstration.team import Water
from rovlog.usecases.logbook import Logbook
from rovlog.values import dataclass, field, replace


@dataclass(slots=True)
class BoxHeld:
    """What a surface box really holds: its firmware, its numbers, and the trims in use and stored."""

    firmware: str
    steering_scheme: int
    thruster_map: int
    trim: dict[str, float] = field(default_factory=dict)
    kept: dict[str, float] = field(default_factory=dict)
    boots: int = 100

    def in_use(self) -> dict[str, Any]:
        """As a readback says it."""
        return self._said(self.trim)

    def stored(self) -> dict[str, Any]:
        """What it comes back with after power off and on."""
        return self._said(self.kept)

    def power_up(self) -> None:
        """Powered on: what is stored is in use."""
        self.boots += 1
        self.trim = dict(self.kept)

    def _said(self, trim: Mapping[str, float]) -> dict[str, Any]:
        return {
            "steering_scheme": self.steering_scheme,
            "thruster_map": self.thruster_map,
            "trim": dict(trim),
            "power_limit": 1.0,
        }


@dataclass(slots=True)
class Stage:
    """The logbook under the script. `swapped` are the channels whose leads run crossed, by vehicle;
    `notes` what was jotted down between two readings."""

    logbook: Logbook
    clock: ScriptedClock
    chance: Random
    boxes: dict[str, BoxHeld] = field(default_factory=dict)
    swapped: dict[str, tuple[int, int]] = field(default_factory=dict)
    notes: dict[str, float] = field(default_factory=dict)

    def between(self, low: float, high: float, digits: int = 0) -> float:
        """A number drawn between two, rounded."""
        drawn = round(self.chance.uniform(low, high), digits)
        return int(drawn) if digits == 0 else drawn

    def box_of(self, vehicle: str) -> str:
        """The id of a vehicle's box."""
        return str(self.logbook.vehicle(vehicle)["control_box"]["box"])

    def write_files(self, files: Mapping[str, str], message: str, by: str) -> None:
        """Write whole files, new or anew, and commit them in a person's name."""
        book = self.logbook.book
        for name, text in files.items():
            self.logbook.checked(text.encode(), name)
            if book.files.exists(name):
                book.files.replace(name, text.encode(), book.files.read(name))
            else:
                book.files.create(name, text.encode())
        self._committed(list(files), message, by)

    def keep_file(self, name: str, text: str, message: str, by: str) -> None:
        """Put a file of evidence beside the records, and commit it."""
        self.logbook.book.files.create(name, text.encode())
        self._committed([name], message, by)

    def edit(self, name: str, pointer: str, value: Any, message: str, by: str) -> None:
        """Change one value in a file, the rest as it was written, and commit it in a person's name."""
        from rovlog.documents.edit import replace_value

        before = self.logbook.book.files.read(name)
        after = replace_value(before, name, pointer, value)
        self.logbook.checked(after, name)
        self.logbook.book.files.replace(name, after, before)
        self._committed([name], message, by)

    def approve(self, vehicle: str, by: str, reason: str, evidence: str | None = None) -> Approved:
        """Approve what the files say; no finding of the demonstration may stop a dive."""
        self.clock.pass_s(240)
        done = approve_vehicle(self.logbook, vehicle, by=by, reason=reason, evidence=evidence)
        if done.unanswered:
            raise ValueError(f"{vehicle}: " + "; ".join(f.text for f in done.unanswered))
        self.logbook.forget()
        return done

    def _committed(self, names: list[str], message: str, by: str) -> None:
        self.clock.pass_s(40)
        self.logbook.forget()
        commit_files(self.logbook, names, message, by)


@dataclass(frozen=True, slots=True)
class Plan:
    """One dive as it was planned: where, when, who, for how long, and the heave trim it will need."""

    vehicle: str
    at: str
    water: Water
    crew: Mapping[str, str]
    task: str
    minutes: float = 25.0
    heave: float | None = None
    reach_m: float = 8.0

    def with_crew(self, **crew: str) -> Plan:
        """The same with other people in some roles."""
        return replace(self, crew={**self.crew, **crew})
