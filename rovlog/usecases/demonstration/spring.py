"""The demonstration's spring: bench work and first approvals, dives with both vehicles, a trim adopted."""

from __future__ import annotations

from rovlog.usecases.demonstration import vehicle_files as files
from rovlog.usecases.demonstration.bench_day import bench_list, bench_work
from rovlog.usecases.demonstration.dive_day import (
    begin_dive,
    begin_work,
    launch,
    on_deck,
    power_on,
    put_away,
    recover,
    surface,
    to_launch,
    under_way,
    whole_dive,
)
from rovlog.usecases.demonstration.run import Run
from rovlog.usecases.demonstration.stage import BoxHeld, Plan, Stage
from rovlog.usecases.demonstration.team import BASIN, LOCK, POOL
from rovlog.usecases.dive_steps import close, correct

GREBE_CREW = {"supervisor": "oona", "pilot": "tamsin", "tender": "elke", "technician": "bashir"}
WIGEON_CREW = {"supervisor": "oona", "pilot": "jory", "tender": "tamsin", "technician": "bashir"}
BENCH_CREW = {"supervisor": "oona", "technician": "bashir", "tender": "elke"}


def season_opens(stage: Stage) -> None:
    """The files of both vehicles, the first approvals, and the bench list of each."""
    stage.write_files(
        {
            "thrusters/reed-40.yaml": files.MODELS["reed-40"],
            "thrusters/reed-60.yaml": files.MODELS["reed-60"],
            "thrusters/sedge-25.yaml": files.MODELS["sedge-25"],
        },
        "Thruster tables from the tub, both directions",
        "bashir",
    )
    stage.write_files(
        {
            "boxes/amber-box.yaml": files.amber_box("1.4"),
            "boxes/slate-box.yaml": files.SLATE_BOX,
            **{f"parts/{part}.yaml": files.part_file(part) for part in files.PARTS},
        },
        "Both boxes with their code tables, and the parts we keep hours of",
        "bashir",
    )
    stage.write_files(
        {"vehicles/grebe.yaml": files.GREBE}, "Grebe as she was weighed and wired in March", "oona"
    )
    stage.write_files(
        {"vehicles/wigeon.yaml": files.WIGEON}, "Wigeon, for the pool and for new pilots", "tamsin"
    )
    stage.boxes["amber-box"] = BoxHeld("1.4", 2, 1, kept={"heave": 0.04}, boots=212)
    stage.boxes["slate-box"] = BoxHeld("0.9", 1, 1, boots=77)
    stage.approve("grebe", "oona", "first configuration of the season, tub tested", "tub test of 28 March")
    stage.approve("wigeon", "oona", "first configuration of the season, tub tested", "tub test of 29 March")
    grebe = Plan(
        "grebe", "2026-04-04T10:20:00+01:00", POOL.on(18.0), BENCH_CREW, "bench set-up for the season"
    )
    _first_bench(
        stage, grebe, (("tether-long", "tether"), ("battery-a", "supply"), ("seals-grebe", "main seals"))
    )
    wigeon = Plan(
        "wigeon", "2026-04-04T14:05:00+01:00", POOL.on(18.0), BENCH_CREW, "bench set-up for the season"
    )
    _first_bench(
        stage, wigeon, (("tether-short", "tether"), ("battery-b", "supply"), ("seals-wigeon", "main seals"))
    )


def _first_bench(stage: Stage, plan: Plan, parts: tuple[tuple[str, str], ...]) -> None:
    run = begin_work(stage, plan)
    for part, place in parts:
        run.write("fitted", "bashir", {"part": part, "to": place}, 240)
    bench_list(run)
    for step, (volts, amperes) in enumerate(((12.58, 0.0), (12.49, 4.1), (12.40, 8.2)), 1):
        values = {"voltage_v": volts, "current_a": amperes}
        run.write(
            "reading", "bashir", {"reading": f"load-step-{step}", "values": values, "source": "measured"}, 60
        )
    run.close("bashir", "ready for the pool")


def april(stage: Stage) -> None:
    """Pool and lock: the trims begin to be noticed."""
    whole_dive(
        stage,
        Plan("grebe", "2026-04-11T09:30:00+01:00", POOL, GREBE_CREW, "first swim of the season"),
        note="Flies straight, stops well. Right stick forward is ahead on this scheme, remember.",
    )
    whole_dive(
        stage,
        Plan("wigeon", "2026-04-11T13:40:00+01:00", POOL, WIGEON_CREW, "Jory's first hour at the sticks", 30),
        note="Hoops at 1 m, all six in the end.",
    )
    lock = Plan("grebe", "2026-04-18T10:00:00+01:00", LOCK, GREBE_CREW, "look along the lock wall", heave=0.1)
    whole_dive(stage, lock, note="She climbs at 0.04; 0.10 down holds her at 2 m.")
    again = Plan(
        "grebe",
        "2026-04-18T13:30:00+01:00",
        LOCK.on(11.5),
        GREBE_CREW,
        "sill of the upper gate",
        20,
        heave=0.09,
    )
    whole_dive(stage, again.with_crew(pilot="elke", tender="tamsin"), note="Mud on the sill, one bicycle.")
    _interrupted(stage)


def _interrupted(stage: Stage) -> None:
    """The fire bell rings in the middle of the list."""
    plan = Plan("wigeon", "2026-04-25T10:10:00+01:00", POOL.on(27.0), WIGEON_CREW, "Jory's second hour", 30)
    run = begin_dive(stage, plan)
    on_deck(run)
    run.write("pause", "oona", {"reason": "fire bell, everybody out", "item": "payload"}, 15)
    run.write("resume", "oona", {"text": "false alarm in the kitchen"}, 7 * 60)
    run.look()
    on_deck(run)
    power_on(run)
    to_launch(run)
    _down_and_up(run, "Slalom round the lane ropes, clean.")


def _down_and_up(run: Run, note: str, put_back: str | None = None) -> None:
    launch(run)
    under_way(run, note)
    surface(run)
    recover(run)
    put_away(run, put_back)
    run.close(run.crew["supervisor"])


def may(stage: Stage) -> None:
    """The basin wants more trim than the lock; one value is tried for a week, then approved."""
    basin = Plan(
        "grebe", "2026-05-02T10:15:00+01:00", BASIN, GREBE_CREW, "mooring blocks 1 to 3", 30, 0.15, 14.0
    )
    whole_dive(stage, basin, note="0.15 down here: the water is heavier. Block 2 has lost its tag.")
    _lag_put_off(stage)
    lock = Plan("grebe", "2026-05-09T13:50:00+01:00", LOCK.on(13.0), GREBE_CREW, "gate seals", 25, 0.1)
    tried = whole_dive(stage, lock, note="0.10 again.", put_back="keep-as-proposal")
    _tried_for_a_week(stage, tried.id)
    _adopt_trim(stage)
    later = Plan(
        "grebe", "2026-05-23T10:00:00+01:00", BASIN.on(12.5), GREBE_CREW, "block 2, new tag", 30, 0.15, 14.0
    )
    whole_dive(stage, later.with_crew(pilot="elke", tender="jory"), note="Tag on block 2, third try.")
    new_pilot = Plan(
        "wigeon", "2026-05-30T10:30:00+01:00", LOCK.on(15.0), WIGEON_CREW, "first time out of the pool"
    )
    whole_dive(stage, new_pilot.with_crew(tender="elke"), note="Visibility is what there is to learn here.")


def _lag_put_off(stage: Stage) -> None:
    """An item put off with its reason: nobody had the clapper."""
    crew = {**WIGEON_CREW, "pilot": "elke"}
    run = begin_dive(
        stage, Plan("wigeon", "2026-05-09T09:45:00+01:00", LOCK.on(12.5), crew, "gate recess, port side")
    )
    on_deck(run)
    power_on(run)
    reason = "laptop's clap test does not start; picture looks as always"
    run.write("deferral", "elke", {"item": "lag", "reason": reason, "until": "2026-05-16"}, 30)
    run.look()
    to_launch(run)
    _down_and_up(run, "Recess is clear of weed.")


def _tried_for_a_week(stage: Stage, tried: str) -> None:
    """The box kept 0.10: a deviation with a written leave; and a slip of the pen, corrected."""
    plan = Plan(
        "grebe", "2026-05-16T10:05:00+01:00", LOCK.on(14.0), GREBE_CREW, "gate seals, second half", heave=0.1
    )
    run = begin_dive(stage, plan)
    on_deck(run)
    power_on(run)
    leave = {
        "pointer": "/trim_defaults/heave",
        "reason": f"0.10 down on trial since {tried}; decide on Sunday",
        "until": "2026-05-17",
    }
    run.write("waiver", "oona", leave, 40)
    run.look()
    run.answer("differences", values={"choice": "accepted-as-deviation"})
    to_launch(run)
    wrong = next(e for e in run.record.of_kind("check") if e.fields.get("item") == "site-limits")
    values = dict(wrong.fields["values"])
    stage.clock.pass_s(30)
    correct(
        stage.logbook,
        run.record,
        str(wrong.n),
        {"values": {**values, "visibility": 1.2}},
        by="elke",
        reason="read from the wrong line of the disc",
    )
    run.look()
    _down_and_up(run, "Held depth hands off for a minute.", "keep-as-proposal")


def _adopt_trim(stage: Stage) -> None:
    stage.clock.begin("2026-05-17T17:10:00+01:00")
    name = "vehicles/grebe.yaml"
    stage.edit(
        name,
        "/trim_defaults/heave",
        0.1,
        "Grebe: heave trim 0.10, as flown in the lock since April",
        "tamsin",
    )
    evidence = "three dives in the lock between 0.09 and 0.10; computed 0.08 to 0.09"
    stage.approve("grebe", "oona", "heave trim as the pilots fly it", evidence)
    plan = Plan("grebe", "2026-05-17T17:30:00+01:00", POOL.on(18.0), BENCH_CREW, "bench list for revision 2")
    bench_work(stage, plan, "New label on the lid: revision 2.")


def june(stage: Stage) -> None:
    """A dive closed the next morning, from memory."""
    plan = Plan("grebe", "2026-06-06T14:00:00+01:00", LOCK.on(16.0), GREBE_CREW, "lower gate, outside")
    run = begin_dive(stage, plan.with_crew(tender="jory"))
    on_deck(run)
    power_on(run)
    to_launch(run)
    launch(run)
    under_way(run, "Laptop at 4 %, the rest goes on paper.")
    run.flush()
    stage.clock.begin("2026-06-07T09:05:00+01:00")
    for which, at in (
        ("back-at-surface", "15:12:00"),
        ("out-of-water", "15:16:00"),
        ("power-off", "15:19:00"),
    ):
        run.mark(which, "tamsin", 40, clock="memory", at=f"2026-06-06T{at}+01:00")
    run.look()
    recovery = run.state.checklist("recovery")
    for item in recovery.items() if recovery else ():
        if item.item != "recovery-readback":
            run.answer_if_open(item.item, source="paper")
    run.look()
    for name in ("look-over", "opening", "put-back", "battery-away", "log-signed"):
        run.answer_if_open(name, source="paper")
    run.flush()
    text = "from memory: the laptop's battery was empty at the lock"
    close(stage.logbook, run.record, by="oona", text=text, clock="memory")
