"""The subcommands that dives and work share, joined: answering, logging, closing, showing."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from rovlog.faces.cli.context import Context
from rovlog.faces.cli.kept import answer, tell
from rovlog.faces.cli.parser import CommandParser, example
from rovlog.faces.cli.record_answers import ANSWERS
from rovlog.faces.cli.record_clock import CLOCKS
from rovlog.faces.cli.record_entries import ENTRIES
from rovlog.faces.cli.record_frame import Kind, Row, runner, said, tell_commit, when
from rovlog.faces.cli.record_help import DESCRIPTIONS
from rovlog.faces.cli.record_paper import PAPER
from rovlog.faces.cli.record_watch import WATCH

if TYPE_CHECKING:
    from argparse import _SubParsersAction

    from rovlog.domain.dive import Record
    from rovlog.usecases.logbook import Logbook


def _add_close(p: ArgumentParser) -> None:
    p.add_argument("--text", help="a last word")
    p.add_argument("--from-memory", action="store_true", help="the times are from memory")


def _close(args: Namespace, context: Context, logbook: Logbook, record: Record) -> int:
    from rovlog.usecases.dive_steps import close
    from rovlog.usecases.left_at_close import left_at_close

    clock = "memory" if args.from_memory else None
    left = left_at_close(logbook, record)
    written, outcome = close(logbook, record, by=args.by, text=args.text, clock=clock, **when(args))
    status = said(context, written, f"{record.id} is closed")
    begun, ended = record.started[:10], written.entry.at[:10]
    if begun != ended and not args.from_memory and args.at is None:
        context.note(
            f"{record.id} was begun on {begun} and is closed on {ended}, as if it had ended now; "
            "where it ended earlier, say so: --at TIME, or --from-memory"
        )
    for words in left:
        context.note(f"closed over this: {words}")
    tell_commit(context, outcome)
    return status


def _show(args: Namespace, context: Context, kind: Kind) -> int:
    """Not as the others: an answer that is kept need not find the record first."""
    question = [kind, "show", args.record, args.entries]
    return tell(context, question, lambda logbook: _shown(logbook, args.record, kind, args.entries))


def _shown(logbook: Logbook, name: str, kind: Kind, with_entries: bool) -> dict[str, Any]:
    from rovlog.domain.checks.second_looks import second_looks
    from rovlog.faces.reports.check_text import caller
    from rovlog.faces.reports.dive_text import dive_data, dive_text, due_data, due_text, entries_text
    from rovlog.faces.reports.push_text import progress_text, watched_data
    from rovlog.faces.reports.quarantine_text import guide_data, guide_text
    from rovlog.faces.reports.watch_text import watch_data, watch_text
    from rovlog.usecases.dive_state import dive_state
    from rovlog.usecases.function_test import watched_test
    from rovlog.usecases.parts_due import parts_due
    from rovlog.usecases.quarantine_guide import quarantine_guide
    from rovlog.usecases.recording import find_record
    from rovlog.usecases.timers import timers_of
    from rovlog.usecases.watch_pace import pace_of

    record = find_record(logbook, name, kind)
    state = dive_state(logbook, record)
    timers, pace = timers_of(logbook, state), pace_of(logbook, state)
    looks = [k for k in (second_looks(c, state.items, state.fold) for c in state.lists) if k.items]
    guide = quarantine_guide(state)
    due = parts_due(logbook, record.vehicle) if kind == "dive" and not record.is_closed else ()
    text = dive_text(state, logbook.person_name, due_text(due)) + watch_text(
        timers, looks, pace, caller(state.fold.items)
    )
    test = watched_test(logbook, record)
    text += "\n" + progress_text(test) if test is not None and record.of_kind("observation") else ""
    text += "\n" + guide_text(guide, logbook.person_name) if guide is not None else ""
    if with_entries:
        from rovlog.usecases.covered_record import covered_record

        text += "\n" + entries_text(covered_record(logbook, record), logbook.person_name)
    data = {**dive_data(state), **watch_data(timers, looks, pace), "parts_due": due_data(due)}
    data["function_test"] = watched_data(test) if test is not None else None
    if guide is not None:
        data["quarantine"] = {**data["quarantine"], **(guide_data(guide) or {})}
    return answer(data, text)


OTHERS: Mapping[str, Row] = {
    "close": (
        "close it",
        "rovlog dive close grebe --by tamsin",
        _add_close,
        _close,
    ),
}

STEPS: Mapping[str, Row] = {**ANSWERS, **PAPER, **WATCH, **ENTRIES, **CLOCKS, **OTHERS}


def add_record_commands(commands: _SubParsersAction[CommandParser], kind: Kind) -> None:
    """Add every shared subcommand for dives or for work."""
    for name, (summary, sample, add, step) in STEPS.items():
        sub = _added(commands, kind, name, summary, sample)
        add(sub)
        # The next push is told to anybody; who keeps something says who it is.
        is_asked = name != "observe"
        sub.add_argument(
            "--by", required=is_asked, metavar="PERSON", help="who says so (an id of logbook.yaml)"
        )
        if name not in PAPER:
            # On a sheet each line has a time of its own.
            sub.add_argument("--at", metavar="TIME", help="RFC 3339 time, if not now (kept as from memory)")
        sub.set_defaults(run=runner(step, kind))
    show = _added(commands, kind, "show", "show items, stops and configuration", "rovlog dive show grebe")
    show.add_argument("--entries", action="store_true", help="every entry, in order")
    show.set_defaults(run=lambda args, context: _show(args, context, kind))


def _added(
    commands: _SubParsersAction[CommandParser], kind: Kind, name: str, summary: str, sample: str
) -> ArgumentParser:
    line = sample.replace("rovlog dive", f"rovlog {kind}")
    if kind == "work":
        line = line.replace("grebe-20260411-vgfe", "grebe-work-20260404-ilno")
    sub = commands.add_parser(name, help=summary, description=DESCRIPTIONS[name], epilog=example(line))
    sub.add_argument(
        "record", metavar=kind.upper(), help=f"the {kind}'s id, or a vehicle with one open {kind}"
    )
    return sub
