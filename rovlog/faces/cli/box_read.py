"""`rovlog box read`: from a port, a file or standard input, to a readback on record."""

from __future__ import annotations

import sys
from argparse import Namespace
from typing import TYPE_CHECKING

from rovlog.faces.cli.context import Context, Status
from rovlog.problems import UsageError

if TYPE_CHECKING:
    from rovlog.domain.drift.tables import BoxTables
    from rovlog.usecases.hear_box import Heard
    from rovlog.usecases.logbook import Logbook

LONGEST_ANSWER = 200


def run_read(args: Namespace, context: Context) -> int:
    """Hear one frame, record it where a record is named, and compare it with the baseline."""
    from rovlog.faces.reports.box_text import read_data, read_text
    from rovlog.usecases.logbook import Logbook
    from rovlog.usecases.read_box import box_of, drift_after, record_box
    from rovlog.usecases.recording import find_record

    name, is_piped = _sources(args)
    logbook = Logbook(context.book())
    record = find_record(logbook, name) if name is not None else None
    if record is not None and args.by is None:
        raise UsageError("who reads the box is not said", "add --by PERSON, or leave the record out")
    if args.by is not None:
        logbook.person(args.by)
    heard = _heard(args, context, logbook, box_of(logbook, record), is_piped)
    read = record_box(logbook, record, heard, by=args.by) if record is not None else None
    data, text = read_data(heard, read), read_text(heard, _tables(logbook, heard), read)
    drift = drift_after(logbook, record) if record is not None else None
    if drift is not None:
        from rovlog.faces.reports.drift_text import drift_data, drift_text

        data |= drift_data(drift.report) | {"notes": [*data["notes"], *drift.report.notes]}
        text += "\n" + drift_text(drift.report)
    context.show(data, text)
    if read is not None:
        from rovlog.faces.cli.record_frame import tell_commit

        tell_commit(context, read.commit)
    is_finding = bool(read and read.doubts) or bool(drift and (drift.report.deviations or drift.report.stops))
    return Status.FINDING if is_finding else Status.FINE


def _sources(args: Namespace) -> tuple[str | None, bool]:
    """The record named, and whether the bytes come from standard input; refuses two sources or none."""
    words = [w for w in args.words if w != "-"]
    is_piped = "-" in args.words
    if len(words) > 1:
        raise UsageError(
            f"one record is read into, not {len(words)}", "rovlog box read --port DEV DIVE --by P"
        )
    if (args.port is not None) + (args.file is not None) + is_piped != 1:
        raise UsageError(
            "rovlog box read needs one of --port DEV, --file F and -",
            "rovlog box ports lists the ports; a box without one is typed in: rovlog dive readback DIVE …",
        )
    return (words[0] if words else None), is_piped


def _heard(args: Namespace, context: Context, logbook: Logbook, box: str | None, is_piped: bool) -> Heard:
    from rovlog.usecases.hear_box import frame_in, hear_frame
    from rovlog.usecases.read_box import baud_of, refuse_in_water
    from rovlog.wiring import box_ports, piped_line, read_given

    if args.file is not None:
        return frame_in(read_given(args.file), args.file)
    if is_piped:
        return hear_frame(piped_line(), name="standard input", patience_s=args.patience_s, is_live=False)
    refuse_in_water(logbook, box)
    baud = args.baud or baud_of(logbook, box)
    confirm_opening(context, logbook, box, is_agreed=args.yes)
    with box_ports().open(args.port, baud) as line:
        return hear_frame(line, name=args.port, patience_s=args.patience_s, baud=baud)


def confirm_opening(context: Context, logbook: Logbook, box: str | None, *, is_agreed: bool) -> None:
    """Show the cautions, and ask unless --yes was given; UsageError where the answer is not yes."""
    from rovlog.faces.reports.box_text import LAPTOP_CAUTION, RESTART_CAUTION, cautions_text
    from rovlog.usecases.read_box import may_restart

    cautions = (LAPTOP_CAUTION, RESTART_CAUTION) if may_restart(logbook, box) else (LAPTOP_CAUTION,)
    context.note(cautions_text(*cautions))
    if not is_agreed and ask(context, "Open the port? (yes/no) ") != "yes":
        raise UsageError("the port was not opened", "answer yes, or give --yes once the caution is kept")


def ask(context: Context, question: str) -> str:
    """A person's answer in lower case, "" at the end of input. The question goes to standard error."""
    context.err.write(question)
    context.err.flush()
    if sys.stdin is None:  # started without one
        return ""
    # As bytes: what is typed or piped here need not be text.
    return sys.stdin.buffer.readline(LONGEST_ANSWER).decode("utf-8", "replace").strip().lower()


def _tables(logbook: Logbook, heard: Heard) -> BoxTables | None:
    from rovlog.usecases.box_codes import tables_of

    return tables_of(logbook, heard.frame.box) if heard.frame.box in logbook.stems("boxes") else None
