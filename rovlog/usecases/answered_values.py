"""What a person typed as an item's answer, as values: parsed, filled in from what is proposed, judged."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from rovlog.problems import UsageError
from rovlog.usecases.dive_state import DiveState
from rovlog.usecases.one_line import require_word
from rovlog.usecases.vacuum_answer import corrected_rise

if TYPE_CHECKING:
    from rovlog.domain.checks.checklist import Item
    from rovlog.domain.checks.limits import Judged

USUAL_SOURCE = {
    "confirm": "seen",
    "choose": "seen",
    "measure": "measured",
    "computed": "computed",
    "readback": "box-read",
    "function-test": "seen",
    "release": "seen",
}
"""Where an answer comes from, by the item's kind, unless it is said."""


def answer_values(
    item: Item, given: dict[str, Any], state: DiveState, *, is_failed: bool, is_blind: bool = False
) -> dict[str, Any]:
    """The values of an answer, with what the program proposes where none are given.

    With `is_blind` nothing is filled in: a second person who accepted the same proposal would not have
    looked. Raises UsageError for a value that is not asked for, unreadable or missing.
    """
    from rovlog.domain.checks.answer import parse_answer
    from rovlog.domain.checks.limits import resolve

    known = [a.value for a in item.asks]
    for name in given:
        if name not in known:
            if not known:
                raise UsageError(
                    f"{item.item} asks for no value", "leave --value out; it is confirmed as stated"
                )
            require_word(f"value of {item.item}", name, known)
    found: dict[str, Any] = {}
    for ask in item.asks:
        if ask.value in given:
            value = given[ask.value]
            found[ask.value] = parse_answer(ask, value) if isinstance(value, str) else value
        elif ask.proposed is not None and not is_blind:
            proposed = resolve(ask.proposed, state.resolved, state.computed)
            if proposed.value is not None:
                found[ask.value] = _as_read_out(proposed.value, ask.unit)
    if item.ask("corrected_rise") is not None and "corrected_rise" not in given:
        rise, _ = corrected_rise(found)
        if rise is not None:
            found["corrected_rise"] = rise
    missing = [a.value for a in item.asks if a.value not in found and not a.is_optional]
    if missing and not is_failed:
        asked = ", ".join(f"--value {m}={_example(item, m)}" for m in missing)
        words = ", ".join(_ask_words(item, m) for m in missing)
        is_read = item.kind == "readback" and not is_blind
        first = "read the box first: rovlog dive readback DIVE …; or " if is_read else ""
        raise UsageError(f"{item.challenge}: not given: {words}", f"{first}give {asked}, or --outcome fail")
    # A hold is told apart from that of another housing by its values alone, wherever they are read.
    return {"housing": item.housing, **found} if item.housing and found else found


def _as_read_out(value: Any, unit: str) -> Any:
    """A proposed value to four figures: what a person reads out and accepts. A count is a whole number."""
    if isinstance(value, float) and value.is_integer() and not unit:
        return int(value)
    return float(f"{value:.4g}") if isinstance(value, float) and not value.is_integer() else value


def _example(item: Item, name: str) -> str:
    ask = item.ask(name)
    return " or ".join(ask.options) if ask is not None and ask.options else "…"


def _ask_words(item: Item, name: str) -> str:
    ask = item.ask(name)
    if ask is None:
        return name
    return f"{ask.words} in {ask.unit}" if ask.unit else ask.words


def judged_values(item: Item, given: Mapping[str, Any], state: DiveState) -> tuple[Judged, ...]:
    """Every limit of the item against these values, as things stand."""
    from rovlog.domain.checks.limits import judge, judge_none

    judged = tuple(
        j
        for ask in item.asks
        if ask.value in given
        for j in judge(ask, given[ask.value], state.resolved, state.computed)
    )
    return judged + judge_none(item, given, state.resolved, state.computed)


def usual_source(item: Item, given: Mapping[str, Any], typed: Mapping[str, Any] | None) -> str:
    """Where an answer comes from unless it is said: what the program alone filled in is computed, or
    read from the box where a readback gave all of it."""
    usual = USUAL_SOURCE[item.kind]
    if not given or typed or usual not in ("measured", "seen"):
        return usual
    from rovlog.domain.checks.computed import READ_OFF_BOX

    proposed = [a.proposed.computed for a in item.asks if a.value in given and a.proposed is not None]
    return "box-read" if READ_OFF_BOX.issuperset(proposed) and proposed else "computed"


def limit_row(judged: Judged) -> dict[str, Any]:
    """A judgement as it is recorded with the answer."""
    row = {
        "value": judged.value,
        "observed": judged.observed,
        "limit": judged.limit,
        "kind": judged.kind,
        "margin": judged.margin,
        "origin": judged.origin,
    }
    return {k: v for k, v in row.items() if v is not None}
