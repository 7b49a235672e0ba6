"""The corrected rise of a vacuum hold, from the readings typed as an item's answer."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

READ = ("start_below", "start_temperature", "end_below", "end_temperature")
"""What must be read for a corrected rise: kPa below outside, and degrees C, at start and end."""


def corrected_rise(given: Mapping[str, Any]) -> tuple[float | None, str]:
    """The rise in kPa corrected for temperature and outside pressure, and what is to be said about it.

    None where a reading is missing. Raises OutOfRangeError for readings that cannot be right, such as
    absolute pressures where pressures below outside are meant.
    """
    from rovlog.usecases.judge_vacuum import judge_vacuum

    if any(not isinstance(given.get(name), int | float) for name in READ):
        return None, ""
    start, start_c, end, end_c = (float(given[name]) for name in READ)
    judged = judge_vacuum(
        start,
        start_c,
        end,
        end_c,
        outside_start_kpa=_number(given.get("outside_start")),
        outside_end_kpa=_number(given.get("outside_end")),
    )
    note = ""
    if judged.hold.verdict == "cannot-judge":
        note = "the readings are too uncertain to judge this hold by themselves: " + judged.hold.reason
    return round(judged.hold.corrected_rise_kpa, 3), note


def _number(value: Any) -> float | None:
    return float(value) if isinstance(value, int | float) else None
