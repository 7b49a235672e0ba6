"""`rovlog audit …`: what happened, what flew, what changed, what to suspect."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from typing import TYPE_CHECKING, Any

from rovlog.faces.cli.audit_cases import add_case_commands, notes_said, tell_notes
from rovlog.faces.cli.context import Context, Status
from rovlog.faces.cli.kept import answer, tell
from rovlog.faces.cli.parser import example, subcommands

if TYPE_CHECKING:
    from rovlog.usecases.logbook import Logbook

SUMMARY = "After a fault: the timeline, what changed, what to suspect, what to try, what is still open."
EXAMPLE = """
rovlog audit timeline --vehicle grebe --since 2026-06-01
rovlog audit flown /thrusters/bow-port/polarity reversed --vehicle grebe
rovlog audit suspects --vehicle grebe --symptom yaw-dead
"""


def add_arguments(parser: ArgumentParser) -> None:
    """timeline, flown, between, known-good, field, suspects, then what is done about faults."""
    commands = subcommands(parser)
    line = commands.add_parser(
        "timeline",
        help="everything that happened to a vehicle, a box or a part, in order",
        epilog=example("rovlog audit timeline --box amber-box --since 2026-06-01"),
    )
    line.add_argument("--since", metavar="TIME", help="from this day or RFC 3339 time on, itself included")
    line.add_argument("--until", metavar="TIME", help="up to this day or RFC 3339 time, itself included")
    subject = line.add_mutually_exclusive_group(required=True)
    for name in ("vehicle", "box", "part"):
        subject.add_argument(f"--{name}", metavar=name.upper(), help=f"the {name} it is of")
    line.set_defaults(run=run_timeline)
    flown = commands.add_parser(
        "flown",
        help="which dives flew with a value",
        epilog=example("rovlog audit flown /control_box/thruster_map 2 --vehicle grebe"),
    )
    flown.add_argument("pointer", metavar="POINTER")
    flown.add_argument("value", nargs="?", metavar="VALUE")
    _vehicle(flown)
    flown.set_defaults(run=run_flown)
    between = commands.add_parser(
        "between",
        help="two dives side by side",
        epilog=example("rovlog audit between grebe-20260411-vgfe grebe-20260418-didk"),
    )
    between.add_argument("first", metavar="DIVE")
    between.add_argument("second", metavar="DIVE")
    between.set_defaults(run=run_between)
    good = commands.add_parser(
        "known-good",
        help="the last dive on which it worked, and all changes since",
        epilog=example("rovlog audit known-good --vehicle grebe --symptom yaw-dead"),
    )
    _vehicle(good)
    good.add_argument("--symptom", help="default: any fault")
    good.set_defaults(run=run_known_good)
    field = commands.add_parser(
        "field",
        help="every value a field has had",
        epilog=example("rovlog audit field /trim_defaults/heave --vehicle grebe"),
    )
    field.add_argument("pointer", metavar="POINTER")
    _vehicle(field)
    field.set_defaults(run=run_field)
    suspects = commands.add_parser(
        "suspects",
        help="which change is to blame",
        epilog=example("rovlog audit suspects --vehicle grebe --symptom yaw-dead"),
    )
    _vehicle(suspects)
    suspects.add_argument("--symptom", help="default: any fault")
    suspects.set_defaults(run=run_suspects)
    add_case_commands(commands)


def _vehicle(parser: ArgumentParser) -> None:
    parser.add_argument("--vehicle", required=True, metavar="VEHICLE")


def run(args: Namespace, context: Context) -> int:
    """Never reached: a subcommand is required and sets its own."""
    raise NotImplementedError


def run_timeline(args: Namespace, context: Context) -> int:
    """Print the timeline of a vehicle, a box or a part."""
    kind = next(k for k in ("vehicle", "box", "part") if getattr(args, k) is not None)
    subject, edges = getattr(args, kind), (args.since or "", args.until or "")
    question = ["audit timeline", kind, subject, *edges]
    return tell(context, question, lambda logbook: _timeline(logbook, kind, subject, *edges))


def _timeline(logbook: Logbook, kind: str, subject: str, since: str, until: str) -> dict[str, Any]:
    from rovlog.faces.reports.timeline_text import timeline_data, timeline_text
    from rovlog.usecases.audit_timeline import timeline_for_box, timeline_for_part, timeline_for_vehicle

    ways = {"vehicle": timeline_for_vehicle, "box": timeline_for_box, "part": timeline_for_part}
    found = ways[kind](logbook, subject, since, until)
    data = {kind: subject, "moments": timeline_data(found.moments), "notes": list(found.notes)}
    return answer(data, timeline_text(found.moments, logbook.person_name), notes_said(found.notes))


def run_flown(args: Namespace, context: Context) -> int:
    """Print the dives that flew with it."""
    from rovlog.faces.reports.audit_text import flown_data, flown_text
    from rovlog.usecases.audit_questions import dives_that_flew
    from rovlog.usecases.logbook import Logbook

    notes: list[str] = []
    rows = dives_that_flew(Logbook(context.book()), args.vehicle, args.pointer, args.value, notes)
    data = {"vehicle": args.vehicle, **flown_data(args.pointer, rows), "notes": notes}
    context.show(data, flown_text(args.pointer, rows))
    tell_notes(context, notes)
    return Status.FINE


def run_between(args: Namespace, context: Context) -> int:
    """Print what differs between two dives."""
    from rovlog.faces.reports.audit_text import between_data, between_text
    from rovlog.faces.reports.since_text import since_data
    from rovlog.usecases.changes_since import changes_between
    from rovlog.usecases.logbook import Logbook

    logbook = Logbook(context.book())
    notes: list[str] = []
    found, changes = changes_between(logbook, args.first, args.second, notes)
    data = between_data(found) | {"effects": since_data(changes), "notes": notes}
    context.show(data, between_text(found, logbook.person_name, changes))
    tell_notes(context, notes)
    return Status.FINE


def run_known_good(args: Namespace, context: Context) -> int:
    """Print the last known good dive and what changed since."""
    from rovlog.faces.reports.audit_text import between_data, between_text, known_good_data, known_good_text
    from rovlog.faces.reports.since_text import since_data
    from rovlog.usecases.audit_questions import last_good
    from rovlog.usecases.changes_since import changes_since
    from rovlog.usecases.logbook import Logbook

    logbook = Logbook(context.book())
    found = last_good(logbook, args.vehicle, args.symptom)
    text, since = known_good_text(found.good), None
    if found.since is not None:
        changes = changes_since(found.history, found.since)
        text += "\n" + between_text(found.since, logbook.person_name, changes)
        since = between_data(found.since) | {"effects": since_data(changes)}
    data = {
        "last_known_good": known_good_data(found.good),
        "since": since,
        "notes": list(found.history.notes),
    }
    context.show(data, text)
    tell_notes(context, found.history.notes)
    return Status.FINE


def run_field(args: Namespace, context: Context) -> int:
    """Print the life of a field."""
    from rovlog.faces.reports.audit_text import field_data, field_text
    from rovlog.usecases.audit_questions import follow_field
    from rovlog.usecases.logbook import Logbook

    logbook = Logbook(context.book())
    notes: list[str] = []
    rows = follow_field(logbook, args.vehicle, args.pointer, notes)
    data = {"vehicle": args.vehicle, **field_data(args.pointer, rows), "notes": notes}
    context.show(data, field_text(args.pointer, rows, logbook.person_name))
    tell_notes(context, notes)
    return Status.FINE


def run_suspects(args: Namespace, context: Context) -> int:
    """Print the ranked suspects with reasons."""

    def suspects(logbook: Logbook) -> dict[str, Any]:
        from rovlog.faces.reports.audit_text import suspects_data, suspects_text
        from rovlog.usecases.find_suspects import find_suspects

        found = find_suspects(logbook, args.vehicle, args.symptom)
        ranking = found.ranking
        data = suspects_data(ranking)
        data["notes"] = list(dict.fromkeys([*data.get("notes", ()), *found.history.notes]))
        return answer(data, suspects_text(ranking), notes_said(found.history.notes))

    return tell(context, ["audit suspects", args.vehicle, args.symptom], suspects)
