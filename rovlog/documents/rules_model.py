"""Rules of a thruster model's table: both ends, no command twice, thrust signed like the command."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

from rovlog.documents.rows import number, rows, said
from rovlog.problems import Problem

if TYPE_CHECKING:
    from rovlog.documents.tree import Tree


def model_problems(tree: Tree, pointer: str, model: Mapping[str, Any] | None = None) -> Iterator[Problem]:
    """Everything the rules find in a model, which stands at `pointer` of the document."""
    found = [
        (place, row, command)
        for place, row in rows(tree.value if model is None else model, pointer, "points")
        if (command := number(row, "command")) is not None
    ]
    if not found:
        return
    commands = [command for _, _, command in found]
    for end in (-1, 1):
        if end not in commands:
            yield tree.problem(
                f"{pointer}/points",
                "points-without-ends",
                f"points have none at command {end}",
                f"commands {', '.join(said(c) for c in sorted(commands))}",
                f"a point at command {end}",
                f"add thrust and current at command {end}; both ends are needed",
            )
    seen: set[float] = set()
    for place, row, command in found:
        if command in seen:
            yield tree.problem(
                f"{place}/command",
                "duplicate-command",
                f"command {said(command)} stands here a second time",
                said(command),
                "a command that no other point has",
                "keep one of the two points",
            )
        seen.add(command)
        yield from _point_problems(tree, place, row, command)


def _point_problems(tree: Tree, place: str, row: Mapping[str, Any], command: float) -> Iterator[Problem]:
    thrust, current = number(row, "thrust_n"), number(row, "current_a")
    if command == 0:
        for key, value in (("thrust_n", thrust), ("current_a", current)):
            if value:
                yield tree.problem(
                    f"{place}/{key}",
                    "point-not-at-origin",
                    f"{key} at command 0 is {said(value)}",
                    said(value),
                    "0",
                    "the table goes through the origin; put a current that always flows under standing_loads",
                )
    elif thrust is not None and thrust * command < 0:
        yield tree.problem(
            f"{place}/thrust_n",
            "thrust-sign",
            f"thrust_n at command {said(command)} is {said(thrust)}",
            said(thrust),
            "a number at or above 0" if command > 0 else "a number at or below 0",
            "sign the thrust like the command; a thruster fitted the other way round has polarity reversed",
        )
