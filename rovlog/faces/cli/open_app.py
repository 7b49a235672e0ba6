"""`rovlog` alone: opens the app on the logbook; without a terminal it says what to type next."""

from __future__ import annotations

import io
import os
import sys

from rovlog.faces.cli.context import Context, Status

NEXT = """\
The logbook is in {root}. The app needs a terminal; without one, type for instance:
  rovlog vehicle list            vehicles, what is approved, what is open
  rovlog dive list               dives, newest first
  rovlog dive start VEHICLE …    start a dive
  rovlog dive show VEHICLE       the open dive: items, and what stops it
  rovlog drift VEHICLE           baseline, files, box and pilot side by side
  rovlog --help                  every command
"""


def run(context: Context) -> int:
    """Open the app; its exit status. With --json, or without a terminal, say what to type next."""
    book = context.book()
    if context.json or not is_terminal():
        context.show({"logbook": book.files.root, "app": None}, NEXT.format(root=book.files.root))
        return Status.FINE
    from rovlog.faces.screens.app import RovlogApp

    make_writes_whole()
    app = RovlogApp(book)
    return app.run() or app.return_code or Status.FINE


def make_writes_whole() -> None:
    """Give standard error a buffer where the interpreter was told to do without (PYTHONUNBUFFERED).

    The app paints there. A bare write to a terminal may stop half way, for instance while another thread
    starts git, and says so only by a number nobody reads: the rest of the picture would be lost.
    """
    stream = sys.__stderr__
    raw = getattr(stream, "buffer", None)
    if stream is not None and isinstance(raw, io.RawIOBase):
        whole = io.TextIOWrapper(
            io.BufferedWriter(raw), encoding=stream.encoding, errors=stream.errors, newline="\n"
        )
        setattr(sys, "__stderr__", whole)  # noqa: B010 - declared as final, which it is not


def is_terminal() -> bool:
    """True where a person sits at a terminal that can show the app."""
    streams = (sys.stdin, sys.stdout)  # None where the program was started without one
    return all(s is not None and s.isatty() for s in streams) and os.environ.get("TERM", "") != "dumb"
