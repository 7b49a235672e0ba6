"""How much of a symptom a change reproduces by computation."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from itertools import combinations
from typing import Any

from rovlog.domain.audit.evidence import about, demand_of
from rovlog.domain.drift.effect import Reference, configured
from rovlog.domain.drift.leaves import value_at, with_value
from rovlog.domain.drift.reach import Physics, Reach, reach_of
from rovlog.problems import RovlogError

UNKNOWN = 0.5
"""Plausibility where nothing can be computed: people, places, parts, a team's own symptom."""

WEAK_LEFT = 0.5
"""What a demand called weak is taken to have left of its wrench (project default)."""

NET_LIFT_N = 1.0
"""A change of net lift that fully explains a vehicle that sinks or rises, newton (project default)."""

OPENS_AT = 1.1
"""Share of its rating up to which a blade fuse carries for ever (ISO 8820-3, as quoted second-hand)."""

EVENT_SHARE = 0.6
"""An event that can do what would bring the symptom is given this share of it: it need not have."""

EVENT_CANNOT = 0.1
"""An event that by its nature cannot bring the symptom (project default; not 0: people err in naming)."""

EVENT_CAN: Mapping[str, frozenset[str]] = {
    "work": frozenset({"wiring", "supply", "mass"}),
    "connector-parted": frozenset({"wiring", "supply"}),
    "housing-opened": frozenset({"wiring", "mass"}),
    "thruster-touched": frozenset({"wiring"}),
    "knocked": frozenset({"wiring", "mass"}),
    "tether-changed": frozenset({"wiring", "supply", "mass"}),
    "supply-swapped": frozenset({"supply"}),
    "fuse-changed": frozenset({"supply"}),
    "load-changed": frozenset({"mass"}),
    "water-changed": frozenset({"mass"}),
    "temperature-moved": frozenset({"mass"}),
    "crew-changed": frozenset(),
}
"""What an event can disturb; a slug that is not here can disturb anything (common practice, no source)."""

NEEDS: Mapping[str, frozenset[str]] = {
    "demand": frozenset({"wiring"}),
    "buoyancy": frozenset({"mass"}),
    "current": frozenset({"supply", "wiring"}),
}
"""What must be disturbed for a symptom about a demand, about buoyancy, about current."""


def value_plausibility(symptom: str | None, pointer: str, before: Reference, changed: Reference) -> float:
    """Share of the symptom's change that going from `before` to `changed` reproduces, 0 to 1.

    Let r be the wrench on the demand's axis after, divided by that before, at the same end of the
    same control, signed. `-reversed` asks for r = -1: (1 - r)/2. `-dead` asks for r = 0: 1 - |r|. `-weak`
    asks for r up to WEAK_LEFT: (1 - r)/(1 - WEAK_LEFT), less again once it turns round. The end that
    fits best counts. `fuse-opened` asks for the worst-case current to reach OPENS_AT of the fuse's rating,
    `sinks` and `rises` for a net lift changed by NET_LIFT_N that way. UNKNOWN where nothing can be
    computed; electrical values act on thrust through sag, which this does not compute.
    """
    subject = about(symptom)
    is_sag = subject == "demand" and pointer.startswith("/electrical")
    if not symptom or not subject or is_sag:
        return UNKNOWN
    if before.configuration is None or changed.configuration is None:
        return UNKNOWN
    if subject == "demand":
        demand = demand_of(symptom)
        return demand_share(symptom, before.reach[demand], changed.reach[demand])
    return _current_share(before, changed) if subject == "current" else _lift_share(symptom, before, changed)


def demand_share(symptom: str, before: Reach, after: Reach) -> float:
    """The share of `<demand>-reversed`, `-dead` or `-weak` that goes from one reach to the other."""
    manner = symptom.rsplit("-", 1)[1]
    return max((_share_of(manner, ratio) for ratio in _ratios(before, after)), default=UNKNOWN)


def _share_of(manner: str, ratio: float) -> float:
    if manner == "reversed":
        share = (1.0 - ratio) / 2.0
    elif manner == "dead":
        share = 1.0 - abs(ratio)
    elif manner == "weak":
        share = (1.0 - ratio) / (1.0 - WEAK_LEFT) if ratio >= 0 else 1.0 + ratio
    else:
        return UNKNOWN
    return min(1.0, max(0.0, share))


def _ratios(before: Reach, after: Reach) -> list[float]:
    shared = before.by_control.keys() & after.by_control.keys()
    pairs = [
        pair for c in sorted(shared) for pair in zip(before.by_control[c], after.by_control[c], strict=True)
    ]
    if not shared:
        pairs = [(before.positive, after.positive), (before.negative, after.negative)]
    return [new / old for old, new in pairs if abs(old) > 1e-9]


def _current_share(before: Reference, after: Reference) -> float:
    if before.configuration is None or after.configuration is None:
        return UNKNOWN
    if before.worst_case_a is None or after.worst_case_a is None:
        return UNKNOWN
    old = before.worst_case_a / before.configuration.electrical.fuse.rating_a
    new = after.worst_case_a / after.configuration.electrical.fuse.rating_a
    return min(1.0, max(0.0, (new - old) / max(0.1, OPENS_AT - old)))


def _lift_share(symptom: str, before: Reference, after: Reference) -> float:
    if before.net_up_n is None or after.net_up_n is None:
        return UNKNOWN
    change = after.net_up_n - before.net_up_n
    return min(1.0, max(0.0, (change if symptom == "rises" else -change) / NET_LIFT_N))


def event_plausibility(symptom: str | None, slug: str, wiring_share: float | None) -> float:
    """How far an event can have brought the symptom.

    Args:
        symptom: the symptom's slug.
        slug: the event's, or "work".
        wiring_share: see `greatest_wiring_share`; None where it could not be computed.
    """
    needs = NEEDS.get(about(symptom))
    can = EVENT_CAN.get(slug)
    if needs is None or can is None:
        return UNKNOWN
    if not needs & can:
        return EVENT_CANNOT
    if about(symptom) != "demand" or wiring_share is None:
        return UNKNOWN
    return EVENT_SHARE * wiring_share


def greatest_wiring_share(symptom: str | None, reference: Reference, physics: Physics) -> float | None:
    """The share of a demand's symptom that the best fault of wiring reproduces; None if unknown.

    The faults: one thruster's leads crossed, those of two thrusters crossed, two channels' leads
    swapped, one thruster still.
    """
    demand = demand_of(symptom)
    if not symptom or not demand or reference.configuration is None:
        return None
    shares = []
    for changed in _wiring_faults(reference.resolved):
        try:
            found = reach_of(configured(changed, physics), demand)
        except RovlogError:
            continue  # A fault that cannot be put into this configuration explains nothing here.
        shares.append(demand_share(symptom, reference.reach[demand], found))
    return max(shares, default=None)


def _wiring_faults(resolved: Mapping[str, Any]) -> Iterable[Mapping[str, Any]]:
    thrusters: Mapping[str, Any] = resolved.get("thrusters", {})
    for name, thruster in thrusters.items():
        crossed = "normal" if thruster.get("polarity") == "reversed" else "reversed"
        yield with_value(resolved, f"/thrusters/{name}/polarity", crossed)
        for other, second in thrusters.items():
            if other > name:
                turned = "normal" if second.get("polarity") == "reversed" else "reversed"
                both = with_value(resolved, f"/thrusters/{name}/polarity", crossed)
                yield with_value(both, f"/thrusters/{other}/polarity", turned)
        model = value_at(resolved, f"/models/{thruster.get('model')}")
        if not isinstance(model, Mapping):
            continue
        still = [{"command": end, "thrust_n": 0, "current_a": 0} for end in (-1, 1)]
        stopped = with_value(resolved, "/models/standing-still", {**model, "points": still})
        yield with_value(stopped, f"/thrusters/{name}/model", "standing-still")
    for one, other in combinations(sorted({t.get("channel") for t in thrusters.values()}), 2):
        swapped = resolved
        for name, thruster in thrusters.items():
            if thruster.get("channel") in (one, other):
                channel = other if thruster["channel"] == one else one
                swapped = with_value(swapped, f"/thrusters/{name}/channel", channel)
        yield swapped
