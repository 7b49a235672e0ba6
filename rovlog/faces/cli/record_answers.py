"""Subcommands that answer a checklist: tick, waive, defer, pause, complete, release."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from collections.abc import Mapping
from typing import TYPE_CHECKING

from rovlog.faces.cli.context import Context, Status
from rovlog.faces.cli.parser import pair
from rovlog.faces.cli.record_frame import Row, once, said, tell_commit, when

if TYPE_CHECKING:
    from rovlog.domain.dive import Record
    from rovlog.usecases.answer_item import Answered
    from rovlog.usecases.logbook import Logbook


def _add_tick(p: ArgumentParser) -> None:
    p.add_argument("item", metavar="ITEM", help="the item's id")
    p.add_argument(
        "--value", action="append", type=pair, default=[], metavar="NAME=V", help="an answered value"
    )
    p.add_argument(
        "--outcome", choices=("pass", "fail"), help="say that it failed (values are judged anyway)"
    )
    p.add_argument("--source", metavar="SOURCE", help="seen, measured, computed, box-read or paper")
    p.add_argument("--text", help="a remark")
    p.add_argument("--second", action="store_true", help="the second person's answer")
    p.add_argument("--sure", action="store_true", help="keep a value that looks like a slip without asking")


def _tick(args: Namespace, context: Context, logbook: Logbook, record: Record) -> int:
    from rovlog.faces.reports.dive_text import answer_text, judged_data
    from rovlog.faces.reports.watch_text import questions_text

    answered = _answered(args, logbook, record, args.sure)
    questions = answered.questions
    if questions and not context.json and context.asks(questions_text(questions) + "Keep it as it is?"):
        answered = _answered(args, logbook, record, True)
    elif questions and context.can_ask() and not context.json:
        context.show({}, "Nothing is written.\n")
        return Status.FINDING
    elif questions:
        # Nobody is there to be asked: it is kept, and told, so that it can be corrected.
        answered = _answered(args, logbook, record, None)
        context.note(questions_text(questions) + "It is kept as given; --sure says that it was looked at.")
    is_hidden = answered.item.witness == "blind" and answered.state == "open"
    context.show(
        {
            "record": record.id,
            "item": answered.item.item,
            "outcome": None if is_hidden else answered.outcome,
            "entry": answered.written.entry.id,
            "judged": [] if is_hidden else [judged_data(j) for j in answered.judged],
            "state": answered.state,
            "differs": answered.differs or None,
            "confirmed": bool(answered.written.entry.fields.get("confirmed")),
            "questions": [{"value": q.value, "text": q.text} for q in questions],
        },
        answer_text(answered),
    )
    for note in answered.notes:
        context.note(note)
    if answered.commit is not None:
        tell_commit(context, answered.commit)
    is_fine = answered.outcome == "pass" and not answered.differs
    return Status.FINE if is_fine else Status.FINDING


def _answered(args: Namespace, logbook: Logbook, record: Record, is_sure: bool | None) -> Answered:
    from rovlog.usecases.answer_item import answer_item

    return answer_item(
        logbook,
        record,
        args.item,
        by=args.by,
        values=once(args.value),
        outcome=args.outcome,
        source=args.source,
        text=args.text,
        is_second=args.second,
        is_sure=is_sure,
        **when(args),
    )


def _add_waive(p: ArgumentParser) -> None:
    p.add_argument("item", nargs="?", metavar="ITEM", help="an item's id")
    p.add_argument("--pointer", help="a deviation, by its pointer")
    p.add_argument("--stop", help="another stop, by its name")
    p.add_argument("--reason", required=True)
    p.add_argument("--until", required=True, help="a time, a day (2026-06-14), or `dive` for this dive only")


def _waive(args: Namespace, context: Context, logbook: Logbook, record: Record) -> int:
    from rovlog.usecases.give_waiver import waive_item

    written = waive_item(logbook, record, by=args.by, reason=args.reason, until=args.until, item=args.item,
                         pointer=args.pointer, stop=args.stop, **when(args))  # fmt: skip
    return said(context, written, f"waiver until {args.until}")


def _add_item_reason(p: ArgumentParser) -> None:
    p.add_argument("item", metavar="ITEM")
    p.add_argument("--reason", required=True)


def _add_defer(p: ArgumentParser) -> None:
    _add_item_reason(p)
    p.add_argument(
        "--until",
        help="by when: a time, an item, or `launch` (default; the next hold point for what always stops)",
    )


def _defer(args: Namespace, context: Context, logbook: Logbook, record: Record) -> int:
    from rovlog.faces.reports.check_text import deferral_words
    from rovlog.usecases.set_item_aside import defer_item

    put_off = defer_item(
        logbook, record, args.item, by=args.by, reason=args.reason, until=args.until, **when(args)
    )
    words = f"{put_off.item.name} deferred; {deferral_words(put_off.item, put_off.hold)}"
    return said(context, put_off.written, words)


def _not_applicable(args: Namespace, context: Context, logbook: Logbook, record: Record) -> int:
    from rovlog.usecases.set_item_aside import item_not_applicable

    written = item_not_applicable(logbook, record, args.item, by=args.by, reason=args.reason, **when(args))
    return said(context, written, f"{args.item} not applicable")


def _add_pause(p: ArgumentParser) -> None:
    p.add_argument("--item", help="where the list stands")
    p.add_argument("--reason", required=True)


def _pause(args: Namespace, context: Context, logbook: Logbook, record: Record) -> int:
    from rovlog.usecases.pause_list import pause_list

    written = pause_list(logbook, record, by=args.by, reason=args.reason, item=args.item, **when(args))
    return said(context, written, "paused")


def _add_resume(p: ArgumentParser) -> None:
    p.add_argument("--item", help="the item answered again")


def _resume(args: Namespace, context: Context, logbook: Logbook, record: Record) -> int:
    from rovlog.usecases.pause_list import resume_list

    resumed = resume_list(logbook, record, by=args.by, item=args.item, **when(args))
    status = said(context, resumed.written, "resumed")
    context.note(resumed.note)
    return status


def _add_complete(p: ArgumentParser) -> None:
    p.add_argument("checklist", metavar="CHECKLIST")
    p.add_argument("section", metavar="GROUP", help="the group's title, or its beginning")
    p.add_argument("--text", help="the completion call as spoken")


def _complete(args: Namespace, context: Context, logbook: Logbook, record: Record) -> int:
    from rovlog.usecases.complete_list import complete_section

    done = complete_section(
        logbook, record, args.checklist, args.section, by=args.by, text=args.text, **when(args)
    )
    status = said(context, done.written, done.call)
    tell_commit(context, done.commit)
    return status


def _add_release(p: ArgumentParser) -> None:
    p.add_argument("point", metavar="POINT", help="a hold point's item, or return-to-service")
    p.add_argument("--text", help="as spoken")


def _release(args: Namespace, context: Context, logbook: Logbook, record: Record) -> int:
    from rovlog.usecases.complete_list import release_point

    done = release_point(logbook, record, args.point, by=args.by, text=args.text, **when(args))
    by = logbook.person_name(args.by)
    status = said(context, done.written, f"{done.point or args.point} released by {by}: {done.call}")
    for note in done.notes:
        context.note(note)
    tell_commit(context, done.commit)
    return status


ANSWERS: Mapping[str, Row] = {
    "tick": (
        "answer an item",
        "rovlog dive tick grebe-20260411-vgfe fuse --by tamsin --value rating=10",
        _add_tick,
        _tick,
    ),
    "waive": (
        "give written leave",
        'rovlog dive waive grebe recording --reason "card is full" --until dive --by oona',
        _add_waive,
        _waive,
    ),
    "defer": (
        "put an item off",
        'rovlog dive defer grebe rescue-gear --reason "pole is on its way" --by tamsin',
        _add_defer,
        _defer,
    ),
    "not-applicable": (
        "say why an item does not apply",
        'rovlog dive not-applicable grebe lights --reason "none fitted" --by tamsin',
        _add_item_reason,
        _not_applicable,
    ),
    "pause": (
        "pause the list",
        'rovlog dive pause grebe --reason "visitors" --by tamsin',
        _add_pause,
        _pause,
    ),
    "resume": (
        "resume it",
        "rovlog dive resume grebe --by tamsin",
        _add_resume,
        _resume,
    ),
    "complete": (
        "make a group's completion call",
        "rovlog dive complete grebe pre-dive A --by tamsin",
        _add_complete,
        _complete,
    ),
    "release": (
        "release a hold point",
        "rovlog dive release grebe release-power-on --by oona",
        _add_release,
        _release,
    ),
}
