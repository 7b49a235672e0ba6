"""What is typed into forms, as values: what a box holds, and name=number pairs."""

from __future__ import annotations

from typing import Any

from rovlog.faces.screens.dialogs import Blank
from rovlog.faces.screens.start_forms import number_in
from rovlog.problems import UsageError


def box_blanks(initial: str) -> list[Blank]:
    """What a box holds, as lines of a form."""
    return [
        Blank("steering_scheme", "steering scheme, its number", initial),
        Blank("thruster_map", "thruster map, its number", initial),
        Blank("trim", "trims", hint="heave=0,05 yaw=-0,02; empty: not said"),
        Blank("power_limit", "power limit", hint="share of full; empty: not said"),
    ]


def box_values(values: dict[str, str]) -> dict[str, Any]:
    """What was written about a box, keyed as in a readback."""
    found: dict[str, Any] = {}
    for name in ("steering_scheme", "thruster_map"):
        if values[name]:
            if not values[name].isdigit():
                raise UsageError(
                    f"{name.replace('_', ' ')} is {values[name]!r}", "give the number the box shows"
                )
            found[name] = int(values[name])
    if values["trim"]:
        found["trim"] = pairs(values["trim"], "trim")
    limit = number_in(values["power_limit"], "power limit")
    if limit is not None:
        found["power_limit"] = limit
    return found


def pairs(text: str, what: str) -> dict[str, float]:
    """`name=number` words, apart by blanks."""
    found: dict[str, float] = {}
    for word in text.split():
        name, value = split_pair(word, what)
        number = number_in(value, f"{what} {name}")
        if number is None:
            raise UsageError(f"{what} {name} has no number", f"write {name}=0,1")
        found[name] = number
    return found


def split_pair(word: str, what: str) -> tuple[str, str]:
    """A word NAME=VALUE as its two halves."""
    name, sign, value = word.partition("=")
    if not sign:
        raise UsageError(f"{word!r} is no {what}", "write NAME=VALUE")
    return name.strip(), value.strip()
