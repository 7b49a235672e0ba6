"""`rovlog box restore`: the approved setup put back, a person confirming each number."""

from __future__ import annotations

from argparse import Namespace
from typing import TYPE_CHECKING

from rovlog.faces.cli.box_read import ask, confirm_opening
from rovlog.faces.cli.context import Context, Status

if TYPE_CHECKING:
    from rovlog.usecases.restore_steps import Step


class AskedHands:
    """The person at the box, asked on the terminal."""

    def __init__(self, context: Context) -> None:
        """Take where questions go."""
        self._context = context

    def confirms(self, step: Step, number: int, of: int, *, is_sent: bool) -> bool:
        """Show one step and ask."""
        from rovlog.faces.reports.box_restore_text import step_text

        self._context.note(step_text(step, number, of, is_sent=is_sent))
        question = "Send it? (yes/no) " if is_sent else "Is it set? (yes/no) "
        return ask(self._context, question) == "yes"

    def has_power_cycled(self) -> bool:
        """Ask for the box to be switched off and on."""
        return ask(self._context, "Now switch the box off and on. Is it on again? (yes/no) ") == "yes"


def run_restore(args: Namespace, context: Context) -> int:
    """Put the approved setup back, and say whether it is proven."""
    from rovlog.faces.cli.record_frame import tell_commit
    from rovlog.faces.reports.box_restore_text import SET_CAUTION, restored_data, restored_text
    from rovlog.faces.reports.box_text import cautions_text
    from rovlog.usecases.logbook import Logbook
    from rovlog.usecases.read_box import baud_of, refuse_in_water
    from rovlog.usecases.recording import find_record
    from rovlog.usecases.restore_box import restore
    from rovlog.usecases.restore_steps import approved_setup
    from rovlog.wiring import box_ports

    logbook = Logbook(context.book())
    record = find_record(logbook, args.record)
    wanted = approved_setup(logbook, record)
    logbook.person(args.by)
    refuse_in_water(logbook, wanted.box, even_if_gentle=True)
    context.note(cautions_text(SET_CAUTION))
    confirm_opening(context, logbook, wanted.box, is_agreed=args.yes)
    restored = restore(
        logbook,
        record,
        by=args.by,
        ports=box_ports(),
        device=args.port,
        baud=args.baud or baud_of(logbook, wanted.box),
        hands=AskedHands(context),
        patience_s=args.patience_s,
    )
    context.show(restored_data(restored), restored_text(restored))
    tell_commit(context, (restored.after or restored.before).commit)
    return Status.FINE if restored.is_proven else Status.FINDING
