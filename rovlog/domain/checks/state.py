"""The state of every item: open, answered, failed, deferred, not applicable, waived or expired, and why."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any, Literal

from rovlog.domain.checks.checklist import Item, Value
from rovlog.domain.checks.limits import Judged, is_same, judge, value_at
from rovlog.domain.checks.moments import Moment
from rovlog.domain.checks.seconds import TWO_DIFFER, agreement, values_of
from rovlog.domain.checks.validity import aged_out, end_of_day, expiry, instant
from rovlog.domain.checks.walk import Fold, Track, is_before_launch, running_s
from rovlog.domain.dive import Entry
from rovlog.values import dataclass, field, replace

State = Literal["open", "answered", "failed", "deferred", "not-applicable", "waived", "expired"]
STATES: tuple[State, ...] = (
    "open",
    "answered",
    "failed",
    "deferred",
    "not-applicable",
    "waived",
    "expired",
)
UNSETTLED: tuple[State, ...] = ("open", "failed", "expired")
"""States in which a group cannot be called complete."""

THIS_RECORD_ONLY = ("dive", "now")


@dataclass(frozen=True, slots=True)
class ItemState:
    """One item's state now.

    `by`, `at`, `values`, `source` and `entry` are those of the answer that counts, also where it
    failed or ran out; `carried_from` is the earlier dive or work it was given in, or None. `reason`
    says why the state is what it is; `void_reason` which age or event ended an answer. `second_*`
    are the second person's. `expires_at` is when the answer runs out by the clock, None where no
    clock ends it. `limits` are judged anew against what holds now. `waits_for_second` is True while
    only the first of two answers is there; a face then hides the values. `is_past_due`: deferred to
    a time that has passed. `is_alone`: a crew of one gave both answers.
    """

    item: str
    state: State
    by: str = ""
    at: str = ""
    values: Mapping[str, Value] = field(default_factory=dict)
    source: str = ""
    carried_from: str | None = None
    reason: str = ""
    second_by: str = ""
    second_at: str = ""
    second_values: Mapping[str, Value] = field(default_factory=dict)
    expires_at: datetime | None = None
    limits: tuple[Judged, ...] = ()
    void_reason: str = ""
    entry: str = ""
    until: str = ""
    waits_for_second: bool = False
    is_past_due: bool = False
    is_alone: bool = False

    @property
    def is_settled(self) -> bool:
        """True unless the item is open, failed or expired."""
        return self.state not in UNSETTLED

    @property
    def unjudged(self) -> tuple[Judged, ...]:
        """Limits that could not be judged."""
        return tuple(j for j in self.limits if j.passed is None)


def states_of(fold: Fold, computed: Mapping[str, float | None]) -> dict[str, ItemState]:
    """The state of every item after the walk. A computed quantity of None, or left out, is not known."""
    return {name: _state(fold, item, fold.tracks[name], computed) for name, item in fold.items.items()}


def applies(item: Item, fold: Fold) -> str:
    """Why an item does not apply to this vehicle as it is configured, or "" where it does."""
    condition = item.applies_when
    if condition is None:
        return ""
    if condition.symptom:
        is_open = any(f.symptom == condition.symptom for f in fold.faults)
        return "" if is_open else f"no fault {condition.symptom} is open"
    wanted = condition.value
    if wanted is not None and any(_is(v, wanted) for v in _all_at(condition.pointer, fold.resolved)):
        return ""
    said = str(wanted).lower() if isinstance(wanted, bool) else wanted
    return f"the configuration does not say {said} at {condition.pointer}"


def _all_at(pointer: str, resolved: Mapping[str, Any]) -> list[Any]:
    """What stands at a pointer in which * stands for any name."""
    before, star, after = pointer.partition("/*")
    if not star:
        return [value_at(pointer, resolved)]
    group = value_at(before, resolved) if before else resolved
    if not isinstance(group, Mapping):
        return []
    return [v for member in group.values() if isinstance(member, Mapping) for v in _all_at(after, member)]


def _is(found: Any, wanted: Value) -> bool:
    return isinstance(found, bool | int | float | str) and is_same(found, wanted)


def _state(fold: Fold, item: Item, track: Track, computed: Mapping[str, float | None]) -> ItemState:
    why_not = applies(item, fold)
    if why_not:
        return ItemState(item.item, "not-applicable", reason=why_not)
    excused = track.excused
    if excused is not None and excused.record == fold.record and item.stops != "always":
        return _set_aside(item, "not-applicable", excused)
    state = _answer(fold, item, track, computed)
    if state.is_settled:
        return state
    deferral = track.deferral
    if deferral is not None and deferral.record == fold.record and state.state != "failed":
        aside = _set_aside(item, "deferred", deferral)
        due = _until(aside.until, deferral)
        is_past = due is not None and fold.now is not None and fold.now > due
        state = replace(aside, void_reason=state.void_reason, is_past_due=is_past)
    waiver = next((w for w in reversed(track.waivers) if _in_force(fold, w)), None)
    if waiver is not None and item.stops != "always":
        return replace(_set_aside(item, "waived", waiver), void_reason=state.void_reason, limits=state.limits)
    if track.waivers and item.stops == "always" and not state.reason:
        return replace(state, reason="it always stops the dive: there is no waiver")
    return state


def _set_aside(item: Item, state: State, moment: Moment) -> ItemState:
    fields = moment.entry.fields
    return ItemState(
        item.item,
        state,
        moment.entry.by,
        moment.entry.at,
        reason=str(fields.get("reason", "")),
        entry=moment.entry.id,
        until=str(fields.get("until", "")),
    )


def _answer(fold: Fold, item: Item, track: Track, computed: Mapping[str, float | None]) -> ItemState:
    first = track.first
    if first is None:
        waits = track.second is not None and not track.void and track.second.record == fold.record
        reason = "the first person's answer is missing" if waits else ""
        return ItemState(item.item, "open", reason=reason, waits_for_second=False)
    if first.record != fold.record and set(item.valid_for) & set(THIS_RECORD_ONLY):
        return ItemState(item.item, "open")
    state = _as_answered(fold, item, track, first, computed)
    ended = track.void or track.setup_over or _age(fold, item, track, first)
    if ended:
        return replace(state, state="expired", reason="", void_reason=ended, waits_for_second=False)
    if track.again:
        return replace(state, state="open", reason=track.again)
    return state


def _as_answered(
    fold: Fold, item: Item, track: Track, first: Moment, computed: Mapping[str, float | None]
) -> ItemState:
    """The state the answer has while nothing has ended it."""
    entry, second, values = first.entry, track.second, values_of(first)
    limits = tuple(j for ask in item.asks for j in judge(ask, values.get(ask.value), fold.resolved, computed))
    together = agreement(item, first, second, track.is_alone, fold.policy)
    state = ItemState(
        item=item.item,
        state="answered",
        by=entry.by,
        at=entry.at,
        values=values,
        source=str(entry.fields.get("source", "")),
        carried_from=None if first.record == fold.record else first.record,
        second_by=second.entry.by if second else "",
        second_at=second.entry.at if second else "",
        second_values=values_of(second),
        expires_at=expiry(item.valid_for, first.at) if first.at is not None else None,
        limits=limits,
        entry=entry.id,
        is_alone=track.is_alone and second is not None and second.entry.by == entry.by,
    )
    broken = [j for j in limits if j.passed is False]
    if entry.fields.get("outcome") == "fail" and not broken:
        return replace(state, state="failed", reason=_failed_words(entry))
    if together.waits and item.witness == "blind" and not together.missing:
        # A state of failed would tell the second person what the first one saw.
        return replace(state, state="open", reason=together.waits, waits_for_second=True)
    if together.differs:
        return replace(state, state="failed", reason=f"{TWO_DIFFER}: {together.differs}")
    if broken:
        return replace(state, state="failed", reason=broken_words(broken))
    if together.missing:
        return replace(state, state="open", reason="not given: " + ", ".join(together.missing))
    if together.waits:
        return replace(state, state="open", reason=together.waits, waits_for_second=True)
    return state


def _failed_words(entry: Entry) -> str:
    """Why an answer that keeps its limits now is recorded as failed."""
    said = str(entry.fields.get("text") or entry.fields.get("response") or "")
    if said:
        return said
    rows = [r for r in entry.fields.get("limits") or () if isinstance(r, Mapping)]
    broken = [r for r in rows if _is_negative(r.get("margin"))]
    if not broken:
        return "answered as failed"
    value, limit = broken[0].get("observed"), broken[0].get("limit")
    name = str(broken[0].get("value", "")).replace("_", " ")
    kind = KIND_WORDS.get(str(broken[0].get("kind")), "within its limit")
    return f"{name} {_said(value)} was not {kind} {_said(limit)} when it was answered; answer it again"


def _is_negative(margin: Any) -> bool:
    return isinstance(margin, int | float) and margin < 0


def broken_words(broken: Sequence[Judged]) -> str:
    """In words, which limits do not hold."""
    return "; ".join(
        f"{j.value.replace('_', ' ')} {_said(j.observed)}{_unit(j)} is not"
        f" {KIND_WORDS[j.kind]} {_said(j.limit)}{_unit(j)}"
        for j in broken
    )


KIND_WORDS = {
    "at_least": "at least",
    "at_most": "at most",
    "equals": "equal to",
    "within": "in its band about",
}
"""How each kind of limit is said."""


def _said(value: Value | None) -> str:
    return f"{value:g}" if isinstance(value, float) else str(value)


def _unit(judged: Judged) -> str:
    return f" {judged.unit}" if judged.unit else ""


def _age(fold: Fold, item: Item, track: Track, first: Moment) -> str:
    """Why the answer is too old, or "". Once launched, a pre-dive answer has served its turn."""
    now = fold.now
    if now is None:
        return ""
    if first.at is None:
        return "its time cannot be read" if expiry(item.valid_for, now) is not None else ""
    launched = fold.launched
    if launched is not None and launched.at is not None and first.at <= launched.at <= now:
        now = launched.at if is_before_launch(fold, item) else now
    return aged_out(item.valid_for, first.at, now, running_s(fold, fold.now) - track.running_s)


def _in_force(fold: Fold, waiver: Moment) -> bool:
    """A waiver without a time in its `until` holds for the record it was given in."""
    until = _until(str(waiver.entry.fields.get("until", "")), waiver)
    if until is None:
        return waiver.record == fold.record
    return fold.now is None or fold.now <= until


def _until(text: str, given: Moment) -> datetime | None:
    """The end of an `until`: a time, or a date (to its end, in the offset it was given in)."""
    at = instant(text)
    if at is not None or given.at is None:
        return at
    try:
        day = datetime.fromisoformat(text)
    except ValueError:
        return None
    return end_of_day(day.replace(tzinfo=given.at.tzinfo))
