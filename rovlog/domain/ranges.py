"""Refusing quantities outside the range in which a formula holds."""

from __future__ import annotations

import math

from rovlog.problems import OutOfRangeError


def require_within(name: str, value: float, lowest: float, highest: float) -> None:
    """Raise OutOfRangeError naming `name` unless lowest <= value <= highest (NaN never is)."""
    if math.isnan(value) or not lowest <= value <= highest:
        raise OutOfRangeError(
            f"{name} is {value:g}; expected {lowest:g} to {highest:g}",
            f"give {name} between {lowest:g} and {highest:g}",
        )


def require_finite(name: str, value: float) -> None:
    """Raise OutOfRangeError naming `name` unless the value is a finite number."""
    if not math.isfinite(value):
        raise OutOfRangeError(f"{name} is {value!r}; expected a finite number", f"give {name} as a number")
