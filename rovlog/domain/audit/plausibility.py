"""How much of a symptom a change reproduces by computation."""

from __future__ import annotations

from collections.abc import Mapping

from rovlog.domain.audit.evidence import about, demand_of
from rovlog.domain.drift.effect import Reference
from rovlog.domain.drift.reach import Reach

UNKNOWN = 0.5
"""Plausibility where nothing can be computed: people, places, parts, a team's own symptom."""

WEAK_LEFT = 0.5
"""What a demand called weak is taken to have left of its wrench (project default)."""

NET_LIFT_N = 1.0
"""A change of net lift that fully explains a vehicle that sinks or rises, newton (project default)."""

OPENS_AT = 1.1
"""Share of its rating up to which a blade fuse carries for ever (ISO 8820-3, as quoted second-hand)."""

EVENT_SHARE = 0.6
"""An event that can do what would bring the symptom is given this share of it: it need not have, and it
names no thruster (project default)."""

NAMED_SHARE = 0.8
"""The same for an event that names the thruster whose wiring would have to be at fault (project default)."""

ELSEWHERE_SHARE = 0.3
"""The same for an event at a part that the configuration does not know thruster leads to run through
(project default; a record may name a part in other words)."""

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


def event_plausibility(symptom: str | None, slug: str, wiring_share: float | None, share: float) -> float:
    """How far an event can have brought the symptom.

    Args:
        symptom: the symptom's slug.
        slug: the event's, or "work".
        wiring_share: the share of the symptom that the best fault of wiring within the event's reach
            reproduces; None where it could not be computed.
        share: what the event is given of that: EVENT_SHARE, NAMED_SHARE or ELSEWHERE_SHARE.
    """
    needs = NEEDS.get(about(symptom))
    can = EVENT_CAN.get(slug)
    if needs is None or can is None:
        return UNKNOWN
    if not needs & can:
        return EVENT_CANNOT
    if about(symptom) != "demand" or wiring_share is None:
        return UNKNOWN
    return share * wiring_share
