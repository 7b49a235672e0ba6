"""Subcommands beside the answers: timers, proposals for the list, emergency cards logged afterwards."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from collections.abc import Mapping
from typing import TYPE_CHECKING

from rovlog.faces.cli.context import Context
from rovlog.faces.cli.record_frame import Row, said, when

if TYPE_CHECKING:
    from rovlog.domain.dive import Record
    from rovlog.usecases.logbook import Logbook


def _add_timer(p: ArgumentParser) -> None:
    p.add_argument("item", metavar="ITEM", help="the item's id")
    p.add_argument("timer", nargs="?", metavar="TIMER", help="which of its timers, where it has several")


def _timer(args: Namespace, context: Context, logbook: Logbook, record: Record) -> int:
    from rovlog.faces.reports.watch_text import minutes
    from rovlog.usecases.timers import start_timer

    written = start_timer(logbook, record, args.item, args.timer, by=args.by, **when(args))
    values = written.entry.fields["values"]
    words = str(values["timer"]).replace("-", " ")
    return said(context, written, f"timer {words}, {minutes(values['duration_s'])}, runs")


def _add_propose(p: ArgumentParser) -> None:
    p.add_argument("item", metavar="ITEM", help="the item's id")
    p.add_argument("text", metavar="TEXT", help="what should change, and why")


def _propose(args: Namespace, context: Context, logbook: Logbook, record: Record) -> int:
    from rovlog.usecases.list_proposals import propose_change

    written = propose_change(logbook, record, args.item, args.text, by=args.by, **when(args))
    name = written.entry.fields["checklist"]
    return said(context, written, f"a proposal for {args.item}; rovlog checklist history {name} lists it")


def _add_card(p: ArgumentParser) -> None:
    p.add_argument("card", metavar="CARD", help="the card's id or code; --at says when it was opened")
    p.add_argument("--text", default="", help="what was seen and done")


def _card(args: Namespace, context: Context, logbook: Logbook, record: Record) -> int:
    from rovlog.usecases.emergency_cards import log_card_opened

    opened = when(args).get("at")
    written = log_card_opened(
        logbook, record, args.card, by=args.by, opened_at=opened, text=args.text, clock=None
    )
    return said(context, written, str(written.entry.fields["text"]))


WATCH: Mapping[str, Row] = {
    "timer": (
        "start a timer of an item",
        "rovlog dive timer grebe vacuum-hold settle --by tamsin",
        _add_timer,
        _timer,
    ),
    "propose": (
        "propose a change to the list from an item",
        'rovlog dive propose grebe reach "ask for the slack kept" --by tamsin',
        _add_propose,
        _propose,
    ),
    "card": (
        "log an emergency card that was opened",
        'rovlog dive card grebe Z5 --text "bubbles at the port dome, up at once" --by tamsin',
        _add_card,
        _card,
    ),
}
