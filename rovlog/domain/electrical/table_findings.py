"""What is odd about a thruster model's table: notes, since a table may really be so."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from rovlog.domain.allocation.thrust import table
from rovlog.domain.findings import Finding
from rovlog.domain.vehicle import ThrusterModel


def model_findings(model: ThrusterModel) -> Iterator[Finding]:
    """Current or thrust that falls as the command grows, and current divided by command that falls."""
    pointer = f"/models/{model.model}/points"
    points = table(model)
    halves = [
        [p for p in points if p.command >= 0],
        [p for p in reversed(points) if p.command <= 0],
    ]
    falling = [a for half in halves for a, b in pairwise(half) if b.current_a < a.current_a - 1e-12]
    if falling:
        yield Finding(
            f"current-falls-{model.model}",
            "note",
            f"the current of {model.model} falls beyond command {falling[0].command:g}",
            pointer,
            clears="look at the readings behind the table",
        )
    weaker = [a for half in halves for a, b in pairwise(half) if abs(b.thrust_n) < abs(a.thrust_n) - 1e-12]
    if weaker:
        yield Finding(
            f"thrust-falls-{model.model}",
            "note",
            f"the thrust of {model.model} falls beyond command {weaker[0].command:g}",
            pointer,
            clears="look at the readings behind the table",
        )
    for half in halves:
        moved = [p for p in half if p.command != 0]
        ratio = [abs(p.current_a / p.command) for p in moved]
        if any(b < a * (1 - 1e-9) for a, b in pairwise(ratio)):
            yield Finding(
                f"motor-current-falls-{model.model}",
                "note",
                f"current divided by command of {model.model} falls as the command grows: voltages under load"
                " may not be unique, the highest is shown",
                pointer,
                clears="look at the readings behind the table",
            )
            break
