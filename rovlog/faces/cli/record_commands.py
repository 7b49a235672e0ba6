"""The subcommands that dives and work share: answering, marking, logging, closing, showing."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace, _SubParsersAction
from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Any, Literal

from rovlog.faces.cli.context import Context, Status
from rovlog.faces.cli.parser import CommandParser, example, number, pair

if TYPE_CHECKING:
    from rovlog.domain.dive import Record
    from rovlog.usecases.logbook import Logbook
    from rovlog.usecases.ports import CommitOutcome
    from rovlog.usecases.recording import Written

    Subparsers = _SubParsersAction[CommandParser]

Kind = Literal["dive", "work"]
Step = Callable[[Namespace, Context, "Logbook", "Record"], int]


def add_record_commands(commands: Subparsers, kind: Kind) -> None:
    """Add every shared subcommand for dives or for work."""
    for name, (summary, sample, add, step) in STEPS.items():
        line = sample.replace("rovlog dive", f"rovlog {kind}")
        if kind == "work":
            line = line.replace("heron-20260613-abcd", "heron-work-20260613-abcd")
        sub = commands.add_parser(name, help=summary, description=summary, epilog=example(line))
        sub.add_argument(
            "record", metavar=kind.upper(), help=f"the {kind}'s id, or a vehicle with one open {kind}"
        )
        add(sub)
        if name not in ("show",):
            sub.add_argument(
                "--by", required=True, metavar="PERSON", help="who says so (an id of logbook.yaml)"
            )
            sub.add_argument("--at", metavar="TIME", help="RFC 3339 time, if not now (kept as from memory)")
        sub.set_defaults(run=_runner(step, kind))


def _runner(step: Step, kind: Kind) -> Callable[[Namespace, Context], int]:
    def run(args: Namespace, context: Context) -> int:
        from rovlog.usecases.logbook import Logbook
        from rovlog.usecases.recording import find_record

        logbook = Logbook(context.book())
        record = find_record(logbook, args.record, kind)
        return step(args, context, logbook, record)

    return run


def said(context: Context, written: Written, text: str) -> int:
    """Say what is on the disk now."""
    data = {
        "record": written.record,
        "entry": written.entry.id,
        "n": written.entry.n,
        "kind": written.entry.kind,
    }
    context.show(data, f"kept: {text}\n")
    return Status.FINE


def tell_commit(context: Context, outcome: CommitOutcome) -> None:
    """Say why a milestone is not in git; nothing is lost by it."""
    if outcome.commit is None:
        mend = f"\n  mend: {outcome.mend}" if outcome.mend else ""
        context.note(f"kept on the disk, not yet in git: {outcome.reason}{mend}")


def _when(args: Namespace) -> dict[str, Any]:
    if args.at is None:
        return {}
    from rovlog.usecases.times import checked_time

    return {"at": checked_time(args.at)}


def _numbers(pairs: list[tuple[str, str]], what: str) -> dict[str, float]:
    from rovlog.problems import UsageError

    found = {}
    for name, text in pairs:
        try:
            found[name] = number(text)
        except Exception as error:
            raise UsageError(f"{what} {name}: {error}", f"write {name}=0.1") from None
    return found


def nested(pairs: list[tuple[str, str]]) -> dict[str, Any]:
    """NAME=VALUE and NAME.KEY=VALUE pairs as data: numbers where they read as one, else text."""
    found: dict[str, Any] = {}
    for name, text in pairs:
        value = plain_value(text)
        outer, dot, inner = name.partition(".")
        if dot:
            found.setdefault(outer, {})[inner] = value
        else:
            found[outer] = value
    return found


def plain_value(text: str) -> Any:
    """A whole number, a number (comma or point), true or false, else the text."""
    if text in ("true", "false"):
        return text == "true"
    try:
        return int(text)
    except ValueError:
        pass
    try:
        return number(text)
    except Exception:  # noqa: BLE001 - argparse's own error type; anything that is no number is text
        return text


# --- steps ------------------------------------------------------------------------------------


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


def _tick(args: Namespace, context: Context, logbook: Logbook, record: Record) -> int:
    from rovlog.faces.reports.dive_text import answer_text, judged_data
    from rovlog.usecases.answer_item import answer_item

    answered = answer_item(
        logbook,
        record,
        args.item,
        by=args.by,
        values=dict(args.value),
        outcome=args.outcome,
        source=args.source,
        text=args.text,
        is_second=args.second,
        **_when(args),
    )
    context.show(
        {
            "record": record.id,
            "item": args.item,
            "outcome": answered.outcome,
            "entry": answered.written.entry.id,
            "judged": [judged_data(j) for j in answered.judged],
            "state": answered.state,
        },
        answer_text(answered),
    )
    for note in answered.notes:
        context.note(note)
    if answered.commit is not None:
        tell_commit(context, answered.commit)
    return Status.FINE if answered.outcome == "pass" else Status.FINDING


def _add_mark(p: ArgumentParser) -> None:
    p.add_argument(
        "mark",
        metavar="MARK",
        help="power-on, in-water, off-surface, back-at-surface, out-of-water, power-off",
    )


def _mark(args: Namespace, context: Context, logbook: Logbook, record: Record) -> int:
    from rovlog.usecases.dive_steps import mark

    return said(
        context, mark(logbook, record, args.mark, by=args.by, **_when(args)), args.mark.replace("-", " ")
    )


def _add_event(p: ArgumentParser) -> None:
    p.add_argument("event", metavar="EVENT", help="housing-opened, connector-parted, knocked …")
    p.add_argument("--part", help="what it happened to")
    p.add_argument("--text", help="in words")


def _event(args: Namespace, context: Context, logbook: Logbook, record: Record) -> int:
    from rovlog.domain.dive import VOID_EVENTS
    from rovlog.usecases.dive_steps import log_event

    written = log_event(
        logbook, record, args.event, by=args.by, part=args.part, text=args.text, **_when(args)
    )
    return said(context, written, VOID_EVENTS[args.event])


def _add_trim(p: ArgumentParser) -> None:
    p.add_argument(
        "trim", nargs="+", type=pair, metavar="DEMAND=SHARE", help="e.g. heave=0.06; positive heave is down"
    )
    p.add_argument("--reason", help="why")


def _trim(args: Namespace, context: Context, logbook: Logbook, record: Record) -> int:
    from rovlog.domain.drift.words import trim_words
    from rovlog.usecases.dive_steps import log_trim

    trim = _numbers(args.trim, "trim")
    written = log_trim(logbook, record, trim, by=args.by, reason=args.reason, **_when(args))
    return said(context, written, "trim " + ", ".join(trim_words(d, v) for d, v in trim.items()))


def _add_setup(p: ArgumentParser) -> None:
    p.add_argument("values", nargs="+", type=pair, metavar="NAME=VALUE",
                   help="steering_scheme=2 thruster_map=1 trim.heave=0.06 power_limit=0.8")  # fmt: skip


def _setup(args: Namespace, context: Context, logbook: Logbook, record: Record) -> int:
    from rovlog.usecases.dive_steps import state_setup

    return said(context, state_setup(logbook, record, nested(args.values), by=args.by, **_when(args)),
                "what the pilot says is set")  # fmt: skip


def _add_readback(p: ArgumentParser) -> None:
    p.add_argument(
        "--in-use", nargs="+", type=pair, required=True, metavar="NAME=VALUE", help="what the box uses now"
    )
    p.add_argument(
        "--stored", nargs="*", type=pair, metavar="NAME=VALUE", help="what it has stored, where it says so"
    )
    p.add_argument("--box", help="the box (default: the vehicle's)")
    p.add_argument("--firmware", help="the firmware it reports (default: the one on record)")
    p.add_argument("--boots", type=int, help="its boot count, where it says so")
    p.add_argument("--uptime-s", type=number, help="seconds since it started")
    p.add_argument("--source", default="paper", help="paper (typed from its display) or box-read")


def _readback(args: Namespace, context: Context, logbook: Logbook, record: Record) -> int:
    from rovlog.usecases.type_readback import type_readback

    written = type_readback(
        logbook,
        record,
        by=args.by,
        in_use=nested(args.in_use),
        stored=nested(args.stored) if args.stored is not None else None,
        box=args.box,
        firmware=args.firmware,
        boots=args.boots,
        uptime_s=args.uptime_s,
        source=args.source,
        **_when(args),
    )
    return said(context, written, "the box's readback")


def _add_observe(p: ArgumentParser) -> None:
    p.add_argument("--push", nargs="+", type=pair, required=True, metavar="CONTROL=POSITION")
    p.add_argument("--seen", nargs="+", type=pair, required=True, metavar="THRUSTER=SEEN",
                   help="ahead (pushes along its direction), astern, still or unseen")  # fmt: skip
    p.add_argument("--medium", default="dry", help="dry or wet")


def _observe(args: Namespace, context: Context, logbook: Logbook, record: Record) -> int:
    from rovlog.usecases.dive_steps import observe

    push = _numbers(args.push, "push")
    written = observe(logbook, record, push, dict(args.seen), by=args.by, medium=args.medium, **_when(args))
    return said(
        context, written, "observation of " + ", ".join(f"{k} {v}" for k, v in dict(args.seen).items())
    )


def _add_reading(p: ArgumentParser) -> None:
    p.add_argument(
        "reading", metavar="READING", help="what was read: clamp-meter, supply, gauge, load-step …"
    )
    p.add_argument(
        "values", nargs="+", type=pair, metavar="NAME=VALUE", help="with the unit in the name: current_a=7,5"
    )
    p.add_argument("--source", default="measured")


def _reading(args: Namespace, context: Context, logbook: Logbook, record: Record) -> int:
    from rovlog.usecases.dive_steps import log_reading

    values = _numbers(args.values, "value")
    written = log_reading(
        logbook, record, args.reading, values, by=args.by, source=args.source, **_when(args)
    )
    return said(context, written, f"{args.reading} " + ", ".join(f"{k} {v:g}" for k, v in values.items()))


def _add_fault(p: ArgumentParser) -> None:
    p.add_argument(
        "symptom", metavar="SYMPTOM", help="surge-weak, yaw-reversed, heave-dead, fuse-opened, sinks, rises …"
    )
    p.add_argument("--part", help="the part concerned")
    p.add_argument("--text", help="what was seen, not why")


def _fault(args: Namespace, context: Context, logbook: Logbook, record: Record) -> int:
    from rovlog.usecases.dive_steps import log_fault

    written, outcome = log_fault(
        logbook, record, args.symptom, by=args.by, part=args.part, text=args.text, **_when(args)
    )
    status = said(context, written, f"fault {args.symptom}; the vehicle is in quarantine until released")
    tell_commit(context, outcome)
    return status


def _add_waive(p: ArgumentParser) -> None:
    p.add_argument("item", nargs="?", metavar="ITEM", help="an item's id")
    p.add_argument("--pointer", help="a deviation, by its pointer")
    p.add_argument("--stop", help="another stop, by its name")
    p.add_argument("--reason", required=True)
    p.add_argument("--until", required=True, help="a time, a day (2026-06-14), or `dive` for this dive only")


def _waive(args: Namespace, context: Context, logbook: Logbook, record: Record) -> int:
    from rovlog.usecases.answer_item import waive_item

    written = waive_item(logbook, record, by=args.by, reason=args.reason, until=args.until, item=args.item,
                         pointer=args.pointer, stop=args.stop, **_when(args))  # fmt: skip
    return said(context, written, f"waiver until {args.until}")


def _add_item_reason(p: ArgumentParser) -> None:
    p.add_argument("item", metavar="ITEM")
    p.add_argument("--reason", required=True)


def _add_defer(p: ArgumentParser) -> None:
    _add_item_reason(p)
    p.add_argument("--until", help="by when: a time, an item, or `launch` (default)")


def _defer(args: Namespace, context: Context, logbook: Logbook, record: Record) -> int:
    from rovlog.usecases.answer_item import defer_item

    written = defer_item(
        logbook, record, args.item, by=args.by, reason=args.reason, until=args.until, **_when(args)
    )
    return said(context, written, f"{args.item} deferred")


def _not_applicable(args: Namespace, context: Context, logbook: Logbook, record: Record) -> int:
    from rovlog.usecases.answer_item import item_not_applicable

    written = item_not_applicable(logbook, record, args.item, by=args.by, reason=args.reason, **_when(args))
    return said(context, written, f"{args.item} not applicable")


def _add_pause(p: ArgumentParser) -> None:
    p.add_argument("--item", help="where the list stands")
    p.add_argument("--reason", required=True)


def _pause(args: Namespace, context: Context, logbook: Logbook, record: Record) -> int:
    from rovlog.usecases.dive_steps import log

    return said(context, log(logbook, record, "pause", {"item": args.item, "reason": args.reason}, by=args.by,
                             **_when(args)), "paused")  # fmt: skip


def _add_resume(p: ArgumentParser) -> None:
    p.add_argument("--item", help="the item answered again")


def _resume(args: Namespace, context: Context, logbook: Logbook, record: Record) -> int:
    from rovlog.usecases.answer_item import resume_list

    resumed = resume_list(logbook, record, by=args.by, item=args.item, **_when(args))
    status = said(context, resumed.written, "resumed")
    context.note(resumed.note)
    return status


def _add_complete(p: ArgumentParser) -> None:
    p.add_argument("checklist", metavar="CHECKLIST")
    p.add_argument("section", metavar="GROUP", help="the group's title, or its beginning")
    p.add_argument("--text", help="the completion call as spoken")


def _complete(args: Namespace, context: Context, logbook: Logbook, record: Record) -> int:
    from rovlog.usecases.answer_item import complete_section

    done = complete_section(
        logbook, record, args.checklist, args.section, by=args.by, text=args.text, **_when(args)
    )
    status = said(context, done.written, done.call)
    tell_commit(context, done.commit)
    return status


def _add_release(p: ArgumentParser) -> None:
    p.add_argument("point", metavar="POINT", help="a hold point's item, or return-to-service")
    p.add_argument("--text", help="as spoken")


def _release(args: Namespace, context: Context, logbook: Logbook, record: Record) -> int:
    from rovlog.usecases.answer_item import release_point

    done = release_point(logbook, record, args.point, by=args.by, text=args.text, **_when(args))
    status = said(context, done.written, done.call)
    tell_commit(context, done.commit)
    return status


def _add_note(p: ArgumentParser) -> None:
    p.add_argument("text", metavar="TEXT")


def _note(args: Namespace, context: Context, logbook: Logbook, record: Record) -> int:
    from rovlog.usecases.approve import require_text
    from rovlog.usecases.dive_steps import log

    require_text("note", args.text)
    return said(context, log(logbook, record, "note", {"text": args.text}, by=args.by, **_when(args)), "note")


def _add_crew(p: ArgumentParser) -> None:
    p.add_argument("crew", nargs="+", type=pair, metavar="ROLE=PERSON")


def _crew(args: Namespace, context: Context, logbook: Logbook, record: Record) -> int:
    from rovlog.usecases.dive_steps import check_crew, log

    check_crew(logbook, dict(args.crew))
    written = log(logbook, record, "crew", {"crew": dict(args.crew)}, by=args.by, **_when(args))
    return said(context, written, "crew " + ", ".join(f"{r} {p}" for r, p in args.crew))


def _add_place(p: ArgumentParser) -> None:
    p.add_argument("--site")
    p.add_argument("--water", metavar="KIND:T[:S]", help="fresh:20, salt:12:35")
    p.add_argument("--depth-m", type=number)
    p.add_argument("--visibility-m", type=number)


def _place(args: Namespace, context: Context, logbook: Logbook, record: Record) -> int:
    from rovlog.usecases.dive_steps import log
    from rovlog.usecases.water_spec import water_fields

    fields = {
        "site": args.site,
        "water": water_fields(args.water) if args.water else None,
        "depth_m": args.depth_m,
        "visibility_m": args.visibility_m,
    }
    return said(context, log(logbook, record, "place", fields, by=args.by, **_when(args)), "place")


def _add_fitted(p: ArgumentParser) -> None:
    p.add_argument("part", metavar="PART")
    p.add_argument(
        "--to", required=True, metavar="PLACE", help="the vehicle, or tether, battery, fuse-holder …"
    )
    p.add_argument("--replaces", metavar="PART")


def _fitted(args: Namespace, context: Context, logbook: Logbook, record: Record) -> int:
    from rovlog.usecases.dive_steps import log

    fields = {"part": args.part, "to": args.to, "replaces": args.replaces}
    return said(
        context, log(logbook, record, "fitted", fields, by=args.by, **_when(args)), f"{args.part} fitted"
    )


def _add_correct(p: ArgumentParser) -> None:
    p.add_argument("entry", metavar="ENTRY", help="the entry's number or id")
    p.add_argument("changes", nargs="+", type=pair, metavar="FIELD=VALUE")
    p.add_argument("--reason", required=True)


def _correct(args: Namespace, context: Context, logbook: Logbook, record: Record) -> int:
    from rovlog.usecases.dive_steps import correct

    written = correct(
        logbook, record, args.entry, nested(args.changes), by=args.by, reason=args.reason, **_when(args)
    )
    return said(context, written, f"correction of entry {args.entry}; the first text stays in the file")


def _add_attach(p: ArgumentParser) -> None:
    p.add_argument("file", metavar="FILE", help="a file in the logbook's folder, e.g. attachments/plug.jpg")
    p.add_argument("--what", required=True, help="what it shows, and who holds the thing")


def _attach(args: Namespace, context: Context, logbook: Logbook, record: Record) -> int:
    from rovlog.usecases.attach_evidence import attach_evidence

    written = attach_evidence(logbook, record, args.file, what=args.what, by=args.by, **_when(args))
    return said(context, written, f"{args.file} with its digest")


def _add_close(p: ArgumentParser) -> None:
    p.add_argument("--text", help="a last word")
    p.add_argument("--from-memory", action="store_true", help="the times are from memory")


def _close(args: Namespace, context: Context, logbook: Logbook, record: Record) -> int:
    from rovlog.usecases.dive_steps import close

    clock = "memory" if args.from_memory else None
    written, outcome = close(logbook, record, by=args.by, text=args.text, clock=clock, **_when(args))
    status = said(context, written, f"{record.id} is closed")
    tell_commit(context, outcome)
    return status


def _add_show(p: ArgumentParser) -> None:
    p.add_argument("--entries", action="store_true", help="every entry, in order")


def _show(args: Namespace, context: Context, logbook: Logbook, record: Record) -> int:
    from rovlog.faces.reports.dive_text import dive_data, dive_text, entries_text
    from rovlog.usecases.dive_state import dive_state

    state = dive_state(logbook, record)
    text = dive_text(state, logbook.person_name)
    if args.entries:
        text += "\n" + entries_text(record, logbook.person_name)
    context.show(dive_data(state), text)
    return Status.FINE


Row = tuple[str, str, Callable[[ArgumentParser], None], Step]

STEPS: Mapping[str, Row] = {
    "tick": ("answer an item", "rovlog dive tick heron-20260613-abcd fuse --by mira --value rating=10", _add_tick, _tick),
    "mark": ("mark a moment", "rovlog dive mark heron in-water --by mira", _add_mark, _mark),
    "event": ("record what voids answers", "rovlog dive event heron housing-opened --by mira", _add_event, _event),
    "trim": ("record a changed trim", "rovlog dive trim heron heave=0.06 --by mira", _add_trim, _trim),
    "setup": ("record what the pilot says is set", "rovlog dive setup heron steering_scheme=2 --by mira", _add_setup, _setup),
    "readback": ("type in what the box shows", "rovlog dive readback heron --in-use steering_scheme=2 thruster_map=1 --by mira", _add_readback, _readback),
    "observe": ("record a push of the function test", "rovlog dive observe heron --push left-stick-y=-1 --seen port-aft=ahead --by mira", _add_observe, _observe),
    "reading": ("record a reading", "rovlog dive reading heron clamp-meter current_a=7,5 --by mira", _add_reading, _reading),
    "fault": ("record a fault", 'rovlog dive fault heron yaw-reversed --text "turned to port on right stick" --by mira', _add_fault, _fault),
    "waive": ("give written leave", 'rovlog dive waive heron tether-reach --reason "short pool" --until dive --by mira', _add_waive, _waive),
    "defer": ("put an item off", 'rovlog dive defer heron recording --reason "card is charging" --by mira', _add_defer, _defer),
    "not-applicable": ("say why an item does not apply", 'rovlog dive not-applicable heron lights --reason "none fitted" --by mira', _add_item_reason, _not_applicable),
    "pause": ("pause the list", 'rovlog dive pause heron --reason "visitors" --by mira', _add_pause, _pause),
    "resume": ("resume it", "rovlog dive resume heron --by mira", _add_resume, _resume),
    "complete": ("make a group's completion call", "rovlog dive complete heron pre-dive A --by mira", _add_complete, _complete),
    "release": ("release a hold point", "rovlog dive release heron launch-release --by mira", _add_release, _release),
    "note": ("write a note", 'rovlog dive note heron "silt after ten minutes" --by mira', _add_note, _note),
    "crew": ("record a change of crew", "rovlog dive crew heron pilot=mira --by mira", _add_crew, _crew),
    "place": ("record a change of place or water", "rovlog dive place heron --water salt:11:31 --by mira", _add_place, _place),
    "fitted": ("record a part fitted", "rovlog dive fitted heron tether-red --to tether --by mira", _add_fitted, _fitted),
    "attach": ("keep a file as evidence", 'rovlog dive attach heron attachments/plug.jpg --what "plug 3, held by mira" --by mira', _add_attach, _attach),
    "correct": ("correct an entry by a further one", 'rovlog dive correct heron 4 text="to starboard" --reason "slip" --by mira', _add_correct, _correct),
    "close": ("close it", "rovlog dive close heron --by mira", _add_close, _close),
    "show": ("show items, stops and configuration", "rovlog dive show heron", _add_show, _show),
}  # fmt: skip
