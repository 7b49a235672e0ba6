"""Clamp meter readings beside the computed figures, in words: which is which is always said."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from rovlog.faces.reports.plain import clean
from rovlog.faces.reports.tables import Tabler, plain_table

if TYPE_CHECKING:
    from rovlog.usecases.measured_current import MeasuredCurrent

MOST_SHOWN = 6

OF_WORDS = {
    "idle_current_a": "standing loads",
    "with_sag_current_a": "worst manoeuvre, with sag",
    "worst_case_current_a": "worst manoeuvre",
}


def measured_lines(measured: Sequence[MeasuredCurrent], table: Tabler = plain_table) -> list[str]:
    """The newest readings, each beside what is computed for the configuration that flew then."""
    rows = [
        [
            row.at[:10],
            clean(row.what),
            f"{row.measured_a:.1f}",
            "-" if row.computed_a is None else f"{row.computed_a:.1f}",
            "-" if row.ratio is None else f"{row.ratio:.2f}",
            of_words(row),
        ]
        for row in measured[:MOST_SHOWN]
    ]
    headings = ("day", "what was read", "measured A", "computed A", "ratio", "computed of")
    lines = ["Measured with a clamp meter, beside the figure computed for what flew then, supply full"]
    lines += table(headings, rows)
    more = len(measured) - MOST_SHOWN
    if more > 0:
        lines.append(f"  and {more} earlier one{'s' if more > 1 else ''}, with --json")
    reasons = {f"  {row.record}: {clean(row.reason)}": None for row in measured[:MOST_SHOWN] if row.reason}
    lines += reasons
    if any(row.of == "with_sag_current_a" and row.what not in ("hardest-manoeuvre",) for row in measured):
        lines.append(
            "  A reading that does not say at which demand (surge=1) stands beside the worst manoeuvre:"
            " below it is as expected."
        )
    return lines


def of_words(row: MeasuredCurrent) -> str:
    """What the computed figure beside a reading is of."""
    if row.asked:
        return ", ".join(f"{name} {100 * value:.0f} %" for name, value in row.asked.items()) + ", with sag"
    return OF_WORDS.get(row.of, row.of)
