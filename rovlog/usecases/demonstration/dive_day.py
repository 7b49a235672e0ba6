"""A day's dive in the demonstration: from the deck through the lists into the water and back to the shelf."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from rovlog.usecases.demonstration.pushes import pushes_for, seen_on
from rovlog.usecases.demonstration.run import Run
from rovlog.usecases.demonstration.stage import Plan, Stage
from rovlog.usecases.dive_steps import start_dive, start_work

COLD = ("people", "supply", "housing", "tether", "connectors", "buoyancy")
LIVE = ("power", "setup")


def begin_dive(stage: Stage, plan: Plan) -> Run:
    """Start a dive as the supervisor."""
    stage.clock.begin(plan.at)
    started = start_dive(
        stage.logbook,
        plan.vehicle,
        by=plan.crew["supervisor"],
        site=plan.water.site,
        water=plan.water.fields,
        crew=plan.crew,
        task=plan.task,
        depth_m=plan.water.depth_m,
        minutes=plan.minutes,
    )
    return Run(stage, started.record, plan)


def begin_work(stage: Stage, plan: Plan) -> Run:
    """Start work on the vehicle; the task is its purpose."""
    stage.clock.begin(plan.at)
    who = plan.crew.get("technician", plan.crew.get("supervisor", ""))
    started = start_work(stage.logbook, plan.vehicle, by=who, purpose=plan.task, crew=plan.crew)
    run = Run(stage, started.record, plan)
    run.write("place", who, {"water": plan.water.fields, "text": "the water planned for"})
    return run


def on_deck(run: Run) -> None:
    """All that is cold: people, supply, housing, tether, connectors, ballast."""
    run.settle("pre-dive", COLD)


def power_on(run: Run) -> None:
    """Power on by the supervisor's word, and what the box says."""
    held = run.stage.boxes[run.box]
    technician = run.crew["technician"]
    for name in ("laptop-on-battery", "release-power-on", "power-on"):
        run.answer_if_open(name)
    held.power_up()
    run.mark("power-on", technician)
    run.settle("pre-dive", ("power",))
    run.readback(technician, run.box)
    run.look()


def function_test(run: Run, demands: tuple[str, ...] = (), times: int = 1) -> None:
    """Push and watch: each demand in use both ways, unless the story says which."""
    from rovlog.documents.configuration import configuration

    resolved = run.state.resolved
    typed = configuration(resolved)
    tender, vehicle = run.crew.get("tender", run.crew["technician"]), run.plan.vehicle
    wanted = demands or tuple(
        d for d in ("surge", "sway", "yaw", "heave") if d in resolved["thruster_map"]["shares"]
    )
    for push in pushes_for(typed, wanted) * times:
        seen = seen_on(resolved, push, run.stage.swapped.get(vehicle))
        run.write("observation", tender, {"push": push, "seen": seen, "medium": "dry"}, 18)
    run.look()


def to_launch(run: Run, demands: tuple[str, ...] = (), times: int = 1) -> None:
    """From the readback to the last look, redoing on the way what the readback voided."""
    run.settle("pre-dive", (*COLD, *LIVE))
    for name in ("hands-clear", "release-dry-run"):
        run.answer_if_open(name)
    if run.state.items["direction"].state not in ("answered", "waived"):
        function_test(run, demands, times)
    run.settle("pre-dive", ("thrusters", "camera", "emergency"))
    for stop in run.state.stops:
        # What the bench list says of another water, or too long ago, stops a dive as well.
        item = run.state.item(stop.id)
        if item is not None and item.checklist in ("bench", "periodic"):
            run.answer_if_open(stop.id)
    run.settle("pre-dive", ("last-look",))
    run.require_clear()


def launch(run: Run, answers: Mapping[str, Mapping[str, Any]] | None = None) -> None:
    """Into the water, the trim check at the edge, and the word to dive."""
    given = answers or {}
    pilot, held = run.crew["pilot"], run.stage.boxes[run.box]
    for name in ("launch-thrusters-off", "launch-lift"):
        run.answer(name)
    run.mark("in-water", run.crew["tender"])
    for name in ("launch-floats", "launch-clear"):
        run.answer(name)
    run.call("launch", "launch")
    for name in ("leak-signs", "stop-control-wet", "axes-wet", "hands-off-rise", "still-attitude"):
        run.answer_if_open(name, **given.get(name, {}))
    heave = run.plan.heave
    if heave is not None and abs(heave - held.trim.get("heave", 0.0)) > 1e-9:
        held.trim["heave"] = heave
        run.write("trim", pilot, {"trim": {"heave": heave}, "reason": "to sit still at the edge"}, 45)
    for name in ("trim-in-water", "hardest-manoeuvre", "tether-free"):
        run.answer_if_open(name, **given.get(name, {}))
    run.call("launch", "trim-check")
    run.answer("clear-to-dive")
    run.mark("off-surface", pilot)


def surface(run: Run, after_s: float | None = None) -> None:
    """Back at the surface after the time planned, more or less."""
    minutes = run.plan.minutes * run.stage.between(0.85, 1.05, 2)
    run.mark("back-at-surface", run.crew["pilot"], after_s if after_s is not None else 60 * minutes)


def recover(run: Run) -> None:
    """Out of the water, the box read before power off, and power off."""
    tender, technician = run.crew["tender"], run.crew["technician"]
    for name in ("recovery-thrusters-off", "recovery-lift"):
        run.answer(name)
    run.mark("out-of-water", tender)
    run.readback(technician, run.box)
    for name in ("recovery-readback", "recovery-voltage"):
        run.answer(name)


def put_away(
    run: Run, put_back: str | None = None, answers: Mapping[str, Mapping[str, Any]] | None = None
) -> None:
    """Trim put back or kept, power off, rinse and log."""
    given = dict(answers or {})
    pilot, technician = run.crew["pilot"], run.crew["technician"]
    held = run.stage.boxes[run.box]
    approved = float(run.state.resolved.get("trim_defaults", {}).get("heave", 0.0))
    moved = abs(held.trim.get("heave", 0.0) - approved) > 1e-9
    if put_back is None:
        put_back = "put-back" if moved else "no-changes"
    if put_back == "put-back":
        held.trim["heave"] = approved
        run.write("trim", pilot, {"trim": {"heave": approved}, "reason": "put back to approved"}, 25)
    elif put_back == "keep-as-proposal":
        held.kept = dict(held.trim)
    run.answer("recovery-power-off")
    run.mark("power-off", technician)
    run.answer("water-inside")
    run.call("recovery", "recovery")
    given.setdefault("put-back", {"values": {"choice": put_back}})
    rinse_and_log(run, given)


def rinse_and_log(run: Run, given: Mapping[str, Mapping[str, Any]] | None = None) -> None:
    """The list after the dive."""
    given = given or {}
    post = run.state.checklist("post-dive")
    run.flush()
    for section in post.sections if post else ():
        for item in section.items:
            run.answer_if_open(item.item, **given.get(item.item, {}))
        run.call("post-dive", section.section)


def whole_dive(stage: Stage, plan: Plan, *, note: str = "", put_back: str | None = None) -> Run:
    """A dive without anything odd, to its close."""
    run = begin_dive(stage, plan)
    on_deck(run)
    power_on(run)
    to_launch(run)
    launch(run)
    under_way(run, note)
    surface(run)
    recover(run)
    put_away(run, put_back)
    run.close(plan.crew["supervisor"])
    return run


def under_way(run: Run, note: str = "") -> None:
    """What is written while the vehicle is down: a clamp reading, and what was seen."""
    computed = run.state.computed
    current = (computed.get("with_sag_current_a") or 0.0) * run.stage.chance.uniform(0.62, 0.78)
    volts = (computed.get("box_v") or 0.0) + run.stage.chance.uniform(0.3, 0.6)
    values = {"current_a": round(current, 1), "box_v": round(volts, 2)}
    run.write(
        "reading",
        run.crew["technician"],
        {"reading": "clamp-meter", "values": values, "source": "measured"},
        60 * run.stage.between(4, 8),
    )
    if note:
        run.note(run.crew["pilot"], note, 120)
