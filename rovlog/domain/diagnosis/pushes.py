"""The pushes that are considered, and how far the sticks may go when the vehicle is dry."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations

from rovlog.domain.allocation.gamepad import CONTROLS
from rovlog.domain.diagnosis.observation import Push

ANALOGUE_BUTTONS = frozenset({"left-front-bottom", "right-front-bottom"})
"""Buttons that are held part way on common controllers (common practice, no source)."""


def considered_pushes(controls: Sequence[str]) -> tuple[Push, ...]:
    """Each control at each end, then each two controls at their ends, in the order of `controls`."""
    ends = {control: tuple((control, end) for end in CONTROLS[control].ends) for control in controls}
    singles: list[Push] = [(end,) for control in controls for end in ends[control]]
    pairs: list[Push] = [
        tuple(sorted((a, b)))
        for first, second in combinations(controls, 2)
        for a in ends[first]
        for b in ends[second]
    ]
    return (*singles, *pairs)


def is_partial(control: str) -> bool:
    """True for a control that can be held part way: every axis, and a few buttons."""
    return not CONTROLS[control].is_button or control in ANALOGUE_BUTTONS


def scaled(push: Push, percent: int) -> Push:
    """The push with every control that can be held part way at `percent` of its end."""
    return tuple((control, end * percent / 100.0 if is_partial(control) else end) for control, end in push)
