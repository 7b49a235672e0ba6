"""Answering the items of a checklist: with values, as failed, put off, not applicable, waived, released."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from rovlog.domain.dive import Record
from rovlog.problems import RovlogError, UsageError
from rovlog.usecases.answer_notes import answer_notes, role_for
from rovlog.usecases.answered_values import answer_values, judged_values, limit_row, usual_source
from rovlog.usecases.approve import require_text
from rovlog.usecases.dive_state import DiveState, dive_state
from rovlog.usecases.dive_steps import SOURCES, require_word
from rovlog.usecases.logbook import Logbook
from rovlog.usecases.ports import CommitOutcome
from rovlog.usecases.recording import Written, append, commit_record

if TYPE_CHECKING:
    from rovlog.domain.checks.checklist import Item
    from rovlog.domain.checks.limits import Judged
    from rovlog.domain.checks.plausible import Question


@dataclass(frozen=True, slots=True)
class Answered:
    """An answer, how it was judged, and the item's state with it.

    `kept` is the entry on the disk. It is None, and `questions` says what is asked, where the answer
    looks like a slip and nobody has said yet that it is right: then nothing is written.
    """

    kept: Written | None
    item: Item
    outcome: str
    judged: tuple[Judged, ...]
    state: str
    notes: tuple[str, ...] = ()
    commit: CommitOutcome | None = None
    questions: tuple[Question, ...] = ()

    @property
    def written(self) -> Written:
        """The entry on the disk; raises RovlogError while a question is open."""
        if self.kept is None:
            raise RovlogError(
                "nothing is kept yet: " + "; ".join(q.text for q in self.questions),
                "say that it is right, or give another value",
            )
        return self.kept


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
    is_sure: bool | None = None,
    at: str | None = None,
    state: DiveState | None = None,
) -> Answered:
    """Record one answer. Values may be text as typed, or numbers.

    With `is_sure` False a value that looks like a slip is not written: the answer comes back with its
    questions. True says that they were asked and the value is right, which is recorded. None asks
    nothing (nobody is there to be asked).

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
    notes = answer_notes(logbook, now, item, by, fields.get("values") or {}, at)
    result = str(fields["outcome"])
    if is_sure is not None:
        from rovlog.usecases.doubtful_entries import questions_about

        typed = {k: v for k, v in (fields.get("values") or {}).items() if k in (values or {})}
        questions = questions_about(logbook, now, item, typed, judged)
        if questions and not is_sure:
            shown = waiting.state if waiting else "open"
            return Answered(None, item, result, judged, shown, notes, questions=questions)
        if questions:
            fields |= {"confirmed": True, "questions": [q.text for q in questions]}
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
    given = answer_values(item, dict(values or {}), state, is_failed=outcome == "fail")
    judged = judged_values(item, given, state)
    if outcome not in (None, "pass", "fail"):
        raise UsageError(f"there is no outcome {outcome!r}", "say pass or fail")
    broken = any(j.passed is False for j in judged)
    chosen = source or usual_source(item, given, values)
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
        "role": role_for(state, item, by),
        "limits": [limit_row(j) for j in judged if j.limit is not None] or None,
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
    from rovlog.usecases.waivable import refuse_pointer, refuse_stop

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
    if stop is not None:
        refuse_stop(now, stop)
    if pointer is not None:
        refuse_pointer(now, pointer)
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
    refusal = may_release(item.item, by, now.lists, now.items, now.fold) or _still_stopped(now, item)
    if refusal:
        raise UsageError(f"{item.challenge} cannot be released: {refusal}", "settle that first")
    call = text or item.response
    fields = {"item": item.item, "point": item.item, "text": call}
    written = append(logbook, record, "release", by, fields, at=at)
    who = logbook.person_name(by)
    return Called(
        written, call, commit_record(logbook, record.id, f"{record.id}: {item.challenge}, by {who}", by, at)
    )


def pause_list(
    logbook: Logbook, record: Record, *, by: str, reason: str, item: str | None = None, at: str | None = None
) -> Written:
    """Stop the list where it stands, with the reason; UsageError for an item that is not in it."""
    require_text("reason", reason)
    if item is not None:
        item = find_item(dive_state(logbook, record), item).item
    return append(logbook, record, "pause", by, {"item": item, "reason": reason}, at=at)


def resume_list(
    logbook: Logbook, record: Record, *, by: str, item: str | None = None, at: str | None = None
) -> Resumed:
    """Go on after a pause. The last item is asked again; past the gap its whole group is."""
    before = dive_state(logbook, record)
    if before.pause is None:
        raise UsageError(f"{record.id} is not paused", "go on with the list")
    if item is not None:
        item = find_item(before, item).item
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
        mend = "rovlog dive release DIVE POINT --by …" if "waits for release" in reason else "do that first"
        raise UsageError(f"{item.challenge} cannot be answered yet: {reason}", mend)


def _revision(state: DiveState, item: Item) -> int | None:
    checklist = next((c for c in state.fold.lists if c.checklist == item.checklist), None)
    return checklist.revision if checklist else None


def _state_of(logbook: Logbook, record: Record, name: str) -> str:
    fresh = dive_state(logbook, logbook.record(record.id))
    found = fresh.items.get(name)
    return found.state if found else "answered"


def _still_stopped(state: DiveState, item: Item) -> str | None:
    """Why a dive's last word before launch or before leaving cannot be given: what still stops it."""
    from rovlog.domain.checks.groups import ends_list

    if state.record.kind != "dive" or not ends_list(item.item, state.lists):
        return None
    left = [s for s in state.stops if s.id != item.item]
    if not left:
        return None
    more = f" (and {len(left) - 1} more)" if len(left) > 1 else ""
    return f"{left[0].reason}{more}; clear it, or have it waived in writing"
