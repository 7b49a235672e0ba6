"""`rovlog dive transcribe`: answers written on paper, typed into the record as one sheet or item by item."""

from __future__ import annotations

import sys
from argparse import ArgumentParser, Namespace
from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING

from rovlog.faces.cli.context import Context, Status
from rovlog.faces.cli.record_frame import Row, tell_commit
from rovlog.problems import DocumentError, UsageError
from rovlog.values import dataclass

if TYPE_CHECKING:
    from rovlog.domain.checks.checklist import Item
    from rovlog.domain.dive import Entry, Record
    from rovlog.usecases.dive_state import DiveState
    from rovlog.usecases.logbook import Logbook
    from rovlog.usecases.transcribe_sheet import CheckedSheet

LONGEST_LINE = 2000


def _add_transcribe(p: ArgumentParser) -> None:
    p.add_argument("--file", metavar="FILE", help="the sheet as typed; - for standard input")
    p.add_argument("--day", metavar="DAY", help="the day of its times, if not the one it was started on")
    p.add_argument("--list", metavar="CHECKLIST", help="without a file: the only list that is asked for")
    p.add_argument("--sure", action="store_true", help="keep values that look like slips without asking")


def _transcribe(args: Namespace, context: Context, logbook: Logbook, record: Record) -> int:
    day = _day(args.day)
    if args.file is None:
        if not context.can_ask() or context.json:
            raise UsageError(
                "no sheet is named, and nobody sits at a terminal to be asked",
                "give the sheet with --file SHEET, or --file - for standard input",
            )
        return _item_by_item(args, context, logbook, record, day)
    from rovlog.usecases.transcribe_sheet import check_sheet
    from rovlog.wiring import read_given, read_piped

    is_piped = args.file == "-"
    data = read_piped() if is_piped else read_given(args.file)
    file = "standard input" if is_piped else args.file
    checked = check_sheet(logbook, record, data, by=args.by, file=file, day=day)
    return _keep(args, context, logbook, checked)


def _day(text: str | None) -> str:
    from datetime import date

    if text is None:
        return ""
    try:
        return date.fromisoformat(text).isoformat()
    except ValueError:
        raise UsageError(f"{text!r} is no day", "write a day as 2026-09-12") from None


def _keep(args: Namespace, context: Context, logbook: Logbook, checked: CheckedSheet) -> int:
    """Ask about slips where somebody can be asked, write, and say what was written."""
    from rovlog.faces.reports.paper_text import transcribed_data, transcribed_text
    from rovlog.faces.reports.watch_text import questions_text
    from rovlog.usecases.dive_state import dive_state
    from rovlog.usecases.transcribe_sheet import keep_sheet

    questions = [q for line in checked.new for q in line.questions]
    is_sure = args.sure
    if questions and not is_sure and context.can_ask() and not context.json:
        if not context.asks(questions_text(questions) + "Keep them as they are?"):
            context.show({}, "Nothing is written.\n")
            return Status.FINDING
        is_sure = True
    elif questions and not is_sure:
        context.note(questions_text(questions) + "Kept as typed; --sure says that they were looked at.")
    done = keep_sheet(logbook, checked, is_sure=is_sure)
    state = dive_state(logbook, logbook.record(checked.record.id))
    context.show(transcribed_data(checked, state), transcribed_text(checked, state))
    for line in checked.new:
        for note in line.notes:
            context.note(f"line {line.known.line.code.line}: {note}")
    if done.commit is not None:
        tell_commit(context, done.commit)
    return Status.FINDING if any(line.what == "failed" for line in checked.new) else Status.FINE


def _item_by_item(args: Namespace, context: Context, logbook: Logbook, record: Record, day: str) -> int:
    """Ask for the line of every open item in turn; each is on the disk before the next is asked for."""
    from rovlog.faces.reports.paper_text import HOW_TO_TYPE
    from rovlog.usecases.dive_state import dive_state
    from rovlog.usecases.one_line import require_word

    state = dive_state(logbook, record)
    if args.list is not None:
        require_word("checklist", args.list, [c.checklist for c in state.lists])
    context.note(HOW_TO_TYPE)
    status = int(Status.FINE)
    for question in _questions(args.list, logbook, state):
        context.note(question.text)
        for typed in _lines(context, question.code):
            line = f"{question.code} {typed} {question.more}".strip() if typed else ""
            found = _one(args, context, logbook, record, line, day)
            if found is not None:
                status = max(status, found)
                break
        else:
            context.note("\nended; what was kept stays")
            break
    return status


@dataclass(frozen=True, slots=True)
class Question:
    """One line that is asked for: its code, the words before it, and what is added to what is typed."""

    code: str
    text: str
    more: str = ""


def _questions(only: str | None, logbook: Logbook, state: DiveState) -> Iterator[Question]:
    """Each item, second answer and completion call that is open when its turn comes."""
    from rovlog.domain.checks.groups import may_complete
    from rovlog.faces.reports.paper_text import call_prompt, item_prompt
    from rovlog.usecases.dive_state import dive_state

    people = list(logbook.settings().people)
    for checklist in [c for c in state.lists if only in (None, c.checklist)]:
        for section in checklist.sections:
            for item in section.items:
                code = _typed_code(state, item.code, item.item)
                if _is_asked(state, item):
                    yield Question(code, item_prompt(item, code, people))
                    state = dive_state(logbook, logbook.record(state.record.id))
                first = _first_alone(state, item)
                if first:
                    yield Question(code, item_prompt(item, code, people, first), "second")
                    state = dive_state(logbook, logbook.record(state.record.id))
            is_called = any(
                g.is_complete
                for g in state.groups
                if (g.checklist, g.section) == (checklist.checklist, section.section)
            )
            if section.completion and not is_called and may_complete(section, state.items) is None:
                code = _typed_code(state, section.code, section.section)
                yield Question(code, call_prompt(section, code))
                state = dive_state(logbook, logbook.record(state.record.id))


def _is_asked(state: DiveState, item: Item) -> bool:
    """True for an item that is open, or failed; what was typed and has run out since is not asked again."""
    held = state.items.get(item.item)
    if held is None or held.is_settled or _first_alone(state, item):
        return False
    return not (held.state == "expired" and _answers(state, item))


def _first_alone(state: DiveState, item: Item) -> str:
    """Who gave the first answer of two in this record where the second is missing, or ""."""
    answers = _answers(state, item)
    if item.witness == "none" or not answers or answers[-1].fields.get("witness"):
        return ""
    return answers[-1].by


def _answers(state: DiveState, item: Item) -> list[Entry]:
    return [e for e in state.record.of_kind("check") if e.fields.get("item") == item.item]


def _typed_code(state: DiveState, code: str, identity: str) -> str:
    """The code where only one item or group has it, else the id."""
    every = [i.code for c in state.lists for i in c.items()]
    every += [s.code for c in state.lists for s in c.sections]
    return code if code and [e.casefold() for e in every].count(code.casefold()) == 1 else identity


def _lines(context: Context, code: str) -> Iterator[str]:
    """What is typed for one item until it is kept; ends with the input."""
    while True:
        context.err.write(f"{code}> ")
        context.err.flush()
        line = sys.stdin.readline(LONGEST_LINE)
        if not line:
            return
        yield line.strip()


def _one(
    args: Namespace, context: Context, logbook: Logbook, record: Record, line: str, day: str
) -> int | None:
    """Keep one typed line: its status, or None where it has to be typed again."""
    from rovlog.faces.cli.errors import as_text
    from rovlog.usecases.transcribe_sheet import check_sheet

    if not line:
        return Status.FINE
    try:
        checked = check_sheet(
            logbook, logbook.record(record.id), line.encode(), by=args.by, file="typed", day=day
        )
    except DocumentError as error:
        context.note(as_text(error))
        return None
    return _keep(args, context, logbook, checked)


PAPER: Mapping[str, Row] = {
    "transcribe": (
        "type in what was answered on paper",
        "rovlog dive transcribe grebe --file sheet.txt --by tamsin",
        _add_transcribe,
        _transcribe,
    ),
}
