"""The last dive on which a function worked before its first fault, and by what evidence."""

from __future__ import annotations

from collections.abc import Callable

from rovlog.domain.audit.flights import Fault, Flight, Logbook
from rovlog.domain.audit.times import or_last
from rovlog.values import dataclass

GRADES = ("measured", "observed", "nothing logged")
"""How well it is known that a function worked, the best first: a function test passed; somebody saw it
answer as it should; the dive was in the water and no fault was logged."""


@dataclass(frozen=True, slots=True)
class LastKnownGood:
    """The last dive before the first fault on which the function worked.

    `first_fault` is where the symptom was first logged, `fault_dive` that dive ("" if it was logged
    outside dives and no dive followed). `dive` is "" where no dive before it is known to be good.
    `better` is an earlier dive with better evidence, with its grade, where there is one.
    """

    symptom: str | None
    first_fault: Fault
    fault_dive: str
    dive: str
    grade: str
    evidence: str
    better: tuple[str, str, str] | None = None


Evidence = tuple[str, str]
"""A grade of GRADES and its words."""


def last_known_good(
    logbook: Logbook, symptom: str | None, evidence: Callable[[Flight], Evidence | None]
) -> LastKnownGood | None:
    """The last dive that was good before the symptom was first logged; None where it never was.

    Args:
        logbook: the vehicle's dives.
        symptom: a fault's symptom; any fault where None.
        evidence: what speaks for a dive's function, see `evidence.evidence_of`; None where nothing
            does, or where the dive itself speaks against it.
    """
    faults = [f for flight in logbook.flights for f in flight.faults] + list(logbook.loose_faults)
    named = [f for f in faults if symptom is None or f.symptom == symptom]
    if not named:
        return None
    first = min(named, key=lambda f: or_last(f.at))
    position = next((i for i, f in enumerate(logbook.flights) if f.dive == first.record), None)
    if position is None:
        position = sum(or_last(f.started) < or_last(first.at) for f in logbook.flights)
        fault_dive = ""
    else:
        fault_dive = logbook.flights[position].dive
    good: list[tuple[Flight, Evidence]] = []
    for flight in reversed(logbook.flights[:position]):
        found = evidence(flight)
        if found is not None:
            good.append((flight, found))
    if not good:
        return LastKnownGood(symptom, first, fault_dive, "", "", "no dive before it is known to be good")
    flight, (grade, words) = good[0]
    better = next(((f.dive, g, w) for f, (g, w) in good if GRADES.index(g) < GRADES.index(grade)), None)
    return LastKnownGood(symptom, first, fault_dive, flight.dive, grade, words, better)
