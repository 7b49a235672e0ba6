"""The subcommand `observe`: the next push of the function test, calling its burst, what was seen of it."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from typing import TYPE_CHECKING

from rovlog.faces.cli.context import Context, Status
from rovlog.faces.cli.parser import pair
from rovlog.faces.cli.record_frame import Row, numbers, once, when
from rovlog.problems import UsageError

if TYPE_CHECKING:
    from rovlog.domain.dive import Record
    from rovlog.usecases.function_test import Medium
    from rovlog.usecases.logbook import Logbook


def _add_observe(p: ArgumentParser) -> None:
    p.add_argument("--next", action="store_true", help="tell the next push of the test; nothing is written")
    p.add_argument("--clear", action="store_true", help='"clear" is called: the burst begins')
    p.add_argument("--push", nargs="+", type=pair, metavar="CONTROL=POSITION",
                   help="another push than the one called, or than the next of the test")  # fmt: skip
    words = "bow, stern, port, starboard, up, down, none, unseen; or ahead, astern, still"
    p.add_argument("--seen", nargs="+", type=pair, metavar="THRUSTER=FLOW", help=words)
    p.add_argument("--medium", help="dry or wet (default: wet while marked in water, else dry)")


def _observe(args: Namespace, context: Context, logbook: Logbook, record: Record) -> int:
    medium = _medium(args.medium)
    asked = [name for name, is_on in (("--next", args.next), ("--clear", args.clear), ("--seen", args.seen))
             if is_on]  # fmt: skip
    if len(asked) != 1:
        raise UsageError(
            f"{' and '.join(asked)} are given together" if asked else "nothing is asked of the function test",
            "--next tells the next push, --clear begins its burst, --seen keeps what was seen of it",
        )
    if args.next:
        return _next(args, context, logbook, record, medium)
    if not args.by:
        raise UsageError("nobody is named", "say who says so: --by PERSON")
    push = numbers(args.push, "push") if args.push else None
    if args.clear:
        return _clear(args, context, logbook, record, push, medium)
    from rovlog.faces.reports.push_text import observed_data, observed_text
    from rovlog.usecases.function_test import observe_push

    found = observe_push(logbook, record, once(args.seen), push, by=args.by, medium=medium, **when(args))
    context.show(observed_data(found), observed_text(found))
    return Status.FINDING if found.excesses or found.across else Status.FINE


def _next(args: Namespace, context: Context, logbook: Logbook, record: Record, medium: Medium | None) -> int:
    from rovlog.faces.reports.push_text import next_data, next_text
    from rovlog.usecases.function_test import function_test_of

    if args.push:
        raise UsageError("--next tells the push itself", "leave --push out")
    test = function_test_of(logbook, record, medium)
    context.show(next_data(test), next_text(test, args.record))
    return Status.FINE


def _clear(
    args: Namespace,
    context: Context,
    logbook: Logbook,
    record: Record,
    push: dict[str, float] | None,
    medium: Medium | None,
) -> int:
    from rovlog.domain.checks.dry_running import burst_called
    from rovlog.faces.reports.push_text import called_words
    from rovlog.usecases.function_test import call_burst

    written = call_burst(logbook, record, push, by=args.by, medium=medium, **when(args))
    values = written.entry.fields["values"]
    made = burst_called(written.entry) or {}
    data = {
        "record": written.record,
        "entry": written.entry.id,
        "n": written.entry.n,
        "kind": written.entry.kind,
        "push": made,
        "medium": values["medium"],
        "burst_s": values["duration_s"],
    }
    length = f", {values['duration_s']:g} s at most" if values["medium"] == "dry" else ""
    context.show(data, f"kept: clear called, {called_words(made)}{length}; then --seen\n")
    return Status.FINE


def _medium(text: str | None) -> Medium | None:
    from rovlog.usecases.one_line import require_word

    if text is None:
        return None
    require_word("medium", text, ("dry", "wet"))
    return "wet" if text == "wet" else "dry"


OBSERVE: Row = (
    "the function test, push by push",
    "rovlog dive observe grebe --next",
    _add_observe,
    _observe,
)
