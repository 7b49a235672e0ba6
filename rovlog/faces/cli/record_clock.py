"""`rovlog dive clock`: somebody compared the laptop's clock with another one."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from collections.abc import Mapping
from typing import TYPE_CHECKING

from rovlog.faces.cli.context import Context
from rovlog.faces.cli.parser import number
from rovlog.faces.cli.record_frame import Row, said, when

if TYPE_CHECKING:
    from rovlog.domain.dive import Record
    from rovlog.usecases.logbook import Logbook


def _add_clock(p: ArgumentParser) -> None:
    p.add_argument("--against", required=True, metavar="CLOCK", help="the other clock, in words: a phone")
    p.add_argument(
        "--off-s",
        required=True,
        type=number,
        metavar="SECONDS",
        help="how far the laptop is ahead of it, in seconds; negative where it is behind, 0 where they agree",
    )


def _clock(args: Namespace, context: Context, logbook: Logbook, record: Record) -> int:
    from rovlog.domain.audit.agreed_clocks import comparison_words
    from rovlog.usecases.compare_clocks import compare_clocks

    other = {"against": args.against, "off_s": args.off_s}
    written = compare_clocks(logbook, record, by=args.by, **other, **when(args))
    return said(context, written, comparison_words(written.entry))


CLOCKS: Mapping[str, Row] = {
    "clock": (
        "say how far the laptop's clock is from another one",
        'rovlog dive clock grebe --against "the pool\'s clock" --off-s 2 --by tamsin',
        _add_clock,
        _clock,
    ),
}
