"""Answering the items of a checklist: passed or failed, with values, judged against their limits."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from rovlog.domain.dive import Record
from rovlog.problems import RovlogError, UsageError
from rovlog.usecases.answer_notes import answer_notes, role_for
from rovlog.usecases.answered_values import answer_values, judged_values, limit_row, usual_source
from rovlog.usecases.complete_list import release_point
from rovlog.usecases.dive_state import DiveState, dive_state
from rovlog.usecases.dive_steps import SOURCES
from rovlog.usecases.find_item import find_item, refuse_held
from rovlog.usecases.item_marks import marked_words, rows_of_mark
from rovlog.usecases.logbook import Logbook
from rovlog.usecases.one_line import require_word
from rovlog.usecases.pause_list import asked_again
from rovlog.usecases.ports import CommitOutcome
from rovlog.usecases.recording import Row, Written, append_all
from rovlog.values import dataclass

if TYPE_CHECKING:
    from rovlog.domain.checks.checklist import Item
    from rovlog.domain.checks.limits import Judged
    from rovlog.domain.checks.plausible import Question


@dataclass(frozen=True, slots=True)
class Answered:
    """An answer, how it was judged, and the item's state with it.

    `kept` is the entry on the disk. It is None, and `questions` says what is asked, where the answer
    looks like a slip and nobody has said yet that it is right: then nothing is written. `after` is the
    whole record with the answer in it, where one is written.
    """

    kept: Written | None
    item: Item
    outcome: str
    judged: tuple[Judged, ...]
    state: str
    notes: tuple[str, ...] = ()
    commit: CommitOutcome | None = None
    questions: tuple[Question, ...] = ()
    after: DiveState | None = None

    @property
    def differs(self) -> str:
        """That the answers of the two people differ, with what each said; "" where they do not."""
        from rovlog.domain.checks.seconds import TWO_DIFFER

        state = self.after.items.get(self.item.item) if self.after is not None else None
        is_apart = state is not None and state.state == "failed" and state.reason.startswith(TWO_DIFFER)
        return state.reason if state is not None and is_apart else ""

    @property
    def written(self) -> Written:
        """The entry on the disk; raises RovlogError while a question is open."""
        if self.kept is None:
            raise RovlogError(
                "nothing is kept yet: " + "; ".join(q.text for q in self.questions),
                "say that it is right, or give another value",
            )
        return self.kept


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
    A passed answer of an item that states a moment of the dive marks it in the same step.
    Raises UsageError for an unknown item or value, and past a hold point that is not released.
    """
    logbook.person(by)
    now = state or dive_state(logbook, record)
    item = find_item(now, name)
    refuse_held(now, item)
    if item.kind == "release":
        done = release_point(logbook, record, name, by=by, text=text, at=at, state=now)
        after = dive_state(logbook, logbook.record(record.id))
        is_now = _word_of(after, item)
        return Answered(done.written, item, "pass", (), is_now, done.notes, done.commit, after=after)
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
    questions = () if is_sure is None else _doubts(logbook, now, item, fields, values or {}, judged)
    if questions and not is_sure:
        shown = waiting.state if waiting else "open"
        return Answered(None, item, result, judged, shown, notes, questions=questions)
    if questions:
        fields |= {"confirmed": True, "questions": [q.text for q in questions]}
    written, marked = _written(logbook, record, item, Row("check", by, fields, at))
    after = dive_state(logbook, logbook.record(record.id))
    if now.pause is not None:
        notes = (*notes, _resumed(now, after, item))
    is_now = _word_of(after, item)
    return Answered(written, item, result, judged, is_now, (*notes, *marked), after=after)


def _written(logbook: Logbook, record: Record, item: Item, row: Row) -> tuple[Written, tuple[str, ...]]:
    """The answer on the disk, with the moment it states in the same step; what is said of that."""
    states_moment = row.fields["outcome"] == "pass" and not row.fields["witness"]
    marked = rows_of_mark(record, item, row.by, row.at) if states_moment else []
    written, *_ = append_all(logbook, record, [row, *marked])
    return written, tuple(marked_words(item.marks) for _ in marked)


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
    is_as_written: bool = False,
) -> tuple[dict[str, Any], tuple[Judged, ...]]:
    """The fields of one answer as it is recorded, judged against this state, and the judgements.

    With `is_as_written` nothing that the program proposes is filled in.
    Raises UsageError for a value, outcome or source that does not exist, and for a missing value.
    """
    is_blind = is_as_written or (is_second and item.witness == "blind")
    given = answer_values(item, dict(values or {}), state, is_failed=outcome == "fail", is_blind=is_blind)
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


def _doubts(
    logbook: Logbook,
    state: DiveState,
    item: Item,
    fields: Mapping[str, Any],
    values: Mapping[str, Any],
    judged: tuple[Judged, ...],
) -> tuple[Question, ...]:
    """What is asked about the values that a person gave; what the item proposed itself is not asked about."""
    from rovlog.usecases.doubtful_entries import questions_about

    typed = {k: v for k, v in (fields.get("values") or {}).items() if k in values}
    return questions_about(logbook, state, item, typed, judged)


def _revision(state: DiveState, item: Item) -> int | None:
    checklist = next((c for c in state.fold.lists if c.checklist == item.checklist), None)
    return checklist.revision if checklist else None


def _resumed(before: DiveState, after: DiveState, item: Item) -> str:
    """That an answer ended a pause, and how much is asked again because of it, the answered item aside."""
    again = [i for i in asked_again(before, after) if i != item.item]
    what = f"; {len(again)} item{'s are' if len(again) > 1 else ' is'} asked again" if again else ""
    return f"the pause is over: this answer resumed the list{what}"


def _word_of(after: DiveState, item: Item) -> str:
    found = after.items.get(item.item)
    return found.state if found else "answered"
