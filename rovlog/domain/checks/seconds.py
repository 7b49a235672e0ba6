"""The second person's answer: who may give it, and whether the two agree."""

from __future__ import annotations

from collections.abc import Mapping

from rovlog.domain.checks.checklist import Item, Value
from rovlog.domain.checks.happenings import Policy
from rovlog.domain.checks.limits import is_same
from rovlog.domain.checks.moments import Moment
from rovlog.values import dataclass

TWO_DIFFER = "the two answers differ"
"""How the reason begins why an item has failed on which two people disagree."""


@dataclass(frozen=True, slots=True)
class Agreement:
    """`passed` if the item's answer is whole and passes; `waits` for the second person; `differs`
    tells a disagreement in words, with both answers; `missing` names values that were not given."""

    passed: bool
    waits: str = ""
    differs: str = ""
    missing: tuple[str, ...] = ()


def agreement(item: Item, first: Moment, second: Moment | None, is_alone: bool, policy: Policy) -> Agreement:
    """How the answers of one round stand together, limits left aside."""
    missing = tuple(a.words for a in item.asks if not a.is_optional and a.value not in values_of(first))
    failed = first.entry.fields.get("outcome") == "fail"
    if item.witness == "none":
        return Agreement(not missing and not failed, missing=missing)
    if second is None:
        return Agreement(False, waits="the second person's answer is missing", missing=missing)
    if second.entry.by == first.entry.by and not is_alone:
        return Agreement(
            False, waits=f"{first.entry.by} gave both answers; a second person answers", missing=missing
        )
    differs = _difference(item, first, second, policy)
    return Agreement(not (missing or failed or differs), differs=differs, missing=missing)


def values_of(moment: Moment | None) -> Mapping[str, Value]:
    """The values an entry gives, by their name."""
    values = moment.entry.fields.get("values") if moment is not None else None
    return values if isinstance(values, Mapping) else {}


def _difference(item: Item, first: Moment, second: Moment, policy: Policy) -> str:
    one, other = first.entry, second.entry
    if item.witness == "blind":
        told = _values_apart(item, first, second, policy)
        if told:
            return told
    outcomes = [str(e.fields.get("outcome", "pass")) for e in (one, other)]
    if outcomes[0] != outcomes[1]:
        return f"{one.by} says {outcomes[0]}, {other.by} says {outcomes[1]}"
    return ""


def _values_apart(item: Item, first: Moment, second: Moment, policy: Policy) -> str:
    """The first value on which the two differ, or that the second one does not give."""
    one, other = first.entry, second.entry
    mine, theirs = values_of(first), values_of(second)
    is_said = "fail" in (one.fields.get("outcome"), other.fields.get("outcome"))
    for ask in item.asks:
        if ask.is_optional:
            continue
        left, right = mine.get(ask.value), theirs.get(ask.value)
        if right is None:
            # Somebody who says that it failed need not give the value.
            if is_said:
                continue
            return f"{other.by} gives no {ask.words}"
        if left is not None and not _is_near(left, right, policy.agreement_share):
            unit = f" {ask.unit}" if ask.unit else ""
            return f"{ask.words}: {one.by} says {_said(left)}{unit}, {other.by} says {_said(right)}{unit}"
    return ""


def _is_near(one: Value, other: Value, share: float) -> bool:
    if isinstance(one, str | bool) or isinstance(other, str | bool):
        return is_same(one, other)
    return abs(one - other) <= share * max(abs(one), abs(other)) + 1e-12


def _said(value: Value) -> str:
    return f"{value:g}" if isinstance(value, float) else str(value)
