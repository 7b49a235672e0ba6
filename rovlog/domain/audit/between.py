"""Two dives side by side: configuration, parts, people, place, and what happened between them."""

from __future__ import annotations

from collections.abc import Mapping

from rovlog.domain.audit.flights import Fault, Happening, Logbook
from rovlog.domain.drift.leaves import Difference, differences
from rovlog.values import dataclass


@dataclass(frozen=True, slots=True)
class Between:
    """All that differs from one dive to another, and what happened between them, in order.

    `parts`, `crew` and `place` give (where, before, after); `happenings` and `faults` lie after the
    first dive began and up to the second; `unknown` says which configuration is not known.
    """

    first: str
    second: str
    configuration: tuple[Difference, ...]
    parts: tuple[tuple[str, str, str], ...]
    crew: tuple[tuple[str, str, str], ...]
    place: tuple[tuple[str, str, str], ...]
    happenings: tuple[Happening, ...]
    faults: tuple[Fault, ...]
    dives_between: tuple[str, ...]
    unknown: tuple[str, ...] = ()


def between(logbook: Logbook, first: str, second: str) -> Between | None:
    """Two dives side by side; None where one of them is not in the logbook. The order given is kept."""
    by_id = {f.dive: i for i, f in enumerate(logbook.flights)}
    if first not in by_id or second not in by_id:
        return None
    a, b = logbook.flights[by_id[first]], logbook.flights[by_id[second]]
    low, high = sorted((by_id[first], by_id[second]))
    span = logbook.flights[low : high + 1]
    before, after = a.as_flown.resolved, b.as_flown.resolved
    unknown = tuple(
        f"the configuration of {f.dive} is not known" for f in (a, b) if f.as_flown.resolved is None
    )
    happenings = [*span[0].after]
    faults = list(span[0].faults) if low != high else []
    for flight in span[1:]:
        happenings += flight.before
        happenings += flight.after if flight is not span[-1] else ()
        faults += flight.faults
    return Between(
        first,
        second,
        () if before is None or after is None else tuple(differences(before, after)),
        _changed(a.parts, b.parts),
        _changed(_joined(a.crew), _joined(b.crew)),
        _changed(a.place, b.place),
        tuple(happenings),
        tuple(faults),
        tuple(f.dive for f in span[1:-1]),
        unknown,
    )


def _changed(before: Mapping[str, str], after: Mapping[str, str]) -> tuple[tuple[str, str, str], ...]:
    keys = list(dict.fromkeys([*before, *after]))
    return tuple((k, before.get(k, ""), after.get(k, "")) for k in keys if before.get(k) != after.get(k))


def _joined(crew: Mapping[str, tuple[str, ...]]) -> dict[str, str]:
    return {role: ", ".join(people) for role, people in crew.items()}
