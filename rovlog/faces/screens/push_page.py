"""The page of the function test: one push large, then each thruster in turn. It tells no prediction."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from rich.text import Text

from rovlog.domain.diagnosis.dry_limits import percent
from rovlog.domain.diagnosis.function_test import name_of
from rovlog.faces.reports.diagnosis_text import push_words, short_lines
from rovlog.faces.reports.dry_text import dry_words
from rovlog.faces.reports.push_text import CAUTION, burst_words, progress_words
from rovlog.faces.screens.drawing import Pen
from rovlog.values import dataclass

if TYPE_CHECKING:
    from rovlog.domain.diagnosis.observation import Push
    from rovlog.usecases.diagnose import Diagnosed
    from rovlog.usecases.function_test import FunctionTest

FLOW_KEYS: Mapping[str, str] = {
    "8": "bow",
    "2": "stern",
    "4": "port",
    "6": "starboard",
    "9": "up",
    "3": "down",
    "5": "none",
    "0": "unseen",
}
"""Which digit says which flow: they lie on a keypad as the ways lie on the vehicle seen from above."""

KEYPAD = (("", "8", "9"), ("4", "5", "6"), ("", "2", "3"), ("0", "", ""))

SHORT_CAUTION = "Clamped; hands, hair, cords clear. Ribbon on a rod or the wash, never a hand."

ROOMY = 60
"""Columns from which everything is said in full."""


@dataclass(frozen=True, slots=True)
class PushView:
    """What is shown of the test: as it was read `gone_s` ago, what is answered so far, and what is found.

    `push` is the push in hand, None where nothing is left; `at` the thruster that is asked for.
    """

    title: str
    test: FunctionTest
    push: Push | None
    gone_s: float
    answers: Mapping[str, str]
    at: int
    found: Diagnosed | None
    is_working: bool

    @property
    def is_watching(self) -> bool:
        """True from "clear" until what was seen is kept."""
        return self.test.called is not None

    @property
    def thrusters(self) -> list[str]:
        """The thrusters in the order they are asked for."""
        return [t.thruster for t in self.test.configuration.thrusters]


def push_page(view: PushView, width: int, height: int, pen: Pen, *, has_aside: bool) -> list[Text]:
    """The page for this width and height; with `has_aside` what was found stands beside it."""
    right = pen.line((f" {progress_words(view.test.progress)} ", "quiet"))
    lines = [pen.beside(pen.line((view.title, "strong")), right, width)] if height >= 12 else []
    lines += _push_lines(view, width, pen)
    if view.is_watching:
        return [*lines, *_watch_lines(view, width, height, pen)]
    lines += _ready_lines(view, width, height, pen)
    if not has_aside:
        lines += [pen.line("")] * (height >= 16) + found_lines(view, width, pen)
    return lines


def _push_lines(view: PushView, width: int, pen: Pen) -> list[Text]:
    """The push in the pilot's words, how far the stick goes, and how long."""
    test = view.test
    if view.push is None:
        words = "The whole test is watched." if not test.left else "What is left cannot be made in air."
        return pen.fold(words, width, "challenge")
    names = [p.name for p in test.pushes]
    mine = name_of(dict(view.push))
    number = f"PUSH {names.index(mine) + 1}" if mine in names else "A PUSH THAT TELLS"
    lines = pen.fold(push_words(view.push), width, "challenge", (f" {number} ", "picked"), 2)
    if width >= ROOMY:
        return [*lines, *pen.fold(burst_words(test), width, "text", ("  ", "text"))]
    limits = test.dry.limits
    short = (
        f"{limits.burst_s:g} s at most, {percent(limits.command_share)} of command"
        if test.is_dry
        else "in water"
    )
    return [*lines, *pen.fold(short, width, "text", ("  ", "text"))]


def _ready_lines(view: PushView, width: int, height: int, pen: Pen) -> list[Text]:
    """Caution and dry running before a burst; what is left for the water where nothing else is."""
    test = view.test
    lines: list[Text] = []
    if view.push is not None:
        words = CAUTION if width >= ROOMY else SHORT_CAUTION
        lines += pen.fold(words, width, "strong", (" CAUTION ", "caution"), 2)
        tender = (
            "the tender calls “clear”: then c, and push" if width >= ROOMY else "“clear” called: c, and push"
        )
        lines += pen.fold(tender, width, "strong")
    elif test.only_wet:
        lines += pen.fold(f"{test.only_wet[0].why_not_dry}; w says that she is in water or in a tub", width)
    else:
        lines += pen.fold("esc goes back to the item: enter there takes the count", width)
    if test.is_dry:
        waits = test.dry.is_spent or test.dry.wait_s - view.gone_s > 0
        lines += pen.fold(
            dry_words(test.dry, view.gone_s, is_short=width < ROOMY), width, "deferred" if waits else "text"
        )
    else:
        lines += pen.fold("in water or in a tub: dry running is not counted", width)
    return lines


def _watch_lines(view: PushView, width: int, height: int, pen: Pen) -> list[Text]:
    """The thruster that is asked for, the keys for where it throws, and what was answered so far."""
    test, names = view.test, view.thrusters
    lines: list[Text] = []
    left_s = math.ceil(max(0.0, test.dry.wait_s - test.dry.limits.rest_s - view.gone_s))
    if test.is_dry and height >= 12:
        words = f"burst: {left_s} s left, then back to the middle" if left_s else "sticks in the middle"
        lines += pen.fold(words, width, "caution" if left_s else "text", ("  ", "text"))
    if view.at >= len(names):
        said = ", ".join(f"{t} {view.answers.get(t, 'unseen')}" for t in names)
        return [
            *lines,
            *pen.fold(said, width),
            *pen.fold("enter keeps it; backspace takes the last back", width, "strong"),
        ]
    medium = "air" if test.is_dry else "water"
    asked = pen.line((names[view.at], "picked"))
    head = pen.line((f"{view.at + 1}/{len(names)} ", "quiet"))
    tail = pen.line((f" throws {medium} toward", "strong"))
    lines.append(head.append_text(asked).append_text(tail))
    lines += _keypad(view, width, pen)
    if height >= 16:
        lines.append(pen.line(""))
        for place, name in enumerate(names):
            mark = "▸" if place == view.at else ("✓" if name in view.answers else "·")
            style = "strong" if place == view.at else ("answered" if name in view.answers else "quiet")
            lines.append(pen.line((f"  {mark} {name:<22} {view.answers.get(name, '')}", style)))
    return lines


def _keypad(view: PushView, width: int, pen: Pen) -> list[Text]:
    """The digits as they lie on a keypad, each to be clicked as well."""
    cell = min(16, max(10, (width - 2) // 3))
    lines = []
    for row in KEYPAD:
        line = pen.line("  ")
        for digit in row:
            if digit:
                word = FLOW_KEYS[digit]
                line.append_text(pen.line((f" {digit} ", "key")))
                line.append_text(pen.deed(f" {word:<{cell - 4}}", "strong", f"see:{word}"))
            else:
                line.append_text(pen.line(" " * cell))
        line.truncate(width)
        lines.append(line)
    return lines


def found_lines(view: PushView, width: int, pen: Pen) -> list[Text]:
    """What was found so far, with probabilities, and the push that would tell most; "" while watching."""
    if view.is_watching:
        return pen.fold("what was found is shown once this push is kept", width, "quiet")
    if view.found is None:
        words = "working out what that says …" if view.is_working else "no push has been watched yet"
        return pen.fold(words, width, "quiet")
    lines = [pen.line(("What was seen so far says", "strong"))]
    for chance, words in short_lines(view.found):
        lines += pen.fold(words, width, "computed", (f"{chance:>9}  ", "strong"))
    lines += _proposal_lines(view.found, width, pen)
    return lines


def _proposal_lines(found: Diagnosed, width: int, pen: Pen) -> Sequence[Text]:
    diagnosis = found.diagnosis
    push = diagnosis.next_push
    if push is None:
        return pen.fold(f"no further push: {diagnosis.why_no_push}", width, "text")
    return pen.fold(f"would tell most next: {push_words(push.push)} (g takes it)", width, "text")
