"""The demonstration's autumn: a refit, two dives on which the yaw is dead, and a search that is under way."""

from __future__ import annotations

from rovlog.usecases.demonstration.bench_day import (
    bench_list,
    powered,
    redo,
    return_to_service,
    secure,
    unpowered,
)
from rovlog.usecases.demonstration.dive_day import (
    begin_dive,
    begin_work,
    function_test,
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
from rovlog.usecases.demonstration.spring import BENCH_CREW, GREBE_CREW, WIGEON_CREW
from rovlog.usecases.demonstration.stage import Plan, Stage
from rovlog.usecases.demonstration.team import BASIN, LOCK, POOL
from rovlog.usecases.dive_steps import log_fault

HABIT = ("surge", "heave")
"""The pushes this crew makes by habit; they cannot show which of two bow leads is which."""


FIRST_ACCOUNTS = """\
Tamsin, at the sticks: left stick right, and she went bodily to port. Four tries, the same each time.
Jory, at the tether: tether lay to port all the time, breeze from starboard.
Bashir, at the box: current as ever, no alarm.
Oona: I thought it was the wind.
"""

SECOND_ACCOUNTS = """\
Elke, at the sticks: left stick right slides her to port; right stick right turns her to starboard.
Tamsin, at the tether: flat calm, tether slack.
Bashir, at the box: current as ever. On the mat the two bow thrusters ran against what was asked in yaw.
"""


def bow_refit(stage: Stage) -> None:
    """New propellers and seals at the bow. The leads of channels 1 and 2 go back crossed, unnoticed."""
    crew = {"supervisor": "oona", "technician": "bashir", "tender": "jory"}
    plan = Plan(
        "grebe", "2026-09-02T16:30:00+01:00", POOL.on(18.0), crew, "bow refit: new propellers and shaft seals"
    )
    run = begin_work(stage, plan)
    for thruster in ("bow-port", "bow-starboard"):
        run.write("event", "bashir", {"event": "connector-parted", "part": thruster, "text": "plug off"}, 300)
    for thruster in ("bow-port", "bow-starboard"):
        text = "new propeller and shaft seal"
        run.write("event", "bashir", {"event": "thruster-touched", "part": thruster, "text": text}, 1500)
    run.write("fitted", "bashir", {"part": "propellers-bow", "to": "bow propellers"}, 60)
    run.note("jory", "Both bow plugs back on. Their labels had come off in the sink; new ones made.")
    stage.swapped["grebe"] = (1, 2)
    run.look()
    bench_list(run)
    run.close("bashir", "turned by hand: free; not run in water")


def first_dead_yaw(stage: Stage) -> str:
    """The basin, in a breeze: right on the stick slides her to port. The wind is blamed."""
    water = BASIN.on(17.0, wind_m_s=6.5, flow_m_s=0.2)
    crew = {**GREBE_CREW, "tender": "jory"}
    run = begin_dive(
        stage, Plan("grebe", "2026-09-05T10:00:00+01:00", water, crew, "block 4, turn it", 30, 0.15, 15.0)
    )
    on_deck(run)
    power_on(run)
    to_launch(run, HABIT, times=2)
    odd = "ahead, astern, up and down good; in yaw she sets to port, the breeze is on that side"
    launch(run, {"axes-wet": {"values": {"choice": "with-cross-motion"}, "text": odd}})
    under_way(run)
    run.flush()
    stage.clock.pass_s(200)
    text = "left stick right: she slides to port and hardly turns; at 2 m and at 6 m, four tries"
    log_fault(stage.logbook, run.record, "yaw-dead", by="tamsin", text=text)
    surface(run, 240)
    recover(run)
    put_away(run, None, {"oddities": {"values": {"choice": "written-down"}}})
    run.close("oona", "given up after four tries; quarantine")
    return run.id


def not_found(stage: Stage, last_good: str) -> None:
    """The first search: the pad's plug is re-seated, the habitual pushes look right, nothing is found."""
    crew = {**BENCH_CREW, "tender": "jory"}
    run = begin_work(
        stage, Plan("grebe", "2026-09-06T14:00:00+01:00", POOL.on(18.0), crew, "why the yaw was dead")
    )
    powered(run)
    secure(
        run,
        FIRST_ACCOUNTS,
        {
            "fault-parts": {"values": {"holder": "none taken off"}},
            "fault-last-good": {"values": {"dive": last_good}},
        },
    )
    text = "the pad's plug re-seated, it was not quite home"
    run.write("event", "bashir", {"event": "connector-parted", "part": "pad-1", "text": text}, 600)
    run.look()
    redo(run, HABIT, times=2)
    return_to_service(
        run,
        {"fault-cause": {"values": {"choice": "not-found-watch", "watch_dives": 2}, "by": "bashir"}},
    )
    unpowered(run)
    run.close("oona", "not found; the pad's plug or the wind. Watch for two dives")


def pool_day(stage: Stage) -> None:
    """Wigeon flies meanwhile."""
    plan = Plan(
        "wigeon", "2026-09-09T15:30:00+01:00", POOL.on(27.0), WIGEON_CREW, "two new members at the sticks", 30
    )
    whole_dive(stage, plan, note="Two new members, ten minutes each.")


def second_dead_yaw(stage: Stage) -> str:
    """The lock, no wind, another pilot: the same. This time every axis is pushed, and written down."""
    crew = {"supervisor": "oona", "pilot": "elke", "tender": "tamsin", "technician": "bashir"}
    plan = Plan("grebe", "2026-09-12T10:15:00+01:00", LOCK.on(16.5), crew, "is the yaw back?", 20, 0.1)
    run = begin_dive(stage, plan)
    on_deck(run)
    power_on(run)
    to_launch(run, HABIT, times=2)
    for name in ("launch-thrusters-off", "launch-lift"):
        run.answer(name)
    run.mark("in-water", "tamsin")
    for name in ("launch-floats", "launch-clear", "leak-signs", "stop-control-wet"):
        run.answer_if_open(name)
    odd = "left stick right: to port, no turn; right stick right: turns, no way sideways. Flat calm"
    run.answer("axes-wet", outcome="fail", may_fail=True, values={"choice": "with-cross-motion"}, text=odd)
    run.flush()
    stage.clock.pass_s(60)
    text = "left stick right slides her to port, and sway turns her; still water, no wind"
    log_fault(stage.logbook, run.record, "yaw-dead", by="elke", text=text)
    run.mark("back-at-surface", "elke", 40)
    run.look()
    recover(run)
    run.note("tamsin", "On the mat, clamped: every axis both ways now, a ribbon at each thruster.")
    function_test(run)
    put_away(
        run,
        None,
        {
            "oddities": {"values": {"choice": "written-down"}},
            "next-notes": {
                "values": {"note": "yaw is dead since the bow refit; touch nothing before the search"}
            },
        },
    )
    run.close("oona", "not the wind. Quarantine; every push is in the record")
    return run.id


def search_begins(stage: Stage, last_good: str) -> str:
    """The evening after: evidence kept, both ends of the search known, and there the laptop was shut."""
    crew = {"supervisor": "oona", "technician": "bashir", "tender": "tamsin"}
    plan = Plan("grebe", "2026-09-12T18:40:00+01:00", POOL.on(18.0), crew, "find out why the yaw is dead")
    run = begin_work(stage, plan)
    powered(run)
    secure(
        run,
        SECOND_ACCOUNTS,
        {
            "fault-parts": {"values": {"holder": "nothing taken off; tag on the lid"}},
            "fault-last-good": {"values": {"dive": last_good}},
        },
    )
    run.flush()
    return run.id
