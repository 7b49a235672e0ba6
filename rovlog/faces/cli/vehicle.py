"""`rovlog vehicle …`: configurations shown, approved, withdrawn, compared and followed."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from typing import TYPE_CHECKING, Any

from rovlog.faces.cli.context import Context, Status
from rovlog.faces.cli.kept import answer, tell
from rovlog.faces.cli.parser import example, pair, subcommands
from rovlog.faces.cli.record_frame import once, tell_commit

if TYPE_CHECKING:
    from argparse import _SubParsersAction

    from rovlog.faces.cli.parser import CommandParser
    from rovlog.usecases.logbook import Logbook

SUMMARY = """Configurations: what they do, setting a value, approving and withdrawing, comparing two, and the
history of a value."""
EXAMPLE = """
rovlog vehicle show grebe
rovlog vehicle approve grebe --by oona --reason "stern thrusters moved out"
rovlog vehicle compare grebe@3 grebe
"""

SET = """Set one value of the configuration in the file that holds it: the vehicle's, the surface box's
entry in force, or a thruster model's. Only that value changes; comments and layout stay. What the change
does physically is computed first; what would not validate is refused whole, with the reason.

POINTER goes into the resolved configuration as `rovlog vehicle show --json` gives it: thrusters, housings
and loads by their id, the box's tables by the entry in force. With --by and --reason the file is committed
in that person's name. An approval is not changed by it: the baseline stays what it was."""
SET_EXAMPLE = """
rovlog vehicle set grebe /trim_defaults/heave 0,08 --preview
rovlog vehicle set grebe /thrusters/bow-port/polarity reversed --by oona --reason "leads crossed at the plug"
"""


def add_arguments(parser: ArgumentParser) -> None:
    """list, show, set, approve, withdraw, compare, history."""
    commands = subcommands(parser)
    listing = commands.add_parser("list", help="the vehicles", epilog=example("rovlog vehicle list"))
    listing.set_defaults(run=run_list)
    show = commands.add_parser(
        "show", help="what a configuration does", epilog=example("rovlog vehicle show grebe@3")
    )
    show.add_argument("vehicle", metavar="VEHICLE", help="grebe, grebe@3, grebe@<commit>, or a dive")
    show.set_defaults(run=run_show)
    approve = commands.add_parser(
        "approve",
        help="approve the working files as the next revision",
        epilog=example('rovlog vehicle approve grebe --by oona --reason "new map, tub tested"'),
    )
    approve.add_argument("vehicle", metavar="VEHICLE")
    approve.add_argument("--by", required=True, metavar="PERSON")
    approve.add_argument("--reason", required=True)
    approve.add_argument("--evidence", help="what it rests on: a test, a dive, a calculation")
    approve.add_argument(
        "--accept",
        action="append",
        type=pair,
        default=[],
        metavar="FINDING=TEXT",
        help="the reason for a finding that would stop a dive; again for each",
    )
    approve.set_defaults(run=run_approve)
    withdraw = commands.add_parser(
        "withdraw",
        help="withdraw an approval",
        epilog=example('rovlog vehicle withdraw grebe@3 --by oona --reason "map was wrong"'),
    )
    withdraw.add_argument("revision", metavar="VEHICLE@N")
    withdraw.add_argument("--by", required=True, metavar="PERSON")
    withdraw.add_argument("--reason", required=True)
    withdraw.set_defaults(run=run_withdraw)
    _add_set(commands)
    compare = commands.add_parser(
        "compare",
        help="two configurations side by side",
        epilog=example("rovlog vehicle compare grebe@2 grebe@3"),
    )
    compare.add_argument("a", metavar="A")
    compare.add_argument("b", metavar="B")
    compare.set_defaults(run=run_compare)
    history = commands.add_parser(
        "history",
        help="revisions, or one value's history",
        epilog=example("rovlog vehicle history grebe /trim_defaults/heave"),
    )
    history.add_argument("vehicle", metavar="VEHICLE")
    history.add_argument(
        "pointer", nargs="?", metavar="POINTER", help="RFC 6901, into the resolved configuration"
    )
    history.set_defaults(run=run_history)


def _add_set(commands: _SubParsersAction[CommandParser]) -> None:
    change = commands.add_parser(
        "set",
        help="set one value in the files, keeping comments and layout",
        description=SET,
        epilog=example(SET_EXAMPLE),
    )
    change.add_argument("vehicle", metavar="VEHICLE")
    change.add_argument("pointer", metavar="POINTER", help="into the configuration: /trim_defaults/heave")
    change.add_argument(
        "value", metavar="VALUE", help="a number (point or comma), true, false, a word, or [a, b, c]"
    )
    change.add_argument("--by", metavar="PERSON", help="commit it in this person's name")
    change.add_argument("--reason", metavar="TEXT", help="why, for the commit")
    change.add_argument("--preview", action="store_true", help="say what it would do, write nothing")
    change.set_defaults(run=run_set)


def run(args: Namespace, context: Context) -> int:
    """Never reached: a subcommand is required and sets its own."""
    raise NotImplementedError


def run_list(args: Namespace, context: Context) -> int:
    """Every vehicle with its revision in force and what departs from it."""

    def vehicles(logbook: Logbook) -> dict[str, Any]:
        from rovlog.faces.reports.vehicle_text import vehicles_data, vehicles_text
        from rovlog.usecases.list_vehicles import list_vehicles

        rows = list_vehicles(logbook)
        return answer({"vehicles": vehicles_data(rows)}, vehicles_text(rows))

    return tell(context, ["vehicle list"], vehicles)


def run_show(args: Namespace, context: Context) -> int:
    """Everything a configuration does, in words and numbers."""
    from rovlog.faces.reports.vehicle_text import shown_data, shown_text
    from rovlog.usecases.logbook import Logbook
    from rovlog.usecases.show_vehicle import show_vehicle

    shown = show_vehicle(Logbook(context.book()), args.vehicle)
    context.show(shown_data(shown), shown_text(shown))
    return Status.FINE


def run_approve(args: Namespace, context: Context) -> int:
    """Approve, or list the findings that still ask for a reason."""
    from rovlog.faces.reports.vehicle_text import approved_data, approved_text
    from rovlog.usecases.approve import approve_vehicle
    from rovlog.usecases.logbook import Logbook

    approved = approve_vehicle(
        Logbook(context.book()),
        args.vehicle,
        by=args.by,
        reason=args.reason,
        evidence=args.evidence,
        accept=once(args.accept),
    )
    context.show(approved_data(approved), approved_text(args.vehicle, approved))
    if approved.revision is None:
        return Status.FINDING
    tell_commit(context, approved.commit)
    return Status.FINE


def run_withdraw(args: Namespace, context: Context) -> int:
    """Withdraw an approval; it stays on file."""
    from rovlog.usecases.approve import withdraw_revision
    from rovlog.usecases.logbook import Logbook

    logbook = Logbook(context.book())
    approval, outcome = withdraw_revision(logbook, args.revision, by=args.by, reason=args.reason)
    logbook.forget()
    force = logbook.in_force(approval.vehicle)
    now = (
        f"revision {force.approval.spoken} is in force"
        if force.approval
        else f"nothing is in force: {force.why_none}"
    )
    data = {
        "vehicle": approval.vehicle,
        "withdrawn": approval.revision,
        "in_force": force.approval.revision if force.approval else None,
    }
    context.show(data, f"{args.revision} is withdrawn; {now}.\n")
    tell_commit(context, outcome)
    return Status.FINE


def run_set(args: Namespace, context: Context) -> int:
    """Say what one edit does, and write it unless only the preview was asked for."""
    from rovlog.faces.reports.edit_text import edit_data, edit_text
    from rovlog.problems import DocumentError
    from rovlog.usecases.edit_configuration import plan_edit, write_edit
    from rovlog.usecases.logbook import Logbook

    logbook = Logbook(context.book())
    try:
        planned = plan_edit(logbook, args.vehicle, args.pointer, args.value)
    except DocumentError:
        context.note("refused, and nothing is written:")
        raise
    written = None if args.preview else write_edit(logbook, planned, by=args.by, reason=args.reason)
    context.show(edit_data(planned, written), edit_text(planned, written))
    for note in written.notes if written else ():
        context.note(f"note: {note}")
    if written is not None and written.commit is not None:
        tell_commit(context, written.commit)
    return Status.FINE


def run_compare(args: Namespace, context: Context) -> int:
    """Differences leaf by leaf, with what each does."""
    from rovlog.faces.reports.vehicle_text import compared_data, compared_text
    from rovlog.usecases.compare_configurations import compare_configurations
    from rovlog.usecases.logbook import Logbook

    compared = compare_configurations(Logbook(context.book()), args.a, args.b)
    context.show(compared_data(compared), compared_text(compared))
    return Status.FINDING if compared.rows else Status.FINE


def run_history(args: Namespace, context: Context) -> int:
    """Revisions of a vehicle, or every value a pointer has had."""
    from rovlog.usecases.logbook import Logbook

    logbook = Logbook(context.book())
    if args.pointer is None:
        from rovlog.faces.reports.vehicle_text import revisions_data, revisions_text
        from rovlog.usecases.list_vehicles import list_revisions

        revisions = list_revisions(logbook, args.vehicle)
        context.show({"revisions": revisions_data(revisions)}, revisions_text(revisions, logbook.person_name))
        return Status.FINE
    from rovlog.faces.reports.audit_text import field_data, field_text
    from rovlog.usecases.audit_questions import follow_field

    notes: list[str] = []
    rows = follow_field(logbook, args.vehicle, args.pointer, notes)
    data = {**field_data(args.pointer, rows), "notes": notes}
    context.show(data, field_text(args.pointer, rows, logbook.person_name))
    for note in notes:
        context.note(f"note: {note}")
    return Status.FINE
