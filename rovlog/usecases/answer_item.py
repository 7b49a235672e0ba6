"""Answering the items of a checklist: with values, as failed, put off, not applicable, waived, released."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from rovlog.domain.dive import Record
from rovlog.problems import UsageError
from rovlog.usecases.approve import require_text
from rovlog.usecases.dive_state import DiveState, dive_state
from rovlog.usecases.dive_steps import SOURCES, require_word
from rovlog.usecases.logbook import Logbook
from rovlog.usecases.ports import CommitOutcome
from rovlog.usecases.recording import Written, append, commit_record
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


@dataclass(frozen=True, slots=True)
class Answered:
    """An answer that is on the disk, how it was judged, and the item's state with it."""

    written: Written
    item: Item
    outcome: str
    judged: tuple[Judged, ...]
    state: str
    notes: tuple[str, ...] = ()
    commit: CommitOutcome | None = None


@dataclass(frozen=True, slots=True)
class Called:
    """A completion call or a release that is on the disk, in the words to be spoken."""

    written: Written
    call: str
    commit: CommitOutcome


@dataclass(frozen=True, slots=True)
class Resumed:
    """The list goes on; `note` says what is asked again."""

    written: Written
    note: str


def answer_item(
    logbook: Logbook,
    record: Record,
    name: str,
    *,
    by: str,
    values: Mapping[str, Any] | None = None,
    outcome: str | None = None,
    source: str | None = None,
    text: str | None = None,
    response: str | None = None,
    is_second: bool = False,
    at: str | None = None,
    state: DiveState | None = None,
) -> Answered:
    """Record one answer. Values may be text as typed, or numbers.

    Computed values that the item proposes are filled in where none are given. The outcome is `fail`
    where it is said or where a limit does not hold; a value that cannot be judged is kept and named.
    Raises UsageError for an unknown item or value, and past a hold point that is not released.
    """
    logbook.person(by)
    now = state or dive_state(logbook, record)
    item = find_item(now, name)
    refuse_held(now, item)
    if item.kind == "release":
        done = release_point(logbook, record, name, by=by, text=text, at=at, state=now)
        return Answered(
            done.written, item, "pass", (), _state_of(logbook, record, item.item), (), done.commit
        )
    # Somebody else's answer while the first one waits for a second is that second answer.
    waiting = now.items.get(item.item)
    is_second = is_second or bool(waiting and waiting.waits_for_second and waiting.by != by)
    fields, judged = answer_fields(
        now,
        item,
        by=by,
        values=values,
        outcome=outcome,
        source=source,
        text=text,
        response=response,
        is_second=is_second,
    )
    notes = tuple(_notes(now, item, by))
    if item.ask("corrected_rise") is not None:
        _, word = corrected_rise(fields.get("values") or {})
        notes += (word,) if word else ()
    result = str(fields["outcome"])
    written = append(logbook, record, "check", by, fields, at=at)
    return Answered(written, item, result, judged, _state_of(logbook, record, item.item), notes)


def answer_fields(
    state: DiveState,
    item: Item,
    *,
    by: str,
    values: Mapping[str, Any] | None = None,
    outcome: str | None = None,
    source: str | None = None,
    text: str | None = None,
    response: str | None = None,
    is_second: bool = False,
) -> tuple[dict[str, Any], tuple[Judged, ...]]:
    """The fields of one answer as it is recorded, judged against this state, and the judgements.

    Raises UsageError for a value, outcome or source that does not exist, and for a missing value.
    """
    given = _values(item, dict(values or {}), state, is_failed=outcome == "fail")
    judged = _judged(item, given, state)
    if outcome not in (None, "pass", "fail"):
        raise UsageError(f"there is no outcome {outcome!r}", "say pass or fail")
    broken = any(j.passed is False for j in judged)
    chosen = source or _usual_source(item, given, values)
    require_word("source", chosen, SOURCES)
    fields = {
        "item": item.item,
        "checklist": item.checklist,
        "checklist_revision": _revision(state, item),
        "outcome": "fail" if outcome == "fail" or broken else "pass",
        "values": given or None,
        "source": chosen,
        "response": response,
        "witness": True if is_second else None,
        "role": _role_for(state, item, by),
        "limits": [_limit_row(j) for j in judged if j.limit is not None] or None,
        "configuration": state.digest or None,
        "readback": state.readback_entry,
        "text": text,
    }
    return fields, judged


def defer_item(
    logbook: Logbook,
    record: Record,
    name: str,
    *,
    by: str,
    reason: str,
    until: str | None = None,
    at: str | None = None,
) -> Written:
    """Put an item off, with who, why and by when; it comes back at the end and at the last look."""
    require_text("reason", reason)
    now = dive_state(logbook, record)
    item = find_item(now, name)
    refuse_held(now, item)
    fields = {"item": item.item, "reason": reason, "until": until or "launch"}
    return append(logbook, record, "deferral", by, fields, at=at)


def item_not_applicable(
    logbook: Logbook, record: Record, name: str, *, by: str, reason: str, at: str | None = None
) -> Written:
    """Say why an item does not apply today; what always stops applies unless the configuration says not."""
    require_text("reason", reason)
    now = dive_state(logbook, record)
    item = find_item(now, name)
    if item.stops == "always":
        raise UsageError(
            f"{item.challenge} always stops the dive; only the configuration can make it not apply",
            "answer it, or change the configuration under control",
        )
    return append(logbook, record, "not-applicable", by, {"item": item.item, "reason": reason}, at=at)


def waive_item(
    logbook: Logbook,
    record: Record,
    *,
    by: str,
    reason: str,
    until: str,
    item: str | None = None,
    pointer: str | None = None,
    stop: str | None = None,
    at: str | None = None,
) -> Written:
    """Give written leave: by the supervisor, with a reason and an end, never for what always stops."""
    from rovlog.domain.checks.walk import is_supervisor
    from rovlog.usecases.dive_steps import waive

    logbook.person(by)
    now = dive_state(logbook, record)
    if not is_supervisor(now.fold, by):
        raise UsageError(
            f"{logbook.person_name(by)} may not waive: that is for the supervisor",
            f"ask {now.crew.get('supervisor', 'whoever the logbook names in that role')}",
        )
    if item is not None:
        found = find_item(now, item)
        if found.stops == "always":
            raise UsageError(
                f"{found.challenge} always stops the dive: there is no waiver for it", "answer it"
            )
    return waive(
        logbook, record, by=by, reason=reason, until=until, item=item, pointer=pointer, stop=stop, at=at
    )


def complete_section(
    logbook: Logbook,
    record: Record,
    checklist: str,
    section: str,
    *,
    by: str,
    text: str | None = None,
    at: str | None = None,
) -> Called:
    """Make a group's completion call; refused while any of its items is open."""
    from rovlog.domain.checks.groups import may_complete

    now = dive_state(logbook, record)
    found = now.checklist(checklist)
    if found is None:
        require_word("checklist", checklist, [c.checklist for c in now.lists])
        raise UsageError(f"{checklist} is not for this record")
    words = section.casefold()
    hits = [
        s
        for s in found.sections
        if words in (s.section.casefold(), s.code.casefold()) or s.title.casefold().startswith(words)
    ]
    if len(hits) != 1:
        raise UsageError(
            f"{checklist} has {'no' if not hits else 'more than one'} group {section!r}",
            "groups are: " + ", ".join(f"{s.code} {s.title}".strip() for s in found.sections),
        )
    refusal = may_complete(hits[0], now.items)
    if refusal:
        raise UsageError(
            f"{hits[0].title} cannot be called complete: {refusal}", "answer, defer or waive them"
        )
    call = text or hits[0].completion or f"{hits[0].title} complete"
    fields = {"checklist": checklist, "section": hits[0].section, "text": call}
    written = append(logbook, record, "completion", by, fields, at=at)
    message = f"{record.id}: {hits[0].title} complete"
    return Called(written, call, commit_record(logbook, record.id, message, by, at))


def release_point(
    logbook: Logbook,
    record: Record,
    point: str,
    *,
    by: str,
    text: str | None = None,
    at: str | None = None,
    state: DiveState | None = None,
) -> Called:
    """Release a hold point in a named person's name; refused with the reason while it may not be."""
    from rovlog.domain.checks.groups import may_release

    logbook.person(by)
    now = state or dive_state(logbook, record)
    item = find_item(now, point)
    if item.kind != "release":
        raise UsageError(
            f"{point} is no hold point",
            "hold points are: "
            + ", ".join(i.item for c in now.lists for i in c.items() if i.kind == "release"),
        )
    refusal = may_release(item.item, by, now.lists, now.items, now.fold)
    if refusal:
        raise UsageError(f"{item.challenge} cannot be released: {refusal}", "settle that first")
    call = text or item.response
    fields = {"item": item.item, "point": item.item, "text": call}
    written = append(logbook, record, "release", by, fields, at=at)
    who = logbook.person_name(by)
    return Called(
        written, call, commit_record(logbook, record.id, f"{record.id}: {item.challenge}, by {who}", by, at)
    )


def resume_list(
    logbook: Logbook, record: Record, *, by: str, item: str | None = None, at: str | None = None
) -> Resumed:
    """Go on after a pause. The last item is asked again; past the gap its whole group is."""
    before = dive_state(logbook, record)
    if before.pause is None:
        raise UsageError(f"{record.id} is not paused", "go on with the list")
    written = append(logbook, record, "resume", by, {"item": item}, at=at)
    after = dive_state(logbook, logbook.record(record.id))
    again = [
        i
        for i, s in after.items.items()
        if s.state in ("open", "expired") and before.items[i].state == "answered"
    ]
    if not again:
        return Resumed(written, "nothing has to be asked again")
    first = after.item(again[0])
    what = first.challenge if first else again[0]
    if len(again) == 1:
        return Resumed(written, f"asked again: {what}")
    return Resumed(written, f"the pause was long: {len(again)} items are asked again, beginning with {what}")


def find_item(state: DiveState, name: str) -> Item:
    """The item by id or by its code ("B2"); UsageError with the nearest ids otherwise."""
    item = state.item(name)
    if item is None:
        item = next(
            (i for i in state.fold.items.values() if i.code and i.code.casefold() == name.casefold()), None
        )
    if item is None:
        require_word("item", name, list(state.items))
        raise UsageError(f"there is no item {name!r}")
    return item


def refuse_held(state: DiveState, item: Item) -> None:
    """Raise UsageError where the item lies past a hold point that is not released."""
    from rovlog.domain.checks.groups import may_answer

    reason = may_answer(item.item, state.lists, state.items) if item.item in state.items else None
    if reason:
        raise UsageError(
            f"{item.challenge} cannot be answered yet: {reason}", "rovlog dive release DIVE POINT --by …"
        )


def _values(item: Item, given: dict[str, Any], state: DiveState, *, is_failed: bool) -> dict[str, Any]:
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
        elif ask.proposed is not None:
            proposed = resolve(ask.proposed, state.resolved, state.computed)
            if proposed.value is not None:
                found[ask.value] = _as_read_out(proposed.value)
    if item.ask("corrected_rise") is not None and "corrected_rise" not in given:
        rise, _ = corrected_rise(found)
        if rise is not None:
            found["corrected_rise"] = rise
    missing = [a.value for a in item.asks if a.value not in found and not a.is_optional]
    if missing and not is_failed:
        asked = ", ".join(f"--value {m}={_example(item, m)}" for m in missing)
        words = ", ".join(_ask_words(item, m) for m in missing)
        first = "read the box first: rovlog dive readback DIVE …; or " if item.kind == "readback" else ""
        raise UsageError(f"{item.challenge}: not given: {words}", f"{first}give {asked}, or --outcome fail")
    return found


def _as_read_out(value: Any) -> Any:
    """A proposed value to four figures: what a person reads out and accepts."""
    return float(f"{value:.4g}") if isinstance(value, float) and not value.is_integer() else value


def _example(item: Item, name: str) -> str:
    ask = item.ask(name)
    return " or ".join(ask.options) if ask is not None and ask.options else "…"


def _ask_words(item: Item, name: str) -> str:
    ask = item.ask(name)
    if ask is None:
        return name
    return f"{ask.words} in {ask.unit}" if ask.unit else ask.words


def _judged(item: Item, given: Mapping[str, Any], state: DiveState) -> tuple[Judged, ...]:
    from rovlog.domain.checks.limits import judge

    return tuple(
        j
        for ask in item.asks
        if ask.value in given
        for j in judge(ask, given[ask.value], state.resolved, state.computed)
    )


def _usual_source(item: Item, given: Mapping[str, Any], typed: Mapping[str, Any] | None) -> str:
    usual = USUAL_SOURCE[item.kind]
    is_proposed = bool(given) and not typed and usual in ("measured", "seen")
    return "computed" if is_proposed else usual


def _notes(state: DiveState, item: Item, by: str) -> list[str]:
    notes = []
    role = _role_for(state, item, by)
    if item.by and "all" not in item.by and role is not None and role not in item.by:
        notes.append(f"this item is for the {' or '.join(item.by)}; {by} is {role} today")
    return notes


def _role_for(state: DiveState, item: Item, by: str) -> str | None:
    """The role a person answers this item in: of several that one has today, the one the item asks for."""
    roles = [role for role, who in state.crew.items() if who == by]
    return next((r for r in roles if r in item.by), roles[0] if roles else None)


def _revision(state: DiveState, item: Item) -> int | None:
    checklist = next((c for c in state.fold.lists if c.checklist == item.checklist), None)
    return checklist.revision if checklist else None


def _limit_row(judged: Judged) -> dict[str, Any]:
    row = {
        "value": judged.value,
        "observed": judged.observed,
        "limit": judged.limit,
        "kind": judged.kind,
        "margin": judged.margin,
        "origin": judged.origin,
    }
    return {k: v for k, v in row.items() if v is not None}


def _state_of(logbook: Logbook, record: Record, name: str) -> str:
    fresh = dive_state(logbook, logbook.record(record.id))
    found = fresh.items.get(name)
    return found.state if found else "answered"
