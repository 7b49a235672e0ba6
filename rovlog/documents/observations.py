"""A file of observations: pushes, and what was seen of each thruster."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from rovlog.documents.tree import Tree, read
from rovlog.problems import DocumentError, Problem
from rovlog.values import dataclass

_FORM = "write observations: [{push: {left-stick-y: -1}, seen: {bow-port: ahead}}]"


@dataclass(frozen=True, slots=True)
class ObservationRow:
    """One observation as written; words and numbers are of the right kind, nothing more is known."""

    push: Mapping[str, float]
    seen: Mapping[str, str]
    medium: str


def read_observations(data: bytes, file: str) -> tuple[ObservationRow, ...]:
    """The rows under `observations`, in order (YAML or JSON).

    Raises DocumentError with every problem and its place.
    """
    tree = read(data, file)
    problems = tuple(_problems(tree))
    if problems:
        raise DocumentError(problems)
    return tuple(
        ObservationRow(
            {control: float(at) for control, at in row["push"].items()},
            dict(row["seen"]),
            row.get("medium", "wet"),
        )
        for row in tree.value["observations"]
    )


def _problems(tree: Tree) -> Iterator[Problem]:
    rows = tree.value.get("observations") if isinstance(tree.value, Mapping) else None
    if not isinstance(rows, list):
        yield tree.problem(
            "",
            "missing-key",
            "the file has no list of observations",
            _kind(tree.value),
            "observations",
            _FORM,
        )
        return
    for index, row in enumerate(rows):
        place = f"/observations/{index}"
        if not isinstance(row, Mapping):
            yield tree.problem(
                place, "wrong-type", "an observation is no mapping", _kind(row), "a mapping", _FORM
            )
            continue
        for key in ("push", "seen"):
            if not isinstance(row.get(key), Mapping):
                where = f"{place}/{key}" if key in row else place
                message = f"{key} of an observation is missing or no mapping"
                yield tree.problem(where, "missing-key", message, _kind(row.get(key)), "a mapping", _FORM)
                continue
            yield from _value_problems(tree, f"{place}/{key}", key, row[key])
        if row.get("medium", "wet") not in ("wet", "dry"):
            message = f"medium is {row['medium']!r}"
            yield tree.problem(
                f"{place}/medium", "unknown-word", message, str(row["medium"]), "wet or dry", "write wet"
            )


def _value_problems(tree: Tree, place: str, key: str, row: Mapping[str, Any]) -> Iterator[Problem]:
    for name, value in row.items():
        is_number = isinstance(value, int | float) and not isinstance(value, bool)
        if key == "push" and not is_number:
            message = f"the position of {name} is no number"
            yield tree.problem(
                f"{place}/{name}", "wrong-type", message, _kind(value), "-1 to 1", "write a number"
            )
        if key == "seen" and not isinstance(value, str):
            message = f"what was seen of {name} is no word"
            yield tree.problem(
                f"{place}/{name}",
                "wrong-type",
                message,
                _kind(value),
                "ahead, astern, still or unseen",
                "write ahead",
            )


def _kind(value: Any) -> str:
    return "nothing" if value is None else repr(value)[:40]
