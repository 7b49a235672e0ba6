"""Numbers that no vehicle has, in real files: a clear error or a finding, never a NaN on the screen."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from calling import Called, CommandLine
from three_thrusters import BOX, FILES, MODEL, VEHICLE, change, three_thrusters

pytestmark = pytest.mark.system("git")

ASKED = (
    ("budget", "smew", "--temperature-c", "12", "--salinity", "20", "--depth-m", "4"),
    ("response", "smew", "--demand", "surge=1", "--demand", "yaw=-0.5"),
    ("response", "smew", "--stick", "left-stick-y=-1"),
    ("vehicle", "show", "smew"),
    ("ballast", "smew", "--from", "fresh:14", "--to", "salt:10:33"),
)
"""What is asked of every odd file."""

NO_NUMBER = re.compile(r"(?<![\w./'-])[+-]?(nan|inf|infinity)\b(?!')", re.IGNORECASE)


@pytest.fixture(scope="module")
def logbook(tmp_path_factory: pytest.TempPathFactory) -> CommandLine:
    return three_thrusters(tmp_path_factory.mktemp("odd") / "book")


@pytest.fixture
def call(logbook: CommandLine) -> CommandLine:
    """The logbook with its files as they were."""
    for name, text in FILES.items():
        (logbook.root / name).write_text(text, encoding="utf-8")
    return logbook


def assert_no_nan(called: Called) -> None:
    for text in (called.out, called.err):
        assert "Traceback" not in text
        assert not NO_NUMBER.search(text), NO_NUMBER.search(text)


def findings(call: CommandLine) -> dict[str, str]:
    """What the budget finds: finding to severity."""
    return {f["finding"]: f["severity"] for f in call.json("budget", "smew", status=None)["findings"]}


def test_the_files_as_they_are_have_a_budget_and_nothing_stops_them(call: CommandLine) -> None:
    call("validate")
    assert "stops" not in findings(call).values()
    for words in ASKED:
        assert_no_nan(call(*words))
        assert_no_nan(call(*words, "--json"))


REFUSED = {
    "a direction without length": (
        VEHICLE,
        "[0.0, 0.0, 1.0]",
        "[0.0, 0.0, 0.0]",
        "thrust_direction of thruster lift",
    ),
    "a direction of another length": (
        VEHICLE,
        "[0.0, 0.0, 1.0]",
        "[0.0, 0.0, 2.0]",
        "thrust_direction of thruster lift",
    ),
    "a negative resistance of the supply": (
        VEHICLE,
        "ohm: 0.035",
        "ohm: -0.035",
        "internal_resistance_ohm of supply",
    ),
    "a negative resistance of the leads": (
        VEHICLE,
        "leads: {resistance_ohm: 0",
        "leads: {resistance_ohm: -0",
        "resistance_ohm of leads",
    ),
    "a negative resistance of the fuse": (
        VEHICLE,
        "20, resistance_ohm: 0",
        "20, resistance_ohm: -0",
        "resistance_ohm of fuse",
    ),
    "a negative resistance of the drivers": (
        VEHICLE,
        "on_resistance_ohm: 0",
        "on_resistance_ohm: -0",
        "on_resistance_ohm of drivers",
    ),
    "an infinite mass": (VEHICLE, "mass_kg: 5.10", "mass_kg: .inf", "'.inf' is not a finite number"),
    "a mass beyond all numbers": (
        VEHICLE,
        "mass_kg: 5.10",
        "mass_kg: 1e999",
        "'1e999' is not a finite number",
    ),
    "a voltage that is no number": (
        VEHICLE,
        "open_circuit_v: 12.9",
        "open_circuit_v: .nan",
        "'.nan' is not a finite number",
    ),
    "a current that is no number": (MODEL, "current_a: 2.2", "current_a: NaN", "current_a of command 0.75"),
    "an enormous current": (MODEL, "current_a: 2.2", "current_a: 1e300", "current_a of command 0.75"),
    "a negative current": (MODEL, "current_a: 2.2", "current_a: -2.2", "current_a of command 0.75"),
    "thrust against its command": (MODEL, "thrust_n: 5.3", "thrust_n: -5.3", "thrust_n at command 0.75"),
    "a command twice": (MODEL, "command: 0.75", "command: 0.4", "command 0.4"),
    "a command beyond full": (MODEL, "command: 0.75", "command: 1.75", "command"),
    "a table without an end": (MODEL, "  - {command: -1, thrust_n: -7.6, current_a: 3.4}\n", "", "points"),
    "a rated voltage of 0": (MODEL, "rated_v: 12", "rated_v: 0", "rated_v"),
    "an infinite share": (BOX, "heave: {3: 1}", "heave: {3: .inf}", "'.inf' is not a finite number"),
    "a dead band that leaves nothing": (BOX, "dead_band: 0.05, cubic", "dead_band: 1, cubic", "dead_band"),
    "a wire of no gauge": (
        VEHICLE,
        "conductor_area_mm2: 1.5",
        "conductor_awg: 900",
        "conductor_awg of tether",
    ),
    "a wire of no area": (
        VEHICLE,
        "conductor_area_mm2: 1.5",
        "conductor_area_mm2: 0",
        "conductor_area_mm2 of tether",
    ),
    "a fuse of 0 A": (VEHICLE, "rating_a: 20", "rating_a: 0", "rating_a of fuse"),
}


@pytest.mark.parametrize("case", REFUSED)
def test_what_cannot_be_is_refused_with_its_place_and_its_field(call: CommandLine, case: str) -> None:
    name, old, new, field = REFUSED[case]
    change(call.root, name, old, new)
    found = call("validate", status=1)
    assert re.search(rf"^{re.escape(name)}:\d+:\d+: .*{re.escape(field)}", found.out, re.MULTILINE), found.out
    assert "mend:" in found.out
    approve = ("vehicle", "approve", "smew", "--by", "ro", "--reason", "as built")
    for words in (*ASKED, approve):
        refused = call(*words, status=2)
        assert refused.out == ""
        assert field in refused.err
        assert "Traceback" not in refused.err


FOUND = {
    "thrust that falls with the command": (
        MODEL,
        "thrust_n: 5.3",
        "thrust_n: 12.3",
        "thrust-falls-loach-30",
        "note",
    ),
    "points out of order that make a table fall": (
        MODEL,
        "command: 0.75",
        "command: 0.35",
        "thrust-falls-loach-30",
        "note",
    ),
    "current that falls with the command": (
        MODEL,
        "current_a: 2.2",
        "current_a: 4.4",
        "current-falls-loach-30",
        "note",
    ),
    "I over c that falls": (
        MODEL,
        "current_a: 2.2",
        "current_a: 3.5",
        "motor-current-falls-loach-30",
        "note",
    ),
    "a tether that cannot feed a motor": (
        VEHICLE,
        "length_m: 26, conductor_area_mm2: 1.5",
        "length_m: 300, conductor_area_mm2: 0.25",
        "no-operating-point",
        "stops",
    ),
    "a supply that cannot carry the load": (VEHICLE, "ohm: 0.035", "ohm: 5", "no-operating-point", "stops"),
    "a supply below its standing loads": (
        VEHICLE,
        "kind: battery,",
        "kind: regulated, current_limit_a: 1,",
        "no-operating-point",
        "stops",
    ),
    "a voltage far above the table": (
        VEHICLE,
        "open_circuit_v: 12.9",
        "open_circuit_v: 24",
        "no-operating-point",
        "note",
    ),
}


@pytest.mark.parametrize("case", FOUND)
def test_what_may_be_but_is_odd_is_a_finding_and_every_figure_stays_a_number(
    call: CommandLine, case: str
) -> None:
    name, old, new, finding, severity = FOUND[case]
    change(call.root, name, old, new)
    call("validate")
    assert findings(call).get(finding) == severity
    for words in ASKED:
        assert_no_nan(call(*words, status=None))
        assert_no_nan(call(*words, "--json", status=None))
    if severity == "stops":
        asked = call.json("vehicle", "approve", "smew", "--by", "ro", "--reason", "as built", status=1)
        assert asked["revision"] is None
        assert finding in {f["finding"] for f in asked["findings"]}


def test_where_there_is_no_operating_point_the_figures_are_null_with_the_reason(call: CommandLine) -> None:
    change(call.root, VEHICLE, "ohm: 0.035", "ohm: 5")
    found = call.json("budget", "smew", status=1)["with_sag"]
    assert found["current_a"] is None
    assert found["box_v"] is None
    assert "cannot carry" in found["reason"]
    assert "no answer" in call("budget", "smew", status=1).out


def test_lines_of_thrust_that_all_pass_through_the_origin_are_said_and_nothing_is_divided(
    call: CommandLine,
) -> None:
    text = FILES[VEHICLE]
    for place in ("[-0.18, -0.12, 0.0]", "[-0.18, 0.12, 0.0]", "[0.0, 0.0, -0.05]"):
        text = text.replace(place, "[0.0, 0.0, 0.0]")
    (call.root / VEHICLE).write_text(text, encoding="utf-8")
    shown = call.json("vehicle", "show", "smew")
    assert "no-lever-arm" in {f["finding"] for f in shown["findings"]}
    assert shown["authority"]["yaw"]["answers"] == "not-at-all"
    for words in ASKED:
        assert_no_nan(call(*words, status=None))


@pytest.mark.parametrize(
    ("flags", "field"),
    [
        (("--temperature-c", "-4"), "temperature_c"),
        (("--temperature-c", "55"), "temperature_c"),
        (("--temperature-c", "12", "--salinity", "60"), "salinity"),
        (("--temperature-c", "12", "--salinity", "-1"), "salinity"),
        (("--temperature-c", "12", "--depth-m", "-3"), "depth_m"),
        (("--temperature-c", "12", "--depth-m", "12000"), "depth_m"),
        (("--temperature-c", "nan"), "temperature-c"),
        (("--temperature-c", "12", "--salinity", "inf"), "salinity"),
    ],
)
def test_a_water_that_is_none_is_refused_by_name(
    call: CommandLine, flags: tuple[str, ...], field: str
) -> None:
    refused = call("budget", "smew", *flags, status=2)
    assert refused.out == ""
    assert field in refused.err


@pytest.mark.parametrize("water", ["salt:12:80", "fresh:90", "salt:nan:35", "sea:12"])
def test_ballast_refuses_a_water_that_is_none(call: CommandLine, water: str) -> None:
    refused = call("ballast", "smew", "--from", "fresh:14", "--to", water, status=2)
    assert refused.out == ""
    assert "mend:" in refused.err


@pytest.mark.parametrize(
    ("start", "end", "field"),
    [
        ("76.7", "77.0", "start_below_kpa"),  # absolute pressures where below outside is meant
        ("25", "76.5", "end_below_kpa"),
        ("-25", "24", "start_below_kpa"),
        ("0", "0", "start_below_kpa"),
    ],
)
def test_readings_that_look_absolute_or_have_no_vacuum_are_refused_with_what_to_give(
    tmp_path: Path, start: str, end: str, field: str
) -> None:
    alone = CommandLine(tmp_path)  # judging a hold needs no logbook
    refused = alone("vacuum", f"--start-below-kpa={start}", "--start-c", "20", f"--end-below-kpa={end}",
                    "--end-c", "20", status=2)  # fmt: skip
    assert refused.out == ""
    assert field in refused.err
    assert "mend:" in refused.err


def test_a_response_beyond_full_and_to_a_control_that_does_not_exist_is_refused_by_name(
    call: CommandLine,
) -> None:
    assert "surge" in call("response", "smew", "--demand", "surge=1.5", status=2).err
    assert "left-stick-q" in call("response", "smew", "--stick", "left-stick-q=1", status=2).err
    assert "'nan' is not a number" in call("response", "smew", "--demand", "surge=nan", status=2).err
