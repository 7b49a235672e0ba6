"""The controls of a hand controller, by place, as the W3C Gamepad standard mapping lays them out."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from rovlog.problems import UsageError
from rovlog.values import dataclass


@dataclass(frozen=True, slots=True)
class Control:
    """One control: its raw range (no unit) and the words for rest-to-end at each end.

    Axes run from -1 to 1, forward and left negative; buttons from 0 (released) to 1 (pressed).
    `low` is the words for the low end ("left stick forward"), empty for a button; `high` those
    for the high end. `short_low` and `short_high` stand after the first of the two in a sentence.
    """

    control: str
    lowest: float
    low: str
    high: str
    short_low: str = ""
    short_high: str = ""

    @property
    def is_button(self) -> bool:
        """True for a control that only goes from released to pressed."""
        return self.lowest == 0.0

    @property
    def ends(self) -> tuple[float, ...]:
        """Raw values at full throw, in the order they are spoken: forward and right first."""
        if self.is_button:
            return (1.0,)
        return (-1.0, 1.0) if self.control.endswith("-y") else (1.0, -1.0)

    def words(self, value: float, *, is_short: bool = False) -> str:
        """The words for the end on the side of `value` ("left stick forward", short "forward")."""
        if value < 0:
            return self.short_low if is_short else self.low
        return self.short_high if is_short else self.high


def _stick(side: str) -> tuple[Control, Control]:
    x = Control(f"{side}-stick-x", -1.0, f"{side} stick left", f"{side} stick right", "left", "right")
    y = Control(f"{side}-stick-y", -1.0, f"{side} stick forward", f"{side} stick back", "forward", "back")
    return x, y


def _button(control: str, words: str) -> Control:
    return Control(control, 0.0, "", words)


_AXES = (*_stick("left"), *_stick("right"))
_BUTTONS = (
    _button("right-cluster-bottom", "right cluster bottom button"),
    _button("right-cluster-right", "right cluster right button"),
    _button("right-cluster-left", "right cluster left button"),
    _button("right-cluster-top", "right cluster top button"),
    _button("left-front-top", "left front top button"),
    _button("right-front-top", "right front top button"),
    _button("left-front-bottom", "left front bottom button"),
    _button("right-front-bottom", "right front bottom button"),
    _button("centre-left", "centre left button"),
    _button("centre-right", "centre right button"),
    _button("left-stick-press", "left stick pressed in"),
    _button("right-stick-press", "right stick pressed in"),
    _button("left-cluster-top", "left cluster top button"),
    _button("left-cluster-bottom", "left cluster bottom button"),
    _button("left-cluster-left", "left cluster left button"),
    _button("left-cluster-right", "left cluster right button"),
    _button("centre-centre", "centre middle button"),
)

CONTROLS: dict[str, Control] = {c.control: c for c in (*_AXES, *_BUTTONS)}
"""Every control by its name: axes 0 to 3, then buttons 0 to 16, in the standard's order.

Source: W3C, Gamepad, "Remapping", standard gamepad: buttons 0-3 right cluster, 4-7 front, 8-9 centre,
10-11 sticks pressed, 12-15 left cluster, 16 centre; axes 0-1 left stick, 2-3 right stick.
"""


def require_control(control: str, value: float) -> Control:
    """The control of that name, after checking that `value` lies in its range.

    Raises:
        UsageError: no such control (with the nearest name), or a value outside its range.
    """
    found = CONTROLS.get(control)
    if found is None:
        raise UsageError(f"there is no control {control!r}", f"did you mean {nearest(control, CONTROLS)}?")
    if not found.lowest <= value <= 1.0:
        raise UsageError(
            f"{control} is {value:g}; expected {found.lowest:g} to 1",
            f"give {control} between {found.lowest:g} and 1",
        )
    return found


def nearest(word: str, names: Iterable[str]) -> str:
    """The name closest to a misspelt word; the first name where nothing is close."""
    from difflib import get_close_matches

    candidates = list(names)
    return (get_close_matches(word, candidates, n=1, cutoff=0.0) or candidates)[0]


def sticks_words(sticks: Mapping[str, float]) -> str:
    """Positions of controls in a pilot's words: "left stick forward, right stick right 40 %"."""
    words = []
    for control, position in sticks.items():
        if abs(position) < 0.0005:
            continue
        part = "" if abs(position) > 0.9995 else f" {100 * abs(position):.0f} %"
        words.append(CONTROLS[control].words(position) + part)
    return ", ".join(words) or "all controls at rest"
