"""`rovlog box pretend`: a stand-in box, and its knobs as lines on standard input."""

from __future__ import annotations

import os
import select
import sys
import time
from argparse import Namespace
from typing import TYPE_CHECKING

from rovlog.faces.cli.context import Context, Status
from rovlog.problems import UsageError

if TYPE_CHECKING:
    from rovlog.store.pretend_box import PretendBox

KNOBS = """\
Its knobs are lines typed here:
  off-on                      switch it off and on
  link connected              or disconnected, unknown
  outputs enabled             or isolated, unknown
  turn steering_scheme 3      set and store a number; trim_heave 0.1 for a trim
  nudge trim_heave 0.1        set it without storing it
  unplug                      go away
Ctrl-C ends it.
"""


def run_pretend(args: Namespace, context: Context) -> int:
    """Bring the stand-in to life, print its device, and let it live."""
    from rovlog.usecases.logbook import Logbook
    from rovlog.usecases.pretend_values import pretend_values
    from rovlog.wiring import pretend_box

    held = pretend_values(Logbook(context.book()), args.vehicle) | {
        "link": args.link,
        "outputs": args.outputs,
    }
    if not 0.02 <= args.period_s <= 60:
        raise UsageError(f"--period-s is {args.period_s:g}", "give seconds, 0.02 to 60")
    box = pretend_box(held, frozenset(args.misbehave), args.period_s, args.after)
    with box:
        context.show({"device": box.device, "box": held["box"]}, f"{box.device}\n")
        context.out.flush()
        context.note(f"a stand-in for {held['box']} on {box.device}. {KNOBS}")
        context.err.flush()
        _live(box, args.seconds, context)
    return Status.FINE


def _live(box: PretendBox, seconds: float | None, context: Context) -> None:
    """Step until the time is up or the box is gone; lines on standard input are its knobs."""
    end_s = None if seconds is None else time.monotonic() + seconds
    typed: bytes | None = b""
    while box.is_there and (end_s is None or time.monotonic() < end_s):
        box.step()
        typed = _type(box, typed, context)


def _type(box: PretendBox, typed: bytes | None, context: Context) -> bytes | None:
    """Take what was typed since; None once standard input has ended."""
    if typed is None:
        return None
    try:
        if not select.select([sys.stdin], [], [], 0)[0]:
            return typed
        data = os.read(sys.stdin.fileno(), 4096)
    except (OSError, ValueError):
        return None  # no standard input: the knobs are out of reach, the box lives on
    if not data:
        return None
    *lines, rest = (typed + data).split(b"\n")
    for line in lines:
        try:
            turn_knob(box, line.decode("utf-8", "replace").split())
        except UsageError as error:
            context.note(str(error))
    return rest[-200:]


def turn_knob(box: PretendBox, words: list[str]) -> None:
    """Do what one typed line says; UsageError where it says nothing the box knows."""
    match words:
        case []:
            return
        case ["off-on"]:
            box.power_cycle()
        case ["unplug"]:
            box.vanish()
        case ["link", ("connected" | "disconnected" | "unknown") as word]:
            box.held.link = word
        case ["outputs", ("enabled" | "isolated" | "unknown") as word]:
            box.held.outputs = word
        case [("turn" | "nudge") as how, name, value]:
            box.turn(name, _number(name, value), store=how == "turn")
        case _:
            raise UsageError(f"the stand-in has no knob {' '.join(words)!r}", KNOBS.strip())


def _number(name: str, text: str) -> float:
    from rovlog.domain.vehicle import DEMANDS

    most = {"steering_scheme": 999_999, "thruster_map": 999_999}
    trims = {f"trim_{d}" for d in DEMANDS} | {"power_limit"}
    if name not in (*most, *trims):
        raise UsageError(f"the stand-in holds no {name!r}", "it holds: " + ", ".join((*most, *sorted(trims))))
    try:
        value = float(text.replace(",", "."))
    except ValueError:
        raise UsageError(f"{text!r} is not a number", "write turn trim_heave 0.1") from None
    if name in most and value == int(value) and 0 <= value <= most[name]:
        return int(value)
    if name in trims and -1 <= value <= 1 and not (name == "power_limit" and value < 0):
        return value
    raise UsageError(f"{name} {text} is out of range", "numbers from 0, trims from -1 to 1")
