"""Subcommands that log what happened: marks, events, trims, readings, faults, notes, corrections."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from collections.abc import Mapping
from typing import TYPE_CHECKING

from rovlog.faces.cli.context import Context
from rovlog.faces.cli.parser import number, pair
from rovlog.faces.cli.record_frame import Row, nested, numbers, once, said, tell_commit, when
from rovlog.faces.cli.record_observe import OBSERVE

if TYPE_CHECKING:
    from rovlog.domain.dive import Record
    from rovlog.usecases.logbook import Logbook
    from rovlog.usecases.recording import Written


def _add_mark(p: ArgumentParser) -> None:
    p.add_argument(
        "mark",
        metavar="MARK",
        help="power-on, in-water, off-surface, back-at-surface, out-of-water, power-off",
    )
    p.add_argument("--sure", action="store_true", help="keep a time that looks like a slip without asking")


def _mark(args: Namespace, context: Context, logbook: Logbook, record: Record) -> int:
    from rovlog.usecases.dive_steps import mark

    written = mark(logbook, record, args.mark, by=args.by, confirmed=args.confirmed, **when(args))
    return said(context, written, args.mark.replace("-", " "))


def _add_event(p: ArgumentParser) -> None:
    p.add_argument("event", metavar="EVENT", help="housing-opened, connector-parted, knocked …")
    p.add_argument("--part", help="what it happened to")
    p.add_argument("--text", help="in words")


def _event(args: Namespace, context: Context, logbook: Logbook, record: Record) -> int:
    from rovlog.domain.dive import VOID_EVENTS
    from rovlog.usecases.dive_steps import log_event

    written = log_event(logbook, record, args.event, by=args.by, part=args.part, text=args.text, **when(args))
    return _said_with_reopened(context, logbook, record, written, VOID_EVENTS[args.event])


def _said_with_reopened(
    context: Context, logbook: Logbook, before: Record, written: Written, text: str
) -> int:
    """Say what is on the disk, and which items it put on the list again."""
    from rovlog.faces.reports.dive_text import reopened_data, reopened_words
    from rovlog.usecases.reopened_items import reopened_items

    items = reopened_items(logbook, before)
    return said(
        context, written, f"{text}\n  {reopened_words(items)}", more={"reopened": reopened_data(items)}
    )


def _add_trim(p: ArgumentParser) -> None:
    p.add_argument(
        "trim", nargs="+", type=pair, metavar="DEMAND=SHARE", help="e.g. heave=0.06; positive heave is down"
    )
    p.add_argument("--reason", help="why")


def _trim(args: Namespace, context: Context, logbook: Logbook, record: Record) -> int:
    from rovlog.domain.drift.words import trim_words
    from rovlog.usecases.dive_steps import log_trim

    trim = numbers(args.trim, "trim")
    written = log_trim(logbook, record, trim, by=args.by, reason=args.reason, **when(args))
    words = ", ".join(trim_words(d, v) for d, v in trim.items())
    return _said_with_reopened(context, logbook, record, written, words)


def _add_setup(p: ArgumentParser) -> None:
    p.add_argument("values", nargs="+", type=pair, metavar="NAME=VALUE",
                   help="steering_scheme=2 thruster_map=1 trim.heave=0.06 power_limit=0.8")  # fmt: skip


def _setup(args: Namespace, context: Context, logbook: Logbook, record: Record) -> int:
    from rovlog.usecases.dive_steps import state_setup

    return said(context, state_setup(logbook, record, nested(args.values), by=args.by, **when(args)),
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
        **when(args),
    )
    return said(context, written, "the box's readback")


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

    values = numbers(args.values, "value")
    written = log_reading(logbook, record, args.reading, values, by=args.by, source=args.source, **when(args))
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
        logbook, record, args.symptom, by=args.by, part=args.part, text=args.text, **when(args)
    )
    status = said(context, written, f"fault {args.symptom}; the vehicle is in quarantine until released")
    tell_commit(context, outcome)
    return status


def _add_note(p: ArgumentParser) -> None:
    p.add_argument("text", metavar="TEXT")


def _note(args: Namespace, context: Context, logbook: Logbook, record: Record) -> int:
    from rovlog.usecases.approve import require_text
    from rovlog.usecases.dive_steps import log

    require_text("note", args.text)
    return said(context, log(logbook, record, "note", {"text": args.text}, by=args.by, **when(args)), "note")


def _add_crew(p: ArgumentParser) -> None:
    p.add_argument("crew", nargs="+", type=pair, metavar="ROLE=PERSON")


def _crew(args: Namespace, context: Context, logbook: Logbook, record: Record) -> int:
    from rovlog.usecases.dive_steps import check_crew, entitlement_notes, log

    check_crew(logbook, once(args.crew))
    written = log(logbook, record, "crew", {"crew": once(args.crew)}, by=args.by, **when(args))
    for note in entitlement_notes(logbook, once(args.crew)):
        context.note(note)
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
    written = log(logbook, record, "place", fields, by=args.by, **when(args))
    return _said_with_reopened(context, logbook, record, written, "place")


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
        context, log(logbook, record, "fitted", fields, by=args.by, **when(args)), f"{args.part} fitted"
    )


def _add_correct(p: ArgumentParser) -> None:
    p.add_argument("entry", metavar="ENTRY", help="the entry's number or id")
    p.add_argument("changes", nargs="+", type=pair, metavar="FIELD=VALUE")
    p.add_argument("--reason", required=True)


def _correct(args: Namespace, context: Context, logbook: Logbook, record: Record) -> int:
    from rovlog.usecases.dive_steps import correct

    written = correct(
        logbook, record, args.entry, nested(args.changes), by=args.by, reason=args.reason, **when(args)
    )
    outcome = {"pass": "; judged anew, it passes", "fail": "; judged anew, it FAILED"}
    judged = outcome.get(str(dict(written.entry.fields.get("set", {})).get("outcome", "")), "")
    return said(
        context, written, f"correction of entry {args.entry}; the first text stays in the file{judged}"
    )


def _add_attach(p: ArgumentParser) -> None:
    p.add_argument("file", metavar="FILE", help="a file in the logbook's folder, e.g. attachments/plug.jpg")
    p.add_argument("--what", required=True, help="what it shows, and who holds the thing")


def _attach(args: Namespace, context: Context, logbook: Logbook, record: Record) -> int:
    from rovlog.usecases.attach_evidence import attach_evidence

    written = attach_evidence(logbook, record, args.file, what=args.what, by=args.by, **when(args))
    return said(context, written, f"{args.file} with its digest")


ENTRIES: Mapping[str, Row] = {
    "mark": (
        "mark a moment",
        "rovlog dive mark grebe in-water --by tamsin",
        _add_mark,
        _mark,
    ),
    "event": (
        "record what voids answers",
        "rovlog dive event grebe housing-opened --by tamsin",
        _add_event,
        _event,
    ),
    "trim": (
        "record a changed trim",
        "rovlog dive trim grebe heave=0.06 --by tamsin",
        _add_trim,
        _trim,
    ),
    "setup": (
        "record what the pilot says is set",
        "rovlog dive setup grebe steering_scheme=2 --by tamsin",
        _add_setup,
        _setup,
    ),
    "readback": (
        "type in what the box shows",
        "rovlog dive readback grebe --in-use steering_scheme=2 thruster_map=1 --by tamsin",
        _add_readback,
        _readback,
    ),
    "observe": OBSERVE,
    "reading": (
        "record a reading",
        "rovlog dive reading grebe clamp-meter current_a=7,5 --by tamsin",
        _add_reading,
        _reading,
    ),
    "fault": (
        "record a fault",
        'rovlog dive fault grebe yaw-reversed --text "turned to port on right stick" --by tamsin',
        _add_fault,
        _fault,
    ),
    "note": (
        "write a note",
        'rovlog dive note grebe "silt after ten minutes" --by tamsin',
        _add_note,
        _note,
    ),
    "crew": (
        "record a change of crew",
        "rovlog dive crew grebe pilot=tamsin --by tamsin",
        _add_crew,
        _crew,
    ),
    "place": (
        "record a change of place or water",
        "rovlog dive place grebe --water salt:11:31 --by tamsin",
        _add_place,
        _place,
    ),
    "fitted": (
        "record a part fitted",
        "rovlog dive fitted grebe tether-spare --to tether --by tamsin",
        _add_fitted,
        _fitted,
    ),
    "attach": (
        "keep a file as evidence",
        'rovlog dive attach grebe attachments/plug.jpg --what "plug 3, held by tamsin" --by tamsin',
        _add_attach,
        _attach,
    ),
    "correct": (
        "correct an entry by a further one",
        'rovlog dive correct grebe 1 site=outer-basin --reason "wrong place typed" --by tamsin',
        _add_correct,
        _correct,
    ),
}
