"""How a page is to be set on paper: which paper, how many columns, and how large the letters are."""

from __future__ import annotations

from typing import Literal

from rovlog.values import dataclass

PAPERS = ("a4", "letter")
"""The papers a report can be set for, the usual one first."""

Paper = Literal["", "a4", "letter"]


@dataclass(frozen=True, slots=True)
class Layout:
    """How a report is set. `paper` is "" where nobody said: A4 as PDF, the printer's own as HTML.

    `columns` is 1 or 2; `is_large`: no letter is smaller than `LEAST_LARGE` points.
    """

    paper: Paper = ""
    columns: int = 1
    is_large: bool = False


LEAST_LARGE = 14.0
"""Points: the usual lower bound of large print (project default)."""

LARGER = 1.5
"""How much larger large print is than the usual size."""


def size_in(layout: Layout, points: float) -> float:
    """The size in which letters of a usual size are set, points."""
    return max(LEAST_LARGE, LARGER * points) if layout.is_large else points
