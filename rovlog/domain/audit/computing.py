"""What the plausibility of every suspect is computed with, each thing once."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from rovlog.domain.audit.flights import Logbook
from rovlog.domain.audit.plausibility import (
    ELSEWHERE_SHARE,
    EVENT_SHARE,
    NAMED_SHARE,
    UNKNOWN,
    event_plausibility,
    value_plausibility,
)
from rovlog.domain.audit.suspects import Suspect
from rovlog.domain.audit.wiring import (
    TURNS,
    WiringFault,
    best_fault_in_hand,
    greatest_wiring_share,
    thrusters_named,
)
from rovlog.domain.drift.effect import Reference, reference_of
from rovlog.domain.drift.leaves import with_value
from rovlog.domain.drift.reach import Physics
from rovlog.domain.drift.swap import swapped
from rovlog.values import dataclass, field


@dataclass(slots=True)
class Computing:
    """Plausibility of the suspects of one logbook for one symptom; UNKNOWN throughout without physics."""

    symptom: str | None
    physics: Physics | None
    logbook: Logbook
    suspects: Sequence[Suspect] = ()
    _references: dict[int, Reference] = field(default_factory=dict)
    _wiring: dict[int, float | None] = field(default_factory=dict)
    _pairs: dict[int, tuple[Reference, Reference] | None] = field(default_factory=dict)
    _faults: dict[int, WiringFault | None] = field(default_factory=dict)

    def plausibility(self, suspect: Suspect) -> float:
        """How much of the symptom the suspect reproduces by computation, 0 to 1."""
        if self.physics is None or suspect.kind in ("crew", "place", "part"):
            return UNKNOWN
        if suspect.kind == "value":
            pair = self.pair(suspect)
            return value_plausibility(self.symptom, suspect.pointer, *pair) if pair else UNKNOWN
        whole = self._of_event(suspect)
        if suspect.slug != "work":
            return whole
        return max([whole, *(self._of_event(s) for s in self._within(suspect))])

    def fault(self, suspect: Suspect) -> WiringFault | None:
        """The fault of wiring by which an event that names thrusters brings most of the symptom."""
        if self.physics is None or suspect.kind != "event":
            return None
        key = id(suspect)
        if key not in self._faults:
            self._faults[key] = self._best_fault(suspect, self.physics)
        return self._faults[key]

    def pair(self, suspect: Suspect) -> tuple[Reference, Reference] | None:
        """Before a value came in, and the same with that value changed; None where it is not known."""
        if self.physics is None:
            return None
        key = id(suspect)
        if key not in self._pairs:
            found = before_and_after(suspect, self.logbook)
            self._pairs[key] = found and (
                self._reference(found[0], self.physics),
                reference_of(found[1], self.physics),
            )
        return self._pairs[key]

    def _of_event(self, suspect: Suspect) -> float:
        resolved = self._resolved(suspect)
        if self.physics is None or resolved is None:
            return event_plausibility(self.symptom, suspect.slug, None, EVENT_SHARE)
        if suspect.slug in TURNS and thrusters_named(suspect.part, resolved):
            fault = self.fault(suspect)
            return event_plausibility(
                self.symptom, suspect.slug, fault.weighed if fault else None, NAMED_SHARE
            )
        is_near = not suspect.part or _carries_leads(suspect.part, resolved)
        share = EVENT_SHARE if is_near else ELSEWHERE_SHARE
        return event_plausibility(self.symptom, suspect.slug, self._general(resolved, self.physics), share)

    def _best_fault(self, suspect: Suspect, physics: Physics) -> WiringFault | None:
        resolved = self._resolved(suspect)
        if resolved is None:
            return None
        named = thrusters_named(suspect.part, resolved)
        beside = [
            name
            for other in self.suspects
            if other.kind == "event" and other.slug == suspect.slug and other.since == suspect.since
            for name in thrusters_named(other.part, resolved)
            if name not in named
        ]
        reference = self._reference(resolved, physics)
        return best_fault_in_hand(self.symptom, reference, physics, suspect.slug, named, beside)

    def _within(self, work: Suspect) -> list[Suspect]:
        """The events of a piece of work."""
        return [s for s in self.suspects if s.kind == "event" and s.slug != "work" and s.after == work.after]

    def _general(self, resolved: Mapping[str, Any], physics: Physics) -> float | None:
        if id(resolved) not in self._wiring:
            reference = self._reference(resolved, physics)
            self._wiring[id(resolved)] = greatest_wiring_share(self.symptom, reference, physics)
        return self._wiring[id(resolved)]

    def _resolved(self, suspect: Suspect) -> Mapping[str, Any] | None:
        return self.logbook.flights[suspect.since].as_flown.resolved

    def _reference(self, resolved: Mapping[str, Any], physics: Physics) -> Reference:
        if id(resolved) not in self._references:
            self._references[id(resolved)] = reference_of(resolved, physics)
        return self._references[id(resolved)]


def before_and_after(
    suspect: Suspect, logbook: Logbook
) -> tuple[Mapping[str, Any], Mapping[str, Any]] | None:
    """The configuration before a value came in, and the same with that one value changed."""
    flights = logbook.flights
    after = flights[suspect.since].as_flown.resolved
    if after is None:
        return None
    earlier = [f.as_flown.resolved for f in flights[: suspect.since] if f.as_flown.resolved is not None]
    if not earlier:
        return with_value(after, suspect.pointer, suspect.before), after
    whole = swapped(earlier[-1], suspect.pointer, after)
    return earlier[-1], with_value(whole, suspect.pointer, suspect.after)


def _carries_leads(part: str, resolved: Mapping[str, Any]) -> bool:
    """Whether thruster leads are known to run through a part: the tether, the box, a housing."""
    tether = dict(dict(resolved.get("electrical") or {}).get("tether") or {})
    box = dict(resolved.get("control_box") or {}).get("box")
    named = {"tether", "box", str(box), str(tether.get("part") or "tether")}
    return part in named or part in dict(resolved.get("housings") or {})
