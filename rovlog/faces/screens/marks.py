"""The border mark of a vehicle: a pattern of its own, so that two vehicles on one laptop are told apart."""

from __future__ import annotations

from rich.cells import cell_len

PATTERNS = ("═", "╱╲", "▪ ", "╍", "○─", "┼", "≈", "▞", "◇ ", "╎╎ ")
"""By the vehicle's place among the vehicles on file. They differ in shape, not in colour."""


def pattern(position: int) -> str:
    """The pattern of the vehicle at this place."""
    return PATTERNS[position % len(PATTERNS)]


def border(position: int, width: int) -> str:
    """A border of this many cells in the vehicle's pattern."""
    unit = pattern(position)
    return (unit * (width // cell_len(unit) + 1))[:width]


def spread(name: str, room: int) -> str:
    """A name written large: capitals spaced out where there is room for it."""
    capitals = name.upper()
    wide = " ".join(capitals)
    return wide if cell_len(wide) <= room else capitals
