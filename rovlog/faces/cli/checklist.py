"""`rovlog checklist …`: the lists themselves."""

from __future__ import annotations

import json
from argparse import ArgumentParser, Namespace
from typing import TYPE_CHECKING, Any

from rovlog.faces.cli.context import Context, Status
from rovlog.faces.cli.kept import answer, tell
from rovlog.faces.cli.parser import example, subcommands

if TYPE_CHECKING:
    from rovlog.usecases.logbook import Logbook

SUMMARY = "The checklists: one in full, two revisions side by side, the history of one."
EXAMPLE = """
rovlog checklist show pre-dive --vehicle grebe
rovlog checklist history pre-dive
"""


def add_arguments(parser: ArgumentParser) -> None:
    """list, show, compare, history."""
    commands = subcommands(parser)
    listing = commands.add_parser("list", help="the lists", epilog=example("rovlog checklist list"))
    listing.set_defaults(run=run_list)
    show = commands.add_parser(
        "show", help="one list in full", epilog=example("rovlog checklist show pre-dive --vehicle grebe")
    )
    show.add_argument("checklist", metavar="CHECKLIST", help="pre-dive, or pre-dive@<commit>")
    show.add_argument("--vehicle", metavar="VEHICLE", help="with this vehicle's limits filled in")
    show.set_defaults(run=run_show)
    compare = commands.add_parser(
        "compare",
        help="two lists side by side",
        epilog=example("rovlog checklist compare launch recovery"),
    )
    compare.add_argument("a", metavar="A")
    compare.add_argument("b", metavar="B")
    compare.set_defaults(run=run_compare)
    history = commands.add_parser(
        "history", help="who changed a list, and why", epilog=example("rovlog checklist history pre-dive")
    )
    history.add_argument("checklist", metavar="CHECKLIST")
    history.set_defaults(run=run_history)


def run(args: Namespace, context: Context) -> int:
    """Never reached: a subcommand is required and sets its own."""
    raise NotImplementedError


def run_list(args: Namespace, context: Context) -> int:
    """Every list with its revision and number of items."""
    from rovlog.faces.reports.plain import clean
    from rovlog.problems import RovlogError
    from rovlog.usecases.logbook import Logbook
    from rovlog.usecases.show_checklists import checklist_document, list_names

    logbook = Logbook(context.book())
    # Straight from the documents: as values they would cost more than all the rest of this command.
    documents, broken = [], []
    for name in list_names(logbook):
        try:
            documents.append(checklist_document(logbook, name))
        except RovlogError as error:
            broken.append({"checklist": name, "error": error.message, "mend": error.mend})
    data = [
        {
            **{key: d.get(key) for key in ("checklist", "title", "phase", "revision")},
            "items": sum(len(section["items"]) for section in d["sections"]),
        }
        for d in documents
    ]
    lines = [
        f"{d['checklist']:<12} revision {d['revision']}  {d['items']:>3} items  {clean(str(d['title']))}"
        for d in data
    ]
    lines += [f"{d['checklist']:<12} cannot be used: {clean(d['error'])}" for d in broken]
    context.show({"checklists": data, "broken": broken}, "\n".join(lines) + "\n")
    if broken:
        context.note("rovlog validate checklists says how to mend it")
    return Status.FINE


LOOKED_INTO = ("approvals", "boxes", "checklists", "thrusters", "vehicles")
"""Where a list and a vehicle's limits come from: not from thousands of dives."""


def run_show(args: Namespace, context: Context) -> int:
    """One list in full, with cautions, limits and why."""
    question = ["checklist show", args.checklist, args.vehicle]
    return tell(
        context, question, lambda logbook: _shown(logbook, args.checklist, args.vehicle), within=LOOKED_INTO
    )


def _shown(logbook: Logbook, checklist: str, vehicle: str | None) -> dict[str, Any]:
    from rovlog.domain.checks.state import ItemState
    from rovlog.faces.reports.check_text import item_block
    from rovlog.faces.reports.plain import clean
    from rovlog.usecases.computed_quantities import configuration_quantities
    from rovlog.usecases.configurations import named
    from rovlog.usecases.show_checklists import checklist_document, checklist_values

    document = checklist_document(logbook, checklist)
    values = checklist_values(document)
    if values.phase == "emergency":
        from rovlog.faces.reports.card_text import cards_text

        return answer(document, cards_text(values))
    resolved: Any = {}
    computed: dict[str, float | None] = {}
    if vehicle:
        chosen = named(logbook, vehicle)
        resolved = chosen.resolved
        values = checklist_values(document, resolved)
        computed, _ = configuration_quantities(logbook, chosen, None, None)
    lines = [f"{clean(values.title)}  revision {values.revision}  {values.style.replace('-', ' and ', 1)}"]
    if values.reason or values.approved_by:
        by = f"approved by {clean(values.approved_by)}" if values.approved_by else "approver not named"
        day = f", {values.at[:10]}" if values.at else ""
        lines.append(f"{by}{day}: {clean(values.reason) or 'no reason given'}")
    for section in values.sections:
        style = f"  ({section.style})" if section.style else ""
        lines += ["", f"{section.code} {clean(section.title)}".strip() + style, ""]
        lines += [item_block(i, ItemState(i.item, "open"), resolved, computed) + "\n" for i in section.items]
        if section.completion:
            lines.append(f"completion call: {clean(section.completion)}")
    return answer(document, "\n".join(lines) + "\n")


def run_compare(args: Namespace, context: Context) -> int:
    """Items added, removed and changed."""
    from rovlog.faces.reports.plain import clean
    from rovlog.usecases.logbook import Logbook
    from rovlog.usecases.show_checklists import compare_checklists

    rows = compare_checklists(Logbook(context.book()), args.a, args.b)
    lines = []
    for row in rows:
        lines.append(f"{row.item}: {row.what}")
        for key, before, after in row.changes:
            said = [
                clean(json.dumps(v, ensure_ascii=False)) if v is not None else "not there"
                for v in (before, after)
            ]
            lines.append(f"  {key}: {said[0]} -> {said[1]}")
    data = [
        {"item": r.item, "what": r.what, "changes": [{"key": k, "a": a, "b": b} for k, a, b in r.changes]}
        for r in rows
    ]
    context.show({"differences": data}, "\n".join(lines or ["the lists are the same"]) + "\n")
    return Status.FINDING if rows else Status.FINE


def run_history(args: Namespace, context: Context) -> int:
    """Who changed it, when, and why; and what was proposed from its items."""
    from rovlog.faces.reports.list_history_text import list_history_data, list_history_text
    from rovlog.usecases.list_proposals import proposals
    from rovlog.usecases.logbook import Logbook
    from rovlog.usecases.show_checklists import checklist_document, checklist_history

    logbook = Logbook(context.book())
    rows = checklist_history(logbook, args.checklist)
    proposed = proposals(logbook, args.checklist, checklist_document(logbook, args.checklist)["revision"])
    data = {"checklist": args.checklist, **list_history_data(rows, proposed)}
    context.show(data, list_history_text(rows, proposed, logbook.person_name))
    return Status.FINE
