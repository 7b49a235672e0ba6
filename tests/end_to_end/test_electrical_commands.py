"""Readings and what is computed, side by side, through the command line: budget, bench, vacuum, response."""

from __future__ import annotations

from pathlib import Path

import pytest
from calling import CommandLine
from three_thrusters import FILES, MODEL, VEHICLE, change, three_thrusters

pytestmark = pytest.mark.system("git")


@pytest.fixture
def call(tmp_path: Path) -> CommandLine:
    return three_thrusters(tmp_path / "book")


def start_work(call: CommandLine) -> str:
    return str(call.json("work", "start", "smew", "--by", "aino", "--purpose", "bench")["work"])


def log(call: CommandLine, record: str, reading: str, *values: str) -> None:
    call("work", "reading", record, reading, *values, "--by", "aino")


# -- clamp meter beside the computed figure -----------------------------------------------------


def test_a_clamp_reading_stands_beside_the_figure_computed_for_what_flew_and_never_replaces_it(
    call: CommandLine,
) -> None:
    before = call.json("budget", "smew")
    assert before["measured"] == []
    assert "never measured." in call("budget", "smew").out
    work = start_work(call)
    log(call, work, "clamp-meter", "current_a=7.2")
    log(call, work, "clamp-idle", "current_a=1.4")
    log(call, work, "load-step", "voltage_v=12.5", "current_a=5")
    after = call.json("budget", "smew")
    assert after["nominal"] == before["nominal"]
    assert after["with_sag"] == before["with_sag"]
    idle, worst = after["measured"]  # newest first; a bench load's current is none of the vehicle's
    assert (idle["what"], idle["of"], idle["measured_a"]) == ("clamp-idle", "idle_current_a", 1.4)
    assert idle["computed_a"] == pytest.approx(0.45 + 0.9)
    assert idle["ratio"] == pytest.approx(1.4 / 1.35)
    assert (worst["dive"], worst["of"]) == (work, "with_sag_current_a")
    assert worst["computed_a"] == pytest.approx(before["with_sag"]["current_a"])
    assert worst["same_configuration"] is True
    shown = call("budget", "smew").out
    assert "measured A" in shown
    assert "computed A" in shown
    assert "standing loads" in shown


def test_the_figure_beside_a_reading_is_of_the_configuration_that_flew_not_of_today(
    call: CommandLine,
) -> None:
    call("vehicle", "approve", "smew", "--by", "ro", "--reason", "as built")
    work = start_work(call)
    log(call, work, "clamp-meter", "current_a=7.2")
    then = call.json("budget", "smew")["with_sag"]["current_a"]
    change(call.root, MODEL, "current_a: 3.9", "current_a: 2.9")
    budget = call.json("budget", "smew")
    (row,) = budget["measured"]
    assert budget["with_sag"]["current_a"] < then - 0.5
    assert row["computed_a"] == pytest.approx(then)
    assert row["same_configuration"] is False


def test_a_reading_at_a_demand_keeps_the_trims_that_nobody_named(call: CommandLine) -> None:
    work = start_work(call)
    log(call, work, "clamp-meter", "current_a=7", "surge=1")
    log(call, work, "clamp-meter", "current_a=7", "surge=1", "heave=0.06")
    one, other = call.json("budget", "smew")["measured"]
    assert one["computed_a"] == pytest.approx(other["computed_a"])
    assert one["of"] == "asked"
    assert one["asked"] == {"surge": 1.0, "heave": 0.06}
    assert "heave 6 %" in call("budget", "smew").out


def test_a_correction_of_a_reading_counts(call: CommandLine) -> None:
    work = start_work(call)
    kept = call.json("work", "reading", work, "clamp-meter", "current_a=72", "--by", "aino")
    call("work", "correct", work, kept["entry"], "values.current_a=7.2", "--reason", "slip", "--by", "aino")
    assert call.json("budget", "smew")["measured"][0]["measured_a"] == 7.2


# -- bench -------------------------------------------------------------------------------------


def test_load_steps_give_the_supply_with_its_uncertainty_a_channel_check_and_the_time_to_the_limit(
    call: CommandLine,
) -> None:
    work = start_work(call)
    # 12.90 V behind 36 mohm, read to 10 mV
    for volts, amperes in (("12.90", "0"), ("12.71", "5.2"), ("12.53", "10.4")):
        log(call, work, "load-step", f"voltage_v={volts}", f"current_a={amperes}")
    pair = 2 * 26 / 58 / 1.5
    for amperes in (1.0, 2.0):
        log(
            call,
            work,
            "load-step",
            "channel=2",
            f"drop_v={amperes * (0.06 + pair):.3f}",
            f"current_a={amperes}",
        )
    # 20 °C, 80 K with a time constant of 300 s: 75 °C after 300 ln(80/25) s
    for t, warm in ((0, 20.0), (150, 51.48), (300, 70.57), (600, 89.17), (900, 96.02)):
        log(call, work, "load-step", f"time_s={t}", f"driver_c={warm}")
    found = call.json("bench", "smew")
    supply = found["supply"]
    assert supply["resistance_ohm"]["value"] == pytest.approx(0.0356, abs=0.0002)
    assert 0.0 < supply["resistance_ohm"]["uncertainty"] < 0.002
    assert supply["recorded_ohm"] == 0.035
    assert supply["agrees"] is True
    (channel,) = found["channels"]
    assert (channel["channel"], channel["agrees"]) == (2, True)
    assert channel["expected_ohm"] == pytest.approx(0.06 + pair)
    assert found["warming"]["time_constant_s"] == pytest.approx(300, rel=0.01)
    assert found["warming"]["limit_c"] == 75
    assert found["warming"]["time_to_limit_s"] == pytest.approx(348.9, abs=3)
    text = call("bench", work).out
    assert "35.6 ± " in text
    assert "the limit of 75 °C is reached after 34" in text


def test_a_supply_that_is_not_as_recorded_is_a_finding_with_the_command_to_change_it(
    call: CommandLine,
) -> None:
    work = start_work(call)
    for volts, amperes in (("12.90", "0"), ("12.30", "5"), ("11.70", "10")):
        log(call, work, "load-step", f"voltage_v={volts}", f"current_a={amperes}")
    found = call("bench", "smew", status=1)
    assert "DOES NOT AGREE" in found.out
    line = next(x for x in found.out.splitlines() if "rovlog vehicle set" in x)
    call(*line.partition("rovlog ")[2].split())
    again = call.json("bench", "smew", status=1)
    assert again["supply"]["agrees"] is False  # the record keeps what flew at its start
    assert "internal_resistance_ohm: 0.12" in (call.root / VEHICLE).read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("steps", "said"),
    [
        ([("voltage_v=12.5", "current_a=5")], "fewer than two different currents"),
        ([("voltage_v=12.5", "current_a=5"), ("voltage_v=12.5", "current_a=5")], "fewer than two different"),
        (
            [("voltage_v=12.5", "current_a=0"), ("voltage_v=12.9", "current_a=5")],
            "voltage rises with the current",
        ),
        ([("voltage_v=12.5",)], "no current_a beside the voltage"),
        ([("driver_c=30", "time_s=0"), ("driver_c=40", "time_s=60")], "fewer than three times"),
        ([("drop_v=0.3", "current_a=0")], "current_a is 0 in every reading"),
    ],
)
def test_too_few_or_impossible_steps_are_refused_clearly(
    call: CommandLine, steps: list[tuple[str, ...]], said: str
) -> None:
    work = start_work(call)
    for values in steps:
        log(call, work, "load-step", *values)
    found = call("bench", "smew", status=None)
    assert said in found.out
    assert "nan" not in found.out.lower()


def test_a_record_without_load_steps_says_how_to_log_one(call: CommandLine) -> None:
    work = start_work(call)
    refused = call("bench", work, status=2)
    assert "no reading load-step" in refused.err
    assert "work reading WORK load-step" in refused.err


# -- a factor for a thruster model --------------------------------------------------------------


def test_a_scale_is_a_proposal_that_writes_nothing_and_its_own_commands_apply_it(call: CommandLine) -> None:
    before = call.json("budget", "smew")["nominal"]["worst_case_current_a"]
    words = ("bench", "scale", "loach-30", "--reading", "1=4.7", "0.75=2.64", "--reading=-1=4.05")
    found = call.json(*words)
    assert (call.root / MODEL).read_text(encoding="utf-8") == FILES[MODEL]
    assert found["factor"] == pytest.approx(1.2, abs=0.01)
    assert found["written"] is False
    assert [p["current_a"] for p in found["points"]] == [3.4, 0.95, 0.7, 2.2, 3.9]
    (effect,) = found["vehicles"]
    assert effect["worst_before_a"] == pytest.approx(before)
    for command in found["apply"]:
        if "vehicle set" in command:
            call(*command.split()[1:])
    assert call.json("budget", "smew", status=None)["nominal"]["worst_case_current_a"] == pytest.approx(
        effect["worst_after_a"], rel=1e-3
    )


def test_readings_that_do_not_tell_the_factor_from_1_propose_no_change(call: CommandLine) -> None:
    text = call("bench", "scale", "loach-30", "--reading", "1=4.0", "0.75=2.1", "0.4=0.75").out
    assert "nothing to change" in text
    assert "To apply it" not in text


def test_a_scale_without_a_model_a_reading_or_a_known_model_is_refused(call: CommandLine) -> None:
    assert "which model" in call("bench", "scale", status=2).err
    assert "no reading" in call("bench", "scale", "loach-30", status=2).err
    assert "did you mean loach-30" in call("bench", "scale", "loach", "--reading", "1=4", status=2).err
    assert "COMMAND=AMPERE" in call("bench", "scale", "loach-30", "--reading", "4", status=2).err
    assert "belong to scale" in call("bench", "smew", "--reading", "1=4", status=2).err


# -- water and vacuum ---------------------------------------------------------------------------


def test_with_a_water_the_budget_tells_rise_attitude_and_ballast(call: CommandLine) -> None:
    found = call.json("budget", "smew", "--temperature-c", "12", "--depth-m", "3")
    assert found["rise"]["depth_m"] == 1.0
    assert found["rise"]["rise_time_s"] > 0
    assert found["righting"]["is_upright"] is True
    assert found["righting"]["height_m"] == pytest.approx(0.05)
    neutral = found["buoyancy"]["ballast_to_neutral_kg"]
    density = found["buoyancy"]["density_kg_m3"]
    lift = neutral * (1 - density / 7850) * 9.80665
    assert lift == pytest.approx(found["buoyancy"]["net_up_n"])
    text = call("budget", "smew", "--temperature-c", "12", "--depth-m", "3").out
    for words in (
        "s from rest at 1 m, hands off",
        "righting moment",
        "would make it neutral",
        "down holds depth",
    ):
        assert words in text


def test_a_housing_beyond_its_rating_and_a_vehicle_that_turns_over_stop_the_dive(call: CommandLine) -> None:
    change(
        call.root,
        VEHICLE,
        "centre_of_buoyancy_m: [0.0, 0.0, -0.03]",
        "centre_of_buoyancy_m: [0.0, 0.0, 0.03]",
    )
    found = call.json("budget", "smew", "--temperature-c", "12", "--depth-m", "45", status=1)
    stops = {f["finding"] for f in found["findings"] if f["severity"] == "stops"}
    assert {"housing-beyond-rating", "turns-over"} <= stops


HOLD = ("vacuum", "--start-below-kpa", "25", "--start-c", "19", "--end-below-kpa", "24.7", "--end-c", "19",
        "--thermometer-uncertainty-k", "0.1")  # fmt: skip


def test_a_vacuum_hold_stands_beside_the_last_five_of_its_housing(call: CommandLine) -> None:
    assert call.json(*HOLD)["earlier"] is None
    assert call.json(*HOLD, "--vehicle", "smew")["earlier"]["note"] == "no hold of tube is on record yet"
    work = start_work(call)
    for rise in ("0.9", "0.2", "0.3", "0.1", "0.25", "0.15"):
        log(call, work, "vacuum-hold", f"corrected_rise_kpa={rise}")
    found = call.json(*HOLD, "--vehicle", "smew")
    assert found["earlier"]["housing"] == "tube"
    assert found["earlier_rises_kpa"] == [0.2, 0.3, 0.1, 0.25, 0.15]
    assert found["usual_kpa"] == 0.2
    text = call(*HOLD, "--vehicle", "smew").out
    assert text.count(work) == 5
    assert "usual" in text


def test_a_housing_is_named_where_several_could_be_held(call: CommandLine) -> None:
    tube = "{housing: tube, depth_rating_m: 30, vacuum_port: true}"
    change(call.root, VEHICLE, tube, f"{tube}, {tube.replace('tube', 'lamp')}")
    work = start_work(call)
    log(call, work, "vacuum-hold", "corrected_rise_kpa=0.2")
    assert "--housing: tube, lamp" in call(*HOLD, "--vehicle", "smew", status=2).err
    assert call.json(*HOLD, "--vehicle", "smew", "--housing", "lamp")["earlier"]["holds"] == []
    assert "did you mean lamp" in call(*HOLD, "--vehicle", "smew", "--housing", "lam", status=2).err
    assert "--vehicle" in call(*HOLD, "--housing", "lamp", status=2).err


# -- words and tables ---------------------------------------------------------------------------


def test_every_section_says_what_it_is_computed_from(call: CommandLine) -> None:
    text = call("budget", "smew", "--temperature-c", "12").out
    assert text.count("computed from") >= 5
    inputs = call.json("budget", "smew")["inputs"]
    resolved = call.json("vehicle", "show", "smew")["resolved"]
    for pointer in {p for pointers in inputs.values() for p in pointers} - {"/electrical/thinnest_wire_mm2"}:
        at = resolved
        for key in pointer.split("/")[1:]:
            assert key in at, pointer
            at = at[key]


def test_names_with_brackets_and_control_characters_stay_text_in_the_tables(call: CommandLine) -> None:
    work = start_work(call)
    log(call, work, "clamp-meter", "current_a=7")
    assert "\x1b" not in call("budget", "smew").out
    assert "aft-port" in call("response", "smew", "--demand", "surge=1").out
