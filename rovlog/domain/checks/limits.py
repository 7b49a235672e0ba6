"""Judging an answered value against its limit: by how much it holds, and where the limit comes from."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any, Literal

from rovlog.domain.checks.checklist import Ask, Item, Limit, Reference, Value
from rovlog.domain.checks.computed import READ_OFF_BOX
from rovlog.domain.checks.defaults import ABSENT_IS_ZERO, LIMITS
from rovlog.values import dataclass

LimitKind = Literal["at_least", "at_most", "equals", "within"]


@dataclass(frozen=True, slots=True)
class Judged:
    """One value against one limit. `margin` is positive while the limit holds, in the value's unit;
    None where there is no number. `passed` None means it could not be judged, and `reason` why."""

    value: str
    observed: Value | None
    limit: Value | None
    kind: LimitKind
    margin: float | None
    origin: str
    passed: bool | None
    unit: str = ""
    reason: str = ""


@dataclass(frozen=True, slots=True)
class Resolved:
    """What a reference stands for now: its value (None: not known), its origin, and why it is not known."""

    value: Value | None
    origin: str
    reason: str = ""


def resolve(
    reference: Reference, resolved: Mapping[str, Any], computed: Mapping[str, float | None], origin: str = ""
) -> Resolved:
    """The value a reference stands for. A missing /limits/<name> falls back to the project default."""
    if reference.pointer:
        return _at_pointer(reference.pointer, resolved)
    if reference.computed:
        return _computed(reference.computed, computed)
    return Resolved(reference.value, origin or "the list")


def _computed(name: str, computed: Mapping[str, float | None]) -> Resolved:
    is_read = name in READ_OFF_BOX
    origin = "read from the box" if is_read else f"computed: {name}"
    value = computed.get(name)
    if value is None or not math.isfinite(value):
        return Resolved(None, origin, "no readback says it" if is_read else f"{name} cannot be computed")
    return Resolved(value, origin)


def value_at(pointer: str, resolved: Mapping[str, Any]) -> Any:
    """What stands at an RFC 6901 pointer in the resolved configuration, or None."""
    here: Any = resolved
    for token in pointer.split("/")[1:]:
        name = token.replace("~1", "/").replace("~0", "~")
        if isinstance(here, Mapping):
            here = here.get(name)
        elif isinstance(here, list | tuple) and name.isascii() and name.isdigit() and int(name) < len(here):
            here = here[int(name)]
        else:
            return None
    return here


def judge(
    ask: Ask,
    observed: Value | None,
    resolved: Mapping[str, Any],
    computed: Mapping[str, float | None],
) -> tuple[Judged, ...]:
    """Every part of the ask's limit against the value; () where there is no limit or no value."""
    limit = ask.limit
    if limit is None or observed is None:
        return ()
    parts: list[Judged] = []
    if limit.at_least:
        parts.append(
            _one("at_least", ask, observed, resolve(limit.at_least, resolved, computed, limit.origin))
        )
    if limit.at_most:
        parts.append(_one("at_most", ask, observed, resolve(limit.at_most, resolved, computed, limit.origin)))
    if limit.equals:
        parts.append(_equal(ask, observed, resolve(limit.equals, resolved, computed, limit.origin)))
    if limit.middle:
        parts.append(_within(ask, observed, limit, resolved, computed))
    return tuple(parts)


NONE = "none"
"""The choice that says there is nothing to read out."""


def judge_none(
    item: Item,
    values: Mapping[str, Value],
    resolved: Mapping[str, Any],
    computed: Mapping[str, float | None],
) -> tuple[Judged, ...]:
    """The choice none against what the program counts, whatever was typed beside it; () for another one."""
    if values.get("choice") != NONE:
        return ()
    found = []
    for ask in item.asks:
        if ask.value in item.none_while_zero and ask.proposed is not None:
            count = resolve(ask.proposed, resolved, computed)
            number = _number(count.value)
            if number:
                origin = f"none was answered; {count.origin}"
                found.append(Judged(ask.value, number, 0.0, "equals", -number, origin, False, ask.unit))
    return tuple(found)


def is_same(one: Value, other: Value) -> bool:
    """True if two values are the same: numbers to nine digits, text without case and outer blanks."""
    if isinstance(one, bool) or isinstance(other, bool):
        return one is other
    if isinstance(one, str) and isinstance(other, str):
        return one.strip().casefold() == other.strip().casefold()
    if isinstance(one, str) or isinstance(other, str):
        return False
    return math.isclose(one, other, rel_tol=1e-9, abs_tol=1e-12)


def _at_pointer(pointer: str, resolved: Mapping[str, Any]) -> Resolved:
    found = value_at(pointer, resolved)
    origin = f"the configuration: {pointer}"
    if isinstance(found, bool | int | float | str):
        return Resolved(found, origin)
    if pointer.startswith("/limits/"):
        default = LIMITS.get(pointer.removeprefix("/limits/"))
        if default is not None and default.value is not None:
            return Resolved(default.value, default.source)
    if pointer.startswith(ABSENT_IS_ZERO):
        return Resolved(0.0, f"{origin} (an absent trim is 0)")
    return Resolved(None, origin, f"the configuration has nothing at {pointer}")


def _number(value: Value | None) -> float | None:
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
        return None
    return float(value)


def _unknown(kind: LimitKind, ask: Ask, observed: Value, bound: Resolved, reason: str) -> Judged:
    return Judged(ask.value, observed, bound.value, kind, None, bound.origin, None, ask.unit, reason)


def _one(kind: Literal["at_least", "at_most"], ask: Ask, observed: Value, bound: Resolved) -> Judged:
    limit, value = _number(bound.value), _number(observed)
    if limit is None:
        return _unknown(kind, ask, observed, bound, bound.reason or f"{bound.value!r} is no number")
    if value is None:
        return Judged(
            ask.value, observed, limit, kind, None, bound.origin, False, ask.unit, "the answer is no number"
        )
    margin = value - limit if kind == "at_least" else limit - value
    passed = margin >= 0 or math.isclose(value, limit, rel_tol=1e-9, abs_tol=1e-12)
    return Judged(ask.value, observed, limit, kind, margin, bound.origin, passed, ask.unit)


def _equal(ask: Ask, observed: Value, bound: Resolved) -> Judged:
    if bound.value is None:
        return _unknown("equals", ask, observed, bound, bound.reason)
    value, limit = _number(observed), _number(bound.value)
    margin = 0.0 - abs(value - limit) if value is not None and limit is not None else None
    passed = is_same(observed, bound.value)
    return Judged(ask.value, observed, bound.value, "equals", margin, bound.origin, passed, ask.unit)


def _within(
    ask: Ask,
    observed: Value,
    limit: Limit,
    resolved: Mapping[str, Any],
    computed: Mapping[str, float | None],
) -> Judged:
    assert limit.middle is not None
    middle = resolve(limit.middle, resolved, computed, limit.origin)
    half_of = limit.by or limit.share or Reference(value=0.0)
    half = resolve(half_of, resolved, computed, limit.origin)
    origin = middle.origin if half.origin == middle.origin else f"{middle.origin}; width: {half.origin}"
    known = Resolved(middle.value, origin)
    centre, width, value = _number(middle.value), _number(half.value), _number(observed)
    if centre is None or width is None:
        return _unknown(
            "within", ask, observed, known, middle.reason or half.reason or "the band is no number"
        )
    if value is None:
        return Judged(
            ask.value, observed, centre, "within", None, origin, False, ask.unit, "the answer is no number"
        )
    if limit.by is None:
        width *= abs(centre)
    distance = abs(value - centre)
    passed = distance <= width or math.isclose(distance, width, rel_tol=1e-9, abs_tol=1e-12)
    return Judged(ask.value, observed, centre, "within", width - distance, origin, passed, ask.unit)
