"""Two configurations side by side: every difference, and what it does physically."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from rovlog.usecases.configurations import Named, named
from rovlog.usecases.logbook import Logbook
from rovlog.values import dataclass

if TYPE_CHECKING:
    from rovlog.domain.drift.effect import Effect


@dataclass(frozen=True, slots=True)
class ComparedRow:
    """One difference; a side without the value has ABSENT. `effect` is of this one change alone."""

    pointer: str
    a: Any
    b: Any
    effect: Effect | None


@dataclass(frozen=True, slots=True)
class Compared:
    """Both configurations, their differences, and the effect of all of them together."""

    a: Named
    b: Named
    rows: tuple[ComparedRow, ...]
    effect: Effect | None


def compare_configurations(logbook: Logbook, a: str, b: str) -> Compared:
    """Differences from A to B leaf by leaf, each with the effect of going from A to B in it alone."""
    return compare_named(named(logbook, a), named(logbook, b))


def compare_named(one: Named, other: Named) -> Compared:
    """As compare_configurations, of two configurations at hand."""
    from rovlog.domain.drift.effect import effect_of, reference_of
    from rovlog.domain.drift.leaves import differences
    from rovlog.domain.drift.swap import swapped
    from rovlog.usecases.physics import bound_physics

    found = differences(one.resolved, other.resolved)
    if not found:
        return Compared(one, other, (), None)
    physics = bound_physics()
    before = reference_of(one.resolved, physics)
    rows = []
    for pointer, was, becomes in found:
        after: Mapping[str, Any] = swapped(one.resolved, pointer, other.resolved)
        rows.append(ComparedRow(pointer, was, becomes, effect_of(before, after, physics)))
    return Compared(one, other, tuple(rows), effect_of(before, other.resolved, physics))
