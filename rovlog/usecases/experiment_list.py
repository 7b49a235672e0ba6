"""The steps of an experiment as a list of the record they were written into, answered as any list is.

The steps stand in the record as entries, so that the list is what it was when the experiment began, on
every laptop and in ten years; no file of the logbook's lists has to hold it.
"""

from __future__ import annotations

import re
from functools import cache
from typing import TYPE_CHECKING

from rovlog.domain.audit.fault_case import STEP_HEAD
from rovlog.domain.dive import Record

if TYPE_CHECKING:
    from rovlog.domain.checks.checklist import Checklist

EXPERIMENT = "experiment"
"""The list's id; its items are experiment-step-1 and so on, with the codes EX1 and so on."""

_STEP = re.compile(re.escape(STEP_HEAD) + r"([0-9]+) of [0-9]+: (.+)", re.DOTALL)


def experiment_lists(record: Record) -> tuple[Checklist, ...]:
    """The list of the record's experiment; none where no experiment was begun in it."""
    steps = []
    for note in record.of_kind("note"):
        found = _STEP.fullmatch(str(note.fields.get("text", "")))
        if found is not None:
            steps.append((int(found[1]), found[2]))
    return (_list(tuple(sorted(dict(steps).items()))),) if steps and record.kind == "work" else ()


@cache
def _list(steps: tuple[tuple[int, str], ...]) -> Checklist:
    """The list of these steps: the same one for the same, since what is folded is kept by it."""
    from rovlog.domain.checks.checklist import Checklist, Item, Section

    items = tuple(
        Item(
            f"{EXPERIMENT}-step-{number}",
            EXPERIMENT,
            "steps",
            step,
            "done",
            "confirm",
            ("all",),
            code=f"EX{number}",
            why="the steps of an experiment tell apart only in their order, with one change",
        )
        for number, step in steps
    )
    section = Section("steps", "Steps in order", items, completion="experiment done")
    return Checklist(EXPERIMENT, "Experiment", "bench", "do-list", 1, (section,))
