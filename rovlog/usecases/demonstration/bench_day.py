"""A day on the bench in the demonstration: the bench list, and the steps after a fault."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from rovlog.usecases.demonstration.dive_day import begin_work, function_test
from rovlog.usecases.demonstration.run import Run
from rovlog.usecases.demonstration.stage import Plan, Stage

Answers = Mapping[str, Mapping[str, Any]]


def powered(run: Run) -> None:
    """The box on, and what it says."""
    run.stage.boxes[run.box].power_up()
    run.mark("power-on", run.crew["technician"], 40)
    run.readback(run.crew["technician"], run.box)
    run.look()


def unpowered(run: Run) -> None:
    """The box off."""
    run.mark("power-off", run.crew["technician"], 30)
    run.look()


def bench_list(run: Run) -> None:
    """What is open or has run out of the bench list, with the box on for its readback."""
    powered(run)
    run.settle("bench")
    unpowered(run)


def bench_work(stage: Stage, plan: Plan, note: str = "") -> Run:
    """A whole bench day without anything odd, to its close."""
    run = begin_work(stage, plan)
    if note:
        run.note(run.crew["technician"], note)
    bench_list(run)
    run.close(run.crew["technician"])
    return run


def secure(run: Run, accounts: str, answers: Answers) -> None:
    """The list after a fault: people and evidence, then both ends of the search."""
    run.keep(
        f"attachments/{run.id}-accounts.txt", accounts, "what each person saw, taken down alone", "bashir"
    )
    for section in ("quarantine", "search"):
        answer_section(run, section, answers)


def answer_section(run: Run, section: str, answers: Answers) -> None:
    """One group of the list after a fault, the story's answers first, with its completion call."""
    chosen = run.state.checklist("after-fault")
    for group in chosen.sections if chosen else ():
        if group.section == section:
            for item in group.items:
                run.answer_if_open(item.item, **answers.get(item.item, {}))
            run.call("after-fault", section)


def redo(run: Run, demands: tuple[str, ...] = (), times: int = 1) -> None:
    """Redo in order what the fault voided, with the hold points on the way and what always stops there."""
    held = run.look().quarantine
    left = set(held.left if held else ())
    chosen = run.state.checklist("pre-dive")
    items = tuple(chosen.items()) if chosen else ()
    last = max((n for n, i in enumerate(items) if i.item in left), default=-1)
    for item in items[: last + 1]:
        is_due = item.item in left or item.stops == "always" or item.kind == "release"
        if not is_due:
            continue
        if item.item == "direction":
            function_test(run, demands, times)
        run.answer_if_open(item.item)
        if item.item == "power-on":
            powered(run)
    bench = run.look().checklist("bench")
    for item in bench.items() if bench else ():
        if item.item in left or run.state.items[item.item].state in ("failed", "expired"):
            run.answer_if_open(item.item)
    run.look()


def return_to_service(run: Run, answers: Answers) -> None:
    """Cause, proof, what is left to redo, and the word of somebody who did not do the repair."""
    for name in ("fault-function", "fault-one-change", "fault-cause"):
        run.answer_if_open(name, **answers.get(name, {}))
    run.look()
    run.answer("fault-redo")
    run.look()
    run.answer("return-to-service")
    run.call("after-fault", "cause")
    run.look()
