"""A sheet typed off paper, into a record: every line checked first, then all of them kept in one step.

Nothing is written while one line is wrong. What is on record already is not written again, so that a
sheet may be given a second time, or again once it has grown.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from rovlog.domain.dive import Entry, Record
from rovlog.problems import DocumentError, OutOfRangeError, Problem, UsageError
from rovlog.usecases.answer_item import answer_fields
from rovlog.usecases.answer_notes import answer_notes
from rovlog.usecases.complete_list import refusal_of_release
from rovlog.usecases.draft_record import Draft
from rovlog.usecases.find_item import refuse_held
from rovlog.usecases.item_marks import marked_words, rows_of_mark
from rovlog.usecases.logbook import Logbook
from rovlog.usecases.ports import CommitOutcome
from rovlog.usecases.recording import Row, Written, append_all, commit_record
from rovlog.usecases.sheet_lines import Known, known_lines
from rovlog.usecases.sheet_words import missing_of
from rovlog.usecases.times import instant
from rovlog.values import dataclass, replace

if TYPE_CHECKING:
    from rovlog.documents.sheet import Sheet
    from rovlog.domain.checks.checklist import Item
    from rovlog.domain.checks.limits import Judged
    from rovlog.domain.checks.plausible import Question
    from rovlog.usecases.dive_state import DiveState

MEMORY = "memory"
"""A time on paper was read off somebody's watch, not off this laptop: the record says so."""


@dataclass(frozen=True, slots=True)
class Kept:
    """One line as it is to be kept: its entries, how its values are judged, and what is said beside it.

    `rows` is empty where the line is on record already. `what` is answered, failed, deferred,
    not-applicable, released or called.
    """

    known: Known
    what: str
    rows: tuple[Row, ...] = ()
    judged: tuple[Judged, ...] = ()
    notes: tuple[str, ...] = ()
    questions: tuple[Question, ...] = ()


@dataclass(frozen=True, slots=True)
class CheckedSheet:
    """A sheet in which nothing is wrong, in the order of its times."""

    record: Record
    typed_by: str
    lines: tuple[Kept, ...]

    @property
    def new(self) -> tuple[Kept, ...]:
        """The lines that are not on record yet."""
        return tuple(k for k in self.lines if k.rows)


@dataclass(frozen=True, slots=True)
class Transcribed:
    """What was written; `commit` is None where the sheet reached no milestone."""

    checked: CheckedSheet
    written: tuple[Written, ...]
    commit: CommitOutcome | None


def check_sheet(
    logbook: Logbook, record: Record, data: bytes, *, by: str, file: str, day: str = ""
) -> CheckedSheet:
    """Check a whole sheet against the record, line by line as it would grow; nothing is written.

    `by` is who types; `file` the name problems are told with; `day` that of times without one.
    Raises DocumentError with every problem of the sheet's words, or else of its answers.
    """
    from rovlog.documents.sheet import read_sheet

    logbook.person(by)
    sheet = read_sheet(data, file, day)
    draft = Draft(logbook, record)
    lines, problems = known_lines(logbook, draft.begin, sheet)
    if problems:
        raise DocumentError(tuple(problems))
    kept: list[Kept] = []
    for known in lines:
        try:
            one = _kept(logbook, draft, sheet, known, by)
        except (UsageError, OutOfRangeError) as error:
            one = sheet.problem(known.line, known.line.code, "not-to-be-kept", error.message, "", error.mend)
        if isinstance(one, Problem):
            problems.append(one)
            if known.item is not None and known.item.kind == "release":
                # All that follows waits for this release, and would be told as many times.
                break
            continue
        draft.add(one.rows)
        kept.append(one)
    if problems:
        raise DocumentError(tuple(problems))
    return CheckedSheet(record, by, tuple(kept))


def keep_sheet(logbook: Logbook, checked: CheckedSheet, *, is_sure: bool = False) -> Transcribed:
    """Write all new lines in one durable step; a release or a completion call is committed as well.

    `is_sure`: the questions were asked and every value is right, which is recorded.
    """
    rows = [row for line in checked.new for row in _rows(line, is_sure)]
    if not rows:
        return Transcribed(checked, (), None)
    written = append_all(logbook, checked.record, rows)
    commit = None
    if any(row.kind in ("release", "completion") for row in rows):
        message = f"{checked.record.id}: {len(checked.new)} lines from paper"
        commit = commit_record(logbook, checked.record.id, message, checked.typed_by)
    return Transcribed(checked, written, commit)


def _rows(line: Kept, is_sure: bool) -> tuple[Row, ...]:
    if not (is_sure and line.questions):
        return line.rows
    first, *others = line.rows
    told = {"confirmed": True, "questions": [q.text for q in line.questions]}
    return (replace(first, fields={**first.fields, **told}), *others)


def _kept(logbook: Logbook, draft: Draft, sheet: Sheet, known: Known, typed_by: str) -> Kept | Problem:
    """One line against the record as it would be by then. Raises UsageError where it cannot be kept."""
    if known.group is not None:
        return _call(draft, known, typed_by)
    assert known.item is not None
    item = known.item
    if item.kind == "release":
        return _release(draft, known, item, typed_by)
    now = draft.state(known.at)
    if known.said.aside:
        return _aside(draft, now, known, item, typed_by)
    held = _on_record(draft, "check", known.by, known.at, item=item.item)
    if held is None:
        _refuse_held(now, item)
    return _answer(logbook, draft, sheet, now, known, item, held, typed_by)


def _answer(
    logbook: Logbook,
    draft: Draft,
    sheet: Sheet,
    now: DiveState,
    known: Known,
    item: Item,
    held: Entry | None,
    typed_by: str,
) -> Kept | Problem:
    said, waiting = known.said, now.items[item.item]
    is_second = said.is_second or (waiting.waits_for_second and waiting.by != known.by)
    if held is not None:
        is_second = bool(held.fields.get("witness"))
        waiting = replace(waiting, values=dict(held.fields.get("values") or {}))
    if is_second and item.witness == "none":
        raise UsageError(f"{item.challenge} asks for no second person", "take the word second out")
    if is_second and item.witness == "concurrent" and not said.values:
        said = replace(said, values=dict(waiting.values))
    wrong = missing_of(sheet, known.line, item, said)
    if wrong is not None and held is None:
        return wrong
    outcome = "fail" if said.is_failed else None
    fields, judged = answer_fields(
        now, item, by=known.by, values=said.values, outcome=outcome, source="paper", text=said.remark,
        is_second=is_second, is_as_written=True,
    )  # fmt: skip
    result = str(fields["outcome"])
    what = "failed" if result == "fail" else "answered"
    if held is not None:
        _refuse_other_values(draft.record, held, fields)
        return Kept(known, what)
    from rovlog.usecases.doubtful_entries import questions_about

    notes = answer_notes(logbook, now, item, known.by, fields.get("values") or {}, known.at)
    questions = questions_about(logbook, now, item, said.values, judged)
    rows = [_row("check", known.by, known.at, fields, typed_by)]
    if known.watched_by:
        second = {**fields, "witness": True, "role": _role(now, item, known.watched_by)}
        rows.append(_row("check", known.watched_by, known.at, second, typed_by))
    if result == "pass" and not is_second:
        marks = rows_of_mark(draft.record, item, known.by, known.at)
        rows += [_row(m.kind, m.by, known.at, m.fields, typed_by) for m in marks]
        notes += tuple(marked_words(item.marks) for _ in marks)
    return Kept(known, what, tuple(rows), judged, notes, questions)


def _aside(draft: Draft, now: DiveState, known: Known, item: Item, typed_by: str) -> Kept:
    said = known.said
    kind = "deferral" if said.aside == "deferred" else "not-applicable"
    if _on_record(draft, kind, known.by, known.at, item=item.item) is not None:
        return Kept(known, said.aside)
    if kind == "deferral":
        _refuse_held(now, item)
    elif item.stops == "always":
        raise UsageError(
            f"{item.challenge} always stops the dive; only the configuration can make it not apply",
            "type its answer, or leave the line out",
        )
    fields: dict[str, Any] = {"item": item.item, "reason": said.reason}
    if kind == "deferral":
        fields["until"] = "launch"
    return Kept(known, said.aside, (_row(kind, known.by, known.at, fields, typed_by),))


def _refuse_held(now: DiveState, item: Item) -> None:
    try:
        refuse_held(now, item)
    except UsageError as error:
        raise UsageError(error.message, "type what comes first as well, with its own time") from error


def _release(draft: Draft, known: Known, item: Item, typed_by: str) -> Kept:
    if _on_record(draft, "release", known.by, known.at, item=item.item) is not None:
        return Kept(known, "released")
    refusal = refusal_of_release(draft.whole_state(known.at), item, known.by)
    if refusal:
        raise UsageError(
            f"{item.challenge} cannot be released by {known.by} at {known.at[11:16]}: {refusal}",
            "type what is missing above it, or leave the line out",
        )
    fields = {"item": item.item, "point": item.item, "text": item.response}
    marks = rows_of_mark(draft.record, item, known.by, known.at)
    rows = [_row("release", known.by, known.at, fields, typed_by)]
    rows += [_row(m.kind, m.by, known.at, m.fields, typed_by) for m in marks]
    return Kept(known, "released", tuple(rows), notes=tuple(marked_words(item.marks) for _ in marks))


def _call(draft: Draft, known: Known, typed_by: str) -> Kept:
    from rovlog.domain.checks.groups import may_complete

    assert known.group is not None
    checklist, section = known.group
    names = {"checklist": checklist.checklist, "section": section.section}
    if _on_record(draft, "completion", known.by, known.at, **names) is not None:
        return Kept(known, "called")
    refusal = may_complete(section, draft.state(known.at).items)
    if refusal:
        raise UsageError(
            f"{section.title} cannot be called complete: {refusal}",
            "type what is missing, or leave the call out",
        )
    fields = {**names, "text": section.completion or f"{section.title} complete"}
    return Kept(known, "called", (_row("completion", known.by, known.at, fields, typed_by),))


def _row(kind: str, by: str, at: str, fields: Mapping[str, Any], typed_by: str) -> Row:
    return Row(kind, by, {**fields, "typed_by": typed_by}, at, MEMORY)


def _role(state: DiveState, item: Item, who: str) -> str | None:
    from rovlog.usecases.answer_notes import role_for

    return role_for(state, item, who)


def _on_record(draft: Draft, kind: str, by: str, at: str, **names: str) -> Entry | None:
    """The entry of the record itself that says this already: same thing, same person, same time."""
    when = instant(at)
    for entry in draft.begin.record.of_kind(kind):
        is_same = entry.by == by and instant(entry.at) == when
        if is_same and all(entry.fields.get(k) == v for k, v in names.items()):
            return entry
    return None


def _refuse_other_values(record: Record, held: Entry, fields: Mapping[str, Any]) -> None:
    """Raise UsageError where the record has the same answer with other values."""
    from rovlog.domain.checks.limits import is_same

    before, after = dict(held.fields.get("values") or {}), dict(fields.get("values") or {})
    is_alike = before.keys() == after.keys() and all(is_same(before[k], after[k]) for k in after)
    if is_alike:
        return
    said = ", ".join(f"{k} {v:g}" if isinstance(v, float) else f"{k} {v}" for k, v in before.items())
    raise UsageError(
        f"the record has this answer already, as {said or 'stated'} (entry {held.n})",
        f"correct that one: rovlog {record.kind} correct {record.id} {held.n} values.NAME=V --reason …",
    )
