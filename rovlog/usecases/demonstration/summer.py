"""The demonstration's summer: a fuse that opened, firmware that renumbered a code, a tether swapped."""

from __future__ import annotations

from rovlog.usecases.demonstration import vehicle_files as files
from rovlog.usecases.demonstration.bench_day import (
    answer_section,
    bench_list,
    redo,
    return_to_service,
    secure,
    unpowered,
)
from rovlog.usecases.demonstration.dive_day import (
    begin_dive,
    begin_work,
    launch,
    on_deck,
    power_on,
    put_away,
    rinse_and_log,
    to_launch,
    under_way,
    whole_dive,
)
from rovlog.usecases.demonstration.run import Run
from rovlog.usecases.demonstration.spring import BENCH_CREW, GREBE_CREW, WIGEON_CREW
from rovlog.usecases.demonstration.stage import Plan, Stage
from rovlog.usecases.demonstration.team import BASIN, LOCK, POOL
from rovlog.usecases.dive_steps import log_fault, start_work

FUSE_ACCOUNTS = """\
Jory, at the sticks: both sticks forward for the third length, picture gone in the same moment.
Elke, at the tether: felt nothing; the line went slack as she stopped. Pulled her in, no snag.
Bashir, at the box: clamp meter read 9.8 A just before; no smell, no smoke. Main switch off at once.
Oona: nobody in the water, nobody near the blades.
"""


def fuse_opened(stage: Stage, last_good: str) -> None:
    """Wigeon goes dead under full ahead; the cause is found, mended and proved."""
    crew = {**WIGEON_CREW, "tender": "elke"}
    run = begin_dive(
        stage, Plan("wigeon", "2026-06-13T10:20:00+01:00", LOCK.on(17.0), crew, "wall to wall, timed", 20)
    )
    on_deck(run)
    power_on(run)
    to_launch(run)
    launch(run)
    under_way(run, "Third length, full ahead.")
    run.flush()
    stage.clock.pass_s(90)
    text = "all dead at once on full ahead, no picture; main switch off, brought in by the tether"
    log_fault(stage.logbook, run.record, "fuse-opened", by="oona", part="fuse", text=text)
    run.mark("back-at-surface", "elke", 70)
    for name in ("recovery-thrusters-off", "recovery-lift"):
        run.answer(name)
    run.mark("out-of-water", "elke")
    run.look()
    run.answer(
        "recovery-voltage", values={"lowest": 9.9, "end": 12.4}, text="at the battery; the box is dead"
    )
    put_away(run, "no-changes", {"oddities": {"values": {"choice": "written-down"}}})
    run.close("oona", "in quarantine, tag on; see the work record of tomorrow")
    _cause_found(stage, last_good)


def _cause_found(stage: Stage, last_good: str) -> None:
    crew = {**BENCH_CREW, "pilot": "jory"}
    run = begin_work(
        stage,
        Plan("wigeon", "2026-06-14T14:00:00+01:00", POOL.on(18.0), crew, "why the fuse opened on 13 June"),
    )
    secure(
        run,
        FUSE_ACCOUNTS,
        {
            "fault-readback": {"values": {"choice": "none-possible", "reason": "no supply, no display"}},
            "fault-parts": {"values": {"holder": "bashir, bag 3"}},
            "fault-last-good": {"values": {"dive": last_good}},
            "fault-changes": {"values": {"changes": 0}},
        },
    )
    where = "tether pair, at the strain relief of the vehicle"
    run.answer("blown-fuse-off")
    run.answer("blown-fuse-shorts", values={"least": 0.2, "where": where}, may_fail=True)
    run.answer("blown-fuse-photo", values={"choice": "melted-middle"})
    run.note(
        "bashir",
        "The clamp had slipped 8 mm and cut into the jacket: both cores bare and touching under load.",
    )
    change = {
        "event": "tether-changed",
        "part": "tether-short",
        "text": "cut back 0.6 m and re-ended, new clamp",
    }
    run.write("event", "bashir", change, 35 * 60)
    run.flush()
    stage.edit(
        "vehicles/wigeon.yaml",
        "/electrical/tether/length_m",
        13.4,
        "Wigeon: tether 13.4 m after it was re-ended at the clamp",
        "bashir",
    )
    stage.approve(
        "wigeon", "oona", "tether re-ended, 0.6 m shorter", "no short left: 1.1 ohm is the least found"
    )
    run.look()
    proved = {"least": 1.1, "where": "winding of port-aft"}
    ran = {"values": {"ran": 3, "sag": 0.41}}
    run.answer("blown-fuse-shorts", values=proved)
    run.answer("blown-fuse-fitted")
    run.look()
    answer_section(run, "blown-fuse", {"blown-fuse-one-by-one": ran})
    redo(run)
    return_to_service(run, {"fault-cause": {"values": {"choice": "shown"}, "by": "bashir"}})
    unpowered(run)
    run.close("oona", "cause shown, clamp renewed; the clamp of Grebe's tether was looked at too")


def june_again(stage: Stage) -> None:
    """Wigeon proves herself; Grebe in the basin."""
    proof = Plan(
        "wigeon", "2026-06-20T09:20:00+01:00", POOL.on(27.5), WIGEON_CREW, "proof of the mended tether", 30
    )
    whole_dive(
        stage, proof.with_crew(pilot="tamsin", tender="elke"), note="Full ahead for a minute, twice: nothing."
    )
    basin = Plan(
        "grebe", "2026-06-20T14:00:00+01:00", BASIN.on(15.0), GREBE_CREW, "blocks 4 and 5", 30, 0.15, 15.0
    )
    whole_dive(stage, basin.with_crew(tender="jory"), note="Block 5 is on its side.")


def firmware_renumbers(stage: Stage) -> None:
    """New firmware puts another map under number 1; the next readback shows it before the launch."""
    stage.clock.begin("2026-06-24T18:10:00+01:00")
    logbook = stage.logbook
    started = start_work(logbook, "amber-box", by="bashir", purpose="firmware 1.5, for the faster stop")
    plan = Plan("grebe", "2026-06-24T18:10:00+01:00", LOCK, {"technician": "bashir"}, "")
    run = Run(stage, started.record, plan)
    held = stage.boxes["amber-box"]
    run.readback("bashir", "amber-box", 60)
    held.firmware = "1.5"
    run.write("event", "bashir", {"event": "box-changed", "text": "firmware 1.4 to 1.5, settings kept"}, 600)
    run.note(
        "bashir",
        "Scheme and map still read 2 and 1. Tables of 1.5 copied from its sheet into the box's file.",
    )
    run.close("bashir")
    text = files.amber_box("1.5")
    stage.write_files(
        {"boxes/amber-box.yaml": text}, "Amber box: firmware 1.5 with its code tables", "bashir"
    )
    _stood_down(stage)


def _stood_down(stage: Stage) -> None:
    plan = Plan("grebe", "2026-06-27T10:00:00+01:00", LOCK.on(18.0), GREBE_CREW, "lower gate, inside")
    run = begin_dive(stage, plan)
    on_deck(run)
    held = stage.boxes["amber-box"]
    for name in ("laptop-on-battery", "release-power-on", "power-on"):
        run.answer_if_open(name)
    held.power_up()
    run.mark("power-on", "bashir")
    run.readback("bashir", "amber-box")
    run.look()
    run.note(
        "oona",
        "Map 1 is not our map any more: under 1.5 it has no sway. Nobody launches; we mend the file first.",
    )
    run.mark("power-off", "bashir", 60)
    rinse_and_log(run)
    run.close("oona", "stood down before launch: the box's map 1 means another map since firmware 1.5")
    stage.clock.begin("2026-06-27T11:05:00+01:00")
    name = "vehicles/grebe.yaml"
    stage.edit(
        name, "/control_box/thruster_map", 2, "Grebe: map 2, which is what map 1 was before 1.5", "bashir"
    )
    stage.approve(
        "grebe", "oona", "firmware 1.5 renumbers the maps: ours is number 2 now", "readback of 27 June"
    )
    bench = Plan(
        "grebe", "2026-06-27T11:10:00+01:00", LOCK.on(18.0), BENCH_CREW, "map 2 into the box, revision 3"
    )
    work = begin_work(stage, bench)
    held.thruster_map = 2
    work.write("event", "bashir", {"event": "box-changed", "text": "map 2 set by hand and stored"}, 300)
    bench_list(work)
    work.close("bashir")
    after = Plan("grebe", "2026-06-27T14:00:00+01:00", LOCK.on(18.5), GREBE_CREW, "lower gate, inside")
    whole_dive(stage, after, note="Sway both ways as ever. Gate seal is torn at the foot.")


def tether_swapped(stage: Stage) -> None:
    """The long tether fails its quarter-yearly measurement and is swapped for the spare one."""
    plan = Plan(
        "grebe", "2026-07-01T17:00:00+01:00", LOCK.on(18.0), BENCH_CREW, "tether measured, and swapped"
    )
    run = begin_work(stage, plan)
    run.look()
    bad = {"insulation": 0.6}
    text = "0.6 Mohm at 250 V, wet at the jacket's scuff"
    run.answer("bench-insulation", values=bad, text=text, may_fail=True)
    fitted = {
        "part": "tether-spare",
        "to": "tether",
        "replaces": "tether-long",
        "text": "long one goes to be re-jacketed",
    }
    run.write("fitted", "bashir", fitted, 1500)
    run.write("event", "bashir", {"event": "connector-parted", "part": "tether", "text": "both ends"}, 120)
    run.flush()
    stage.edit(
        "vehicles/grebe.yaml",
        "/electrical/tether/part",
        "tether-spare",
        "Grebe: spare tether fitted",
        "bashir",
    )
    stage.approve("grebe", "oona", "spare tether, same length and copper", "measured on the bench, 1 July")
    run.look()
    bench_list(run)
    run.close("bashir")


def july(stage: Stage) -> None:
    """Quiet weeks."""
    wigeon = Plan(
        "wigeon", "2026-07-04T09:30:00+01:00", LOCK.on(19.0), WIGEON_CREW, "gate recess, starboard side"
    )
    whole_dive(stage, wigeon, note="Jory alone at the sticks for all of it.")
    basin = Plan(
        "grebe", "2026-07-04T14:10:00+01:00", BASIN.on(16.5), GREBE_CREW, "chain of block 5", 30, 0.15, 16.0
    )
    whole_dive(stage, basin.with_crew(pilot="elke", tender="tamsin"), note="Chain followed to its end.")
    lock = Plan("grebe", "2026-07-11T10:00:00+01:00", LOCK.on(19.5), GREBE_CREW, "torn seal, photographs")
    whole_dive(stage, lock.with_crew(tender="jory"), note="Eleven photographs for the lock keeper.")
    club = Plan(
        "wigeon", "2026-07-18T09:40:00+01:00", LOCK.on(20.0), WIGEON_CREW, "open day, visitors watch", 20
    )
    whole_dive(stage, club.with_crew(pilot="elke", tender="jory"), note="Visitors kept behind the rope.")
    block = Plan("grebe", "2026-07-18T14:00:00+01:00", BASIN.on(17.0), GREBE_CREW, "block 6", 30, 0.15, 16.0)
    whole_dive(stage, block.with_crew(tender="jory"), note="Block 6 stands as it should.")


def august(stage: Stage) -> None:
    """After the holidays, all well."""
    pool = Plan("wigeon", "2026-08-22T09:30:00+01:00", POOL.on(27.5), WIGEON_CREW, "after the holidays", 20)
    whole_dive(stage, pool.with_crew(tender="elke"), note="All well.")
    lock = Plan(
        "grebe", "2026-08-22T14:00:00+01:00", LOCK.on(20.0), GREBE_CREW, "new gate seal, a look at it"
    )
    whole_dive(stage, lock, note="New seal sits well.")
    basin = Plan(
        "grebe",
        "2026-08-29T10:10:00+01:00",
        BASIN.on(17.0),
        GREBE_CREW,
        "blocks 1 to 3 again",
        30,
        0.15,
        14.0,
    )
    whole_dive(
        stage,
        basin.with_crew(pilot="elke", tender="tamsin"),
        note="Turns on the spot at block 1 to read the tag.",
    )
