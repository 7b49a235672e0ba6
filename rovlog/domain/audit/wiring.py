"""Faults of wiring that could bring a symptom: any at all, or those that one event had in its hands."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from itertools import combinations
from typing import Any

from rovlog.domain.audit.evidence import demand_of
from rovlog.domain.audit.plausibility import demand_share
from rovlog.domain.drift.effect import Reference, configured
from rovlog.domain.drift.leaves import value_at, with_value
from rovlog.domain.drift.reach import Physics, reach_of
from rovlog.problems import RovlogError
from rovlog.values import dataclass

TURNS: Mapping[str, frozenset[str]] = {
    "connector-parted": frozenset({"crossed", "still", "swapped"}),
    "housing-opened": frozenset({"crossed", "still", "swapped"}),
    "tether-changed": frozenset({"crossed", "still", "swapped"}),
    "thruster-touched": frozenset({"crossed", "still"}),
    "knocked": frozenset({"still"}),
}
"""What an event can do to a thruster it names: its leads crossed (or a propeller of the other hand), the
thruster still, its leads swapped with another thruster's that was in the same hands (common practice, no
source)."""

BOTH = "both crossed"
"""How the words of a fault of two thrusters end."""

DOUBLE_SHARE = 0.5
"""Two faults at once in what one event had in its hands are given this share of what they reproduce, as two
faults have half the prior of one in the diagnosis (project default)."""


@dataclass(frozen=True, slots=True)
class WiringFault:
    """One fault put into a configuration: what it is in words, the share of the symptom it reproduces, and
    that share weighed by whether it takes one fault or two."""

    text: str
    share: float
    weighed: float


def greatest_wiring_share(symptom: str | None, reference: Reference, physics: Physics) -> float | None:
    """The share of a demand's symptom that the best fault of wiring reproduces; None if unknown.

    The faults: one thruster's leads crossed, those of two thrusters crossed, two channels' leads
    swapped, one thruster still.
    """
    names = list(reference.resolved.get("thrusters", {}))
    kinds = frozenset({"crossed", "still", "swapped"})
    best = _best(symptom, reference, physics, _faults(reference.resolved, names, names, kinds))
    return None if best is None else best.share


def thrusters_named(part: str, resolved: Mapping[str, Any]) -> tuple[str, ...]:
    """The thrusters that an event's part names: by id, by its own part's id, by a channel ("channel-3")."""
    thrusters: Mapping[str, Mapping[str, Any]] = resolved.get("thrusters", {})
    if part in thrusters:
        return (part,)
    channel = part.removeprefix("channel-").removeprefix("channel ")
    return tuple(
        name
        for name, thruster in thrusters.items()
        if part
        and (thruster.get("part") == part or (channel != part and str(thruster.get("channel")) == channel))
    )


def best_fault_in_hand(
    symptom: str | None,
    reference: Reference,
    physics: Physics,
    slug: str,
    named: Collection[str],
    beside: Collection[str],
) -> WiringFault | None:
    """The fault of the named thrusters' wiring that reproduces most of the symptom; None if unknown.

    A lead can only have been swapped with one that was in the same hands.

    Args:
        named: thrusters the event names.
        beside: other thrusters that an event of the same kind names, between the same two dives.
    """
    kinds = TURNS.get(slug)
    if kinds is None or not named:
        return None
    faults = _faults(reference.resolved, named, [*named, *beside], kinds)
    return _best(symptom, reference, physics, faults, DOUBLE_SHARE)


def _best(
    symptom: str | None,
    reference: Reference,
    physics: Physics,
    faults: Iterable[tuple[str, Mapping[str, Any]]],
    double_share: float = 1.0,
) -> WiringFault | None:
    demand = demand_of(symptom)
    if not symptom or not demand or reference.configuration is None:
        return None
    best: WiringFault | None = None
    for text, changed in faults:
        try:
            found = reach_of(configured(changed, physics), demand)
        except RovlogError:
            continue  # A fault that cannot be put into this configuration explains nothing here.
        share = demand_share(symptom, reference.reach[demand], found)
        weighed = share * double_share if text.endswith(BOTH) else share
        if best is None or weighed > best.weighed + 1e-9:
            best = WiringFault(text, share, weighed)
    return best


def _faults(
    resolved: Mapping[str, Any], named: Collection[str], around: Collection[str], kinds: frozenset[str]
) -> Iterable[tuple[str, Mapping[str, Any]]]:
    """Each fault in words with the configuration it makes, likeliest kinds first."""
    pairs = [tuple(sorted((a, b))) for a, b in combinations(dict.fromkeys(around), 2) if {a, b} & set(named)]
    if "swapped" in kinds:
        yield from _swaps(resolved, pairs)
    if "crossed" in kinds:
        for name in named:
            yield f"the leads of {name} crossed", _crossed(resolved, name)
    if "still" in kinds:
        for name in named:
            stopped = _stopped(resolved, name)
            if stopped is not None:
                yield f"{name} still", stopped
    if "crossed" in kinds:
        for one, other in pairs:
            yield f"the leads of {one} and {other} {BOTH}", _crossed(_crossed(resolved, one), other)


def _swaps(
    resolved: Mapping[str, Any], pairs: Iterable[tuple[str, ...]]
) -> Iterable[tuple[str, Mapping[str, Any]]]:
    """The leads of two channels swapped; two thrusters on one channel have no leads to swap."""
    thrusters = resolved.get("thrusters", {})
    seen = set()
    for one, other in pairs:
        a, b = thrusters[one].get("channel"), thrusters[other].get("channel")
        if a == b or frozenset((a, b)) in seen:
            continue
        seen.add(frozenset((a, b)))
        changed = resolved
        for name, thruster in thrusters.items():
            if thruster.get("channel") in (a, b):
                channel = b if thruster["channel"] == a else a
                changed = with_value(changed, f"/thrusters/{name}/channel", channel)
        yield f"the leads of {one} and {other} swapped", changed


def _crossed(resolved: Mapping[str, Any], name: str) -> Mapping[str, Any]:
    turned = "normal" if resolved["thrusters"][name].get("polarity") == "reversed" else "reversed"
    return with_value(resolved, f"/thrusters/{name}/polarity", turned)


def _stopped(resolved: Mapping[str, Any], name: str) -> Mapping[str, Any] | None:
    model = value_at(resolved, f"/models/{resolved['thrusters'][name].get('model')}")
    if not isinstance(model, Mapping):
        return None
    still = [{"command": end, "thrust_n": 0, "current_a": 0} for end in (-1, 1)]
    stopped = with_value(resolved, "/models/standing-still", {**model, "points": still})
    return with_value(stopped, f"/thrusters/{name}/model", "standing-still")
