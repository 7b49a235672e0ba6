"""One value of a configuration replaced by what another one has there, with what belongs to it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from rovlog.domain.drift.leaves import Difference, value_at, with_value

CODES = ("steering_scheme", "thruster_map")


def swapped(reference: Mapping[str, Any], pointer: str, source: Mapping[str, Any]) -> dict[str, Any]:
    """The reference with one value as the source has it.

    A box's number brings its meaning along; a firmware or a box brings what it makes of the
    numbers that stayed the same.
    """
    after = with_value(reference, pointer, value_at(source, pointer))
    here, there = dict(reference.get("control_box", {})), dict(source.get("control_box", {}))
    for code in CODES:
        is_asked = pointer == f"/control_box/{code}"
        is_carrier = pointer in ("/control_box/firmware", "/control_box/box") and here.get(code) == there.get(
            code
        )
        if (is_asked or is_carrier) and code in source:
            after[code] = source[code]
    return after


def causes(found: Sequence[Difference]) -> list[Difference]:
    """Leave out what a changed number brings with it: the number is the difference, not its meaning."""
    numbers = {p.removeprefix("/control_box/") for p, _, _ in found if p.startswith("/control_box/")}
    brought = tuple(f"/{code}/" for code in CODES if code in numbers)
    return [d for d in found if not (brought and d[0].startswith(brought))]
