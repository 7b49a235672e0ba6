"""What every subcommand of dives and work is made of: its arguments, its record, and what it says."""

from __future__ import annotations

import re
from argparse import ArgumentParser, ArgumentTypeError, Namespace
from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Any, Literal

from rovlog.faces.cli.context import Context, Status
from rovlog.faces.cli.parser import number

if TYPE_CHECKING:
    from rovlog.domain.dive import Record
    from rovlog.usecases.logbook import Logbook
    from rovlog.usecases.ports import CommitOutcome
    from rovlog.usecases.recording import Written

Kind = Literal["dive", "work"]
Step = Callable[[Namespace, Context, "Logbook", "Record"], int]


def runner(step: Step, kind: Kind) -> Callable[[Namespace, Context], int]:
    """A command's `run` that finds the record first."""

    def run(args: Namespace, context: Context) -> int:
        from rovlog.usecases.logbook import Logbook
        from rovlog.usecases.recording import find_record

        logbook = Logbook(context.book())
        record = find_record(logbook, args.record, kind)
        context.note(logbook.settings().trouble)
        if not _time_stands(args, context, record):
            context.show({}, "Nothing is written.\n")
            return Status.FINDING
        return step(args, context, logbook, record)

    return run


def _time_stands(args: Namespace, context: Context, record: Record) -> bool:
    """False where the time looks like a slip and the person at the terminal does not stand by it.

    Where nobody can be asked it is kept, and told, so that it can be corrected. What was answered with
    yes is left in `args.confirmed`.
    """
    args.confirmed = ()
    at, mark = getattr(args, "at", None), getattr(args, "mark", "")
    if at is None and not mark:
        return True
    from rovlog.faces.reports.watch_text import questions_text
    from rovlog.usecases.doubtful_times import time_questions

    questions = time_questions(record, at or context.book().clock.now(), mark, is_typed=at is not None)
    if not questions:
        return True
    if getattr(args, "sure", False) or (
        not context.json and context.asks(questions_text(questions) + "Keep it as it is?")
    ):
        args.confirmed = tuple(q.text for q in questions)
        return True
    if context.can_ask() and not context.json:
        return False
    context.note(questions_text(questions) + "It is kept as given; correct it where it is wrong.")
    return True


def said(context: Context, written: Written, text: str, *, more: Mapping[str, Any] | None = None) -> int:
    """Say what is on the disk now; `more` is told as data beside it."""
    data = {
        "record": written.record,
        "entry": written.entry.id,
        "n": written.entry.n,
        "kind": written.entry.kind,
        **(more or {}),
    }
    context.show(data, f"kept: {text}\n")
    return Status.FINE


def tell_commit(context: Context, outcome: CommitOutcome) -> None:
    """Say why a milestone is not in git; nothing is lost by it."""
    if outcome.commit is None:
        mend = f"\n  mend: {outcome.mend}" if outcome.mend else ""
        context.note(f"kept on the disk, not yet in git: {outcome.reason}{mend}")
    elif outcome.reason:
        context.note(f"note: {outcome.reason}\n  mend: {outcome.mend}")


def when(args: Namespace) -> dict[str, Any]:
    """`at` where a time was typed, checked; nothing where the clock's own is meant."""
    if args.at is None:
        return {}
    from rovlog.usecases.times import checked_time

    return {"at": checked_time(args.at)}


def numbers(pairs: list[tuple[str, str]], what: str) -> dict[str, float]:
    """NAME=VALUE pairs as numbers; UsageError names the one that is none."""
    from rovlog.problems import UsageError

    found = {}
    for name, text in once(pairs).items():
        try:
            found[name] = number(text)
        except ArgumentTypeError as error:
            raise UsageError(f"{what} {name}: {error}", f"write {name}=0.1") from None
    return found


def once(pairs: list[tuple[str, str]]) -> dict[str, str]:
    """NAME=VALUE pairs by name. Raises UsageError for a name given twice: nobody knows which one holds."""
    from rovlog.problems import UsageError

    found: dict[str, str] = {}
    for name, text in pairs:
        if name in found:
            raise UsageError(f"{name} is given twice: {found[name]} and {text}", "give it once")
        found[name] = text
    return found


def nested(pairs: list[tuple[str, str]]) -> dict[str, Any]:
    """NAME=VALUE and NAME.KEY=VALUE pairs as data: numbers where they read as one, else text.

    Raises UsageError for a name given twice, or given both with and without keys.
    """
    from rovlog.problems import UsageError

    found: dict[str, Any] = {}
    for name, text in once(pairs).items():
        outer, dot, inner = name.partition(".")
        if not dot:
            inside, key = found, outer
        else:
            inside, key = found.setdefault(outer, {}), inner
        if not isinstance(inside, dict) or key in inside or not key:
            raise UsageError(f"{outer} is given in two ways", f"write {outer}=… or {outer}.KEY=…, not both")
        inside[key] = plain_value(text)
    return found


def plain_value(text: str) -> Any:
    """A whole number, a number (comma or point), true or false, else the text."""
    if text in ("true", "false"):
        return text == "true"
    if re.fullmatch(r"[+-]?[0-9]{1,15}", text):
        return int(text)
    if re.fullmatch(r"[+-]?[0-9]*[.,][0-9]+([eE][+-]?[0-9]{1,2})?", text):
        return number(text)
    return text


Row = tuple[str, str, Callable[[ArgumentParser], None], Step]
"""Summary, example, how its arguments are added, and what it does."""
