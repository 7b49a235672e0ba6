"""The whole job by the command line, on hand-written files under real git: prepare, check, fly, find out.

The class reads from top to bottom: each test takes the day on where the one before left it.
"""

# ruff: noqa: E501
from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
from calling import CommandLine, git, new_logbook
from crew_at_the_pool import CREW, CrewAtThePool

pytestmark = [pytest.mark.system("git"), pytest.mark.xdist_group("whole-job")]

SHA = re.compile(r"sha256:[0-9a-f]{64}")


class Day:
    """What the tests of the day hand on."""

    line: CommandLine
    first = ""
    second = ""


@pytest.fixture(scope="module")
def day(tmp_path_factory: pytest.TempPathFactory) -> Day:
    found = Day()
    found.line = new_logbook(tmp_path_factory.mktemp("job") / "logbook")
    return found


def replace(day: Day, name: str, before: str, after: str) -> None:
    path = day.line.root / name
    text = path.read_text(encoding="utf-8")
    assert before in text
    path.write_text(text.replace(before, after, 1), encoding="utf-8")


def start(day: Day, vehicle: str = "auk") -> dict[str, Any]:
    crew = [f"{role}={who}" for role, who in CREW.items()]
    found: dict[str, Any] = day.line.json(
        "dive", "start", vehicle, "--by", "nora", "--site", "jetty", "--water", "fresh:14", "--crew", *crew,
        "--depth-m", "3", "--minutes", "30",
    )  # fmt: skip
    return found


class TestADayAtTheWater:
    def test_01_what_was_written_by_hand_validates(self, day: Day) -> None:
        found = day.line.json("validate")
        assert found == {"documents": 15, "problems": []}
        assert day.line("validate").out == "15 documents: no problems\n"

    def test_02_a_configuration_is_shown_in_the_pilots_words(self, day: Day) -> None:
        shown = day.line.json("vehicle", "show", "auk")
        assert SHA.fullmatch(shown["digest"])
        assert shown["revision"] is None
        assert shown["resolved"]["thruster_map"]["shares"]["surge"] == {"1": 1, "2": 1}
        assert shown["resolved"]["thrusters"]["aft-port"]["channel"] == 1
        assert set(shown["authority"]) >= {"surge", "heave", "yaw"}
        surge = shown["authority"]["surge"]
        assert surge["answers"] == "as-commanded"
        assert surge["positive"] == pytest.approx(10.4)  # two thrusters of 5.2 N each
        assert surge["negative"] == pytest.approx(-8.2)  # and 4.1 N each astern
        assert set(surge["coupling"]) <= {
            "X",
            "Y",
            "Z",
            "K",
            "M",
            "N",
            "surge",
            "sway",
            "heave",
            "roll",
            "pitch",
            "yaw",
        }
        assert shown["limit"]["X"]["positive"] == pytest.approx(10.4)
        assert "ahead" in shown["controls"]["left-stick-y"]
        text = day.line("vehicle", "show", "auk").out
        assert "left stick forward: ahead" in text
        assert "right stick forward: up" in text

    def test_03_a_backwards_map_is_refused_until_a_reason_is_given_or_it_is_mended(self, day: Day) -> None:
        replace(day, "vehicles/auk.yaml", "thruster_map: 2", "thruster_map: 7")
        words = ("vehicle", "approve", "auk", "--by", "nora", "--reason", "first wiring")
        refused = day.line.json(*words, status=1)
        assert set(refused) >= {"revision", "findings"}
        assert refused["revision"] is None
        assert all(set(f) >= {"finding", "text"} for f in refused["findings"])
        backwards = [f for f in refused["findings"] if "backwards" in f["finding"]]
        assert backwards
        assert "astern" in day.line("vehicle", "show", "auk").out
        assert "--accept" in day.line(*words, status=1).out
        assert not (day.line.root / "approvals").exists()
        replace(day, "vehicles/auk.yaml", "thruster_map: 7", "thruster_map: 2")

    def test_04_an_approval_is_a_file_with_the_whole_configuration_and_a_commit(self, day: Day) -> None:
        approved = day.line.json(
            "vehicle", "approve", "auk", "--by", "nora", "--reason", "as built", "--evidence", "tub test"
        )
        assert approved["revision"] == 1
        shown = day.line.json("vehicle", "show", "auk@1")
        assert shown["digest"] == approved["digest"]
        digest = approved["digest"].removeprefix("sha256:")
        path = day.line.root / f"approvals/auk/r1-{digest[:8]}.yaml"
        text = path.read_text(encoding="utf-8")
        assert f'digest: "{approved["digest"]}"' in text or f"digest: {approved['digest']}" in text
        assert "tub test" in text
        assert "vehicles/auk.yaml" in git(day.line.root, "ls-files")
        assert git(day.line.root, "status", "--porcelain", "--", "approvals") == ""
        assert "Nora Vik" in git(day.line.root, "log", "-1", "--format=%an %s%n%b") or "auk" in git(
            day.line.root, "log", "-1", "--format=%s"
        )

    def test_05_the_budget_has_the_promised_shape(self, day: Day) -> None:
        dry = day.line.json("budget", "auk")
        assert "buoyancy" not in dry
        assert "pressure" not in dry
        wet = day.line.json("budget", "auk", "--temperature-c", "14", "--depth-m", "3")
        assert set(wet["nominal"]) >= {"worst_case_current_a", "demand", "sticks", "at_most", "per_channel_a"}
        assert set(wet["with_sag"]) >= {"current_a", "supply_v", "box_v", "thruster_v"}
        fuse = wet["fuse"]
        assert set(fuse) >= {
            "rating_a",
            "current_a",
            "shortest_s",
            "longest_s",
            "verdict",
            "short_at_far_end",
        }
        assert set(fuse["short_at_far_end"]) >= {"current_a", "verdict"}
        assert set(wet["buoyancy"]) >= {"density_kg_m3", "net_up_n", "heave_trim"}
        assert set(wet["pressure"]) >= {"gauge_kpa", "rating_kpa", "margin"}
        # Full ahead and full down at once: 2 x 2.1 A + 2 x 1.15 A (scaled by no clipping) + 0.35 A of loads.
        assert wet["nominal"]["worst_case_current_a"] == pytest.approx(2 * 2.1 + 2 * 1.15 + 0.35, abs=0.05)

    def test_06_a_stick_and_a_demand_give_the_wrench(self, day: Day) -> None:
        found = day.line.json("response", "auk", "--demand", "surge=1")
        assert set(found) >= {"demands", "channels", "thrusters", "wrench", "text"}
        assert found["channels"]["1"] == pytest.approx(1.0)
        assert found["wrench"]["X"] == pytest.approx(10.4)
        stick = day.line.json("response", "auk", "--stick", "left-stick-y=-1")
        assert stick["demands"]["heave"] == pytest.approx(
            0.07
        )  # the trim is added to the sticks, not to demands
        assert found["thrusters"]["aft-port"] == {
            "thrust_n": pytest.approx(5.2),
            "current_a": pytest.approx(2.1),
        }

    def test_07_a_dive_starts_on_the_approved_configuration(self, day: Day) -> None:
        started = start(day)
        day.first = started["dive"]
        assert re.fullmatch(r"auk-[0-9]{8}-[a-z]{4}", day.first)
        assert started["revision"] == 1
        assert started["deviations"] == []
        again = day.line(
            "dive", "start", "auk", "--by", "nora", "--site", "x", "--water", "fresh:14", status=2
        )
        assert day.first in again.err

    def test_08_everything_open_is_named_and_stops_the_dive(self, day: Day) -> None:
        shown = day.line.json("dive", "show", "auk")
        assert shown["dive"] == day.first
        assert {s["state"] for s in shown["items"].values()} <= {"open", "not-applicable"}
        assert all(set(s) >= {"reason", "clears"} for s in shown["stops"])
        assert set(shown["configuration"]) >= {"baseline", "as_flown"}
        assert SHA.fullmatch(shown["configuration"]["baseline"])
        assert "stop this dive" in day.line("dive", "show", "auk").out

    def test_09_a_value_out_of_its_limit_fails_and_is_answered_again(self, day: Day) -> None:
        tick = ("dive", "tick", day.first, "deck", "--by", "ife")
        failed = day.line.json(*tick, "--value", "supply_from_edge=1.5", status=1)
        assert failed["outcome"] == "fail"
        assert failed["judged"][0]["passed"] is False
        assert failed["judged"][0]["margin"] < 0
        assert day.line.json("dive", "show", day.first)["items"]["deck"]["state"] == "failed"
        assert day.line.json(*tick, "--value", "supply_from_edge=3,0")["state"] == "answered"

    def test_10_a_hold_point_waits_for_what_always_stops(self, day: Day) -> None:
        refused = day.line("dive", "release", day.first, "release-power-on", "--by", "nora", status=2)
        assert "cannot be released" in refused.err
        refused = day.line("dive", "tick", day.first, "power-on", "--by", "ife", status=2)
        assert "waits for release" in refused.err

    def test_11_blind_answers_that_differ_are_shown_and_count_as_not_done(self, day: Day) -> None:
        day.line("dive", "tick", day.first, "fuse", "--value", "rating=15", "--by", "ife")
        hidden = day.line.json("dive", "show", day.first)["items"]["fuse"]
        assert hidden["waits_for_second"]
        assert hidden["values"] == {}
        day.line("dive", "tick", day.first, "fuse", "--value", "rating=20", "--by", "tomas", status=1)
        differ = day.line.json("dive", "show", day.first)
        assert differ["items"]["fuse"]["state"] in ("failed", "open")
        assert any("fuse" in s.get("id", "") for s in differ["stops"])
        for who in ("ife", "tomas"):
            day.line("dive", "tick", day.first, "fuse", "--value", "rating=15", "--by", who)
        assert day.line.json("dive", "show", day.first)["items"]["fuse"]["state"] == "answered"

    def test_12_the_whole_list_is_answered_and_nothing_recorded_stops_this_dive(self, day: Day) -> None:
        crew = CrewAtThePool(day.line, day.first)
        day.line("dive", "mark", day.first, "power-on", "--by", "tomas")
        assert crew.work_through("pre-dive") > 60
        shown = day.line.json("dive", "show", day.first)
        assert shown["stops"] == []
        text = day.line("dive", "show", day.first).out
        assert "nothing recorded stops this dive" in text
        assert not re.search(r"\b(go|safe)\b", text.splitlines()[3], re.IGNORECASE)
        drift = day.line.json("drift", day.first)
        assert drift["deviations"] == []

    def test_13_launch_trim_recovery_and_rinse(self, day: Day) -> None:
        crew = CrewAtThePool(day.line, day.first)
        day.line("dive", "mark", day.first, "in-water", "--by", "tomas")
        crew.work_through("launch")
        day.line("dive", "mark", day.first, "off-surface", "--by", "tomas")
        day.line("dive", "trim", day.first, "heave=0.12", "--reason", "rose at the end", "--by", "tomas")
        day.line("dive", "reading", day.first, "clamp-meter", "current_a=5,9", "--by", "ife")
        day.line("dive", "note", day.first, "silt after ten minutes", "--by", "tomas")
        drift = day.line.json("drift", day.first, status=1)["deviations"]
        row = next(d for d in drift if d["pointer"] == "/trim_defaults/heave")
        assert set(row) >= {
            "pointer", "baseline", "working", "readback", "stored", "logged", "effect", "stops_dive", "waived",
        }  # fmt: skip
        assert row["baseline"] == pytest.approx(0.07)
        assert row["logged"] == pytest.approx(0.12)
        assert set(row["effect"]) >= {"text", "reversed", "lost", "worst_case_current_a"}
        assert set(row["effect"]["worst_case_current_a"]) == {"before", "after"}
        for mark in ("back-at-surface", "out-of-water"):
            day.line("dive", "mark", day.first, mark, "--by", "tomas")
        crew.work_through("recovery")
        day.line("dive", "mark", day.first, "power-off", "--by", "tomas")
        crew.work_through("post-dive")
        closed = day.line("dive", "close", day.first, "--by", "nora")
        assert "closed" in closed.out
        assert git(day.line.root, "status", "--porcelain", "--", "dives") == ""

    def test_14_a_correction_is_a_further_entry(self, day: Day) -> None:
        entries = day.line("dive", "show", day.first, "--entries").out
        number = next(line.split()[0] for line in entries.splitlines() if "silt after ten minutes" in line)
        day.line(
            "dive",
            "correct",
            day.first,
            number,
            "text=silt after two minutes",
            "--reason",
            "slip",
            "--by",
            "tomas",
        )
        text = next(day.line.root.glob("dives/*/*.yaml")).read_text(encoding="utf-8")
        assert "silt after ten minutes" in text
        assert "silt after two minutes" in day.line("dive", "show", day.first, "--entries").out

    def test_15_the_next_dive_carries_answers_over_and_shows_them_as_such(self, day: Day) -> None:
        day.second = start(day)["dive"]
        items = day.line.json("dive", "show", day.second)["items"]
        carried = {name for name, s in items.items() if s["carried_from"] == day.first}
        assert {"stop-word", "seals", "link-loss", "direction"} <= carried
        assert items["swimmers"]["state"] == "open"  # valid for one dive
        assert items["fuse"]["carried_from"] in (None, day.first)
        assert "carried over" in day.line("dive", "show", day.second).out

    def test_16_an_event_voids_what_it_must(self, day: Day) -> None:
        day.line("dive", "event", day.second, "housing-opened", "--part", "tube", "--by", "ife")
        items = day.line.json("dive", "show", day.second)["items"]
        assert items["seals"]["state"] in ("open", "expired")
        assert "housing opened" in items["seals"]["void_reason"]

    def test_17_a_swap_in_the_files_is_drift_that_stops_the_dive_with_its_effect(self, day: Day) -> None:
        replace(day, "vehicles/auk.yaml", "aft-port, model: guppy-12, channel: 1, polarity: normal",
                "aft-port, model: guppy-12, channel: 1, polarity: reversed")  # fmt: skip
        drift = day.line.json("drift", "auk", status=1)["deviations"]
        row = next(d for d in drift if d["pointer"] == "/thrusters/aft-port/polarity")
        assert (row["baseline"], row["working"]) == ("normal", "reversed")
        assert row["stops_dive"]
        assert row["effect"]["lost"] or row["effect"]["reversed"]
        compared = day.line.json("vehicle", "compare", "auk@1", "auk", status=1)
        assert "/thrusters/aft-port/polarity" in str(compared)
        waived = ("dive", "waive", day.second, "--pointer", "/thrusters/aft-port/polarity", "--until", "dive")
        assert "supervisor" in day.line(*waived, "--reason", "trial", "--by", "ife", status=2).err
        day.line(*waived, "--reason", "trial", "--by", "nora")
        row = next(
            d for d in day.line.json("drift", day.second, status=1)["deviations"]
            if d["pointer"] == "/thrusters/aft-port/polarity"
        )  # fmt: skip
        assert row["waived"]
        replace(day, "vehicles/auk.yaml", "polarity: reversed", "polarity: normal")

    def test_18_another_firmware_in_the_box_is_a_difference_decoded_by_its_own_table(self, day: Day) -> None:
        day.line("dive", "readback", day.second, "--in-use", "steering_scheme=1", "thruster_map=1",
                 "--firmware", "1.9", "--by", "ife")  # fmt: skip
        drift = day.line.json("drift", day.second, status=1)["deviations"]
        pointers = {d["pointer"] for d in drift}
        assert {"/control_box/firmware", "/control_box/thruster_map"} <= pointers
        assert any(d["stops_dive"] for d in drift)
        text = day.line("drift", day.second, status=1).out
        assert "1 (two aft)" in text  # by the table of that firmware
        assert "2 (two aft and two lift)" in text

    def test_19_a_fault_puts_the_vehicle_into_quarantine(self, day: Day) -> None:
        day.line("dive", "mark", day.second, "power-on", "--by", "tomas")
        day.line("dive", "fault", day.second, "yaw-weak", "--text", "turns slowly to port", "--by", "tomas")
        shown = day.line.json("dive", "show", day.second)
        assert shown["quarantine"] is not None
        assert "quarantine" in shown["stops"][0]["reason"]
        day.line("dive", "close", day.second, "--by", "nora")

    def test_20_the_audit_finds_what_changed(self, day: Day) -> None:
        line = day.line.json("audit", "timeline", "--vehicle", "auk")
        kinds = [m["kind"] for m in line["moments"]]
        assert {"dive", "fault", "approval"} <= set(kinds)
        flown = day.line.json("audit", "flown", "/control_box/firmware", "1.9", "--vehicle", "auk")
        assert day.second in str(flown)
        assert day.first not in str(
            day.line.json("audit", "flown", "/control_box/firmware", "1.9", "--vehicle", "auk")
        )
        assert day.line.json("audit", "between", day.first, day.second)
        field = day.line.json("audit", "field", "/trim_defaults/heave", "--vehicle", "auk")
        assert "0.07" in str(field)
        good = day.line.json("audit", "known-good", "--vehicle", "auk", "--symptom", "yaw-weak")
        assert good["last_known_good"]
        suspects = day.line.json("audit", "suspects", "--vehicle", "auk", "--symptom", "yaw-weak")
        assert set(suspects) >= {"symptom", "dives", "ranked"}
        assert set(suspects["dives"]) >= {"with", "without"}
        for row in suspects["ranked"]:
            assert set(row) >= {
                "what", "pointer", "from", "to", "commit", "text", "score", "ochiai", "p", "p_adjusted",
                "plausibility", "with", "without", "grouped_with",
            }  # fmt: skip

    def test_21_names_of_configurations(self, day: Day) -> None:
        head = git(day.line.root, "rev-parse", "HEAD").strip()
        digest = day.line.json("vehicle", "show", "auk@1")["digest"]
        for name in (f"auk@{head}", f"auk@{head[:8]}", day.first, "auk"):
            assert day.line.json("vehicle", "show", name)["digest"] == digest, name

    def test_22_the_whole_logbook_verifies_and_validates(self, day: Day) -> None:
        assert day.line.json("validate")["problems"] == []
        verified = day.line.json("verify")
        assert verified["wrong"] == 0
        assert verified["proves"]
        assert verified["cannot"]

    def test_23_the_log_reads_as_a_day_at_the_water(self, day: Day) -> None:
        subjects = git(day.line.root, "log", "--format=%s").splitlines()
        assert any(s.startswith(f"Start dive {day.first}") for s in subjects)
        assert any(s.startswith(f"Close dive {day.first}") for s in subjects)
        assert any(s.startswith(f"Fault on {day.second}") for s in subjects)

    def test_24_the_installed_command_says_the_same_as_this_process(self, day: Day) -> None:
        for words in (
            ("dive", "show", day.second, "--json"),
            ("drift", "auk"),
            ("dive", "list"),
            ("verify",),
        ):
            here, there = day.line(*words, status=None), day.line.installed(*words)
            assert (here.status, here.err) == (there.status, there.err)
            if words[0] != "verify":
                assert here.out == there.out


def test_an_approval_withdrawn_leaves_the_one_before_in_force(tmp_path: Path) -> None:
    line = new_logbook(tmp_path / "logbook")
    line("vehicle", "approve", "auk", "--by", "nora", "--reason", "first")
    path = line.root / "vehicles/auk.yaml"
    path.write_text(path.read_text().replace("heave: 0.07", "heave: 0.09"))
    line("vehicle", "approve", "auk", "--by", "nora", "--reason", "more trim")
    withdrawn = line.json("vehicle", "withdraw", "auk@2", "--by", "nora", "--reason", "was a trial")
    assert withdrawn["in_force"] == 1
    assert line.json("vehicle", "list")["vehicles"][0]["revision"] == 1
    assert "was a trial" in line("vehicle", "history", "auk").out
    again = line("vehicle", "withdraw", "auk@2", "--by", "nora", "--reason", "x", status=2)
    assert "withdrawn" in again.err
    assert line.json("vehicle", "show", "auk@2")["resolved"]["trim_defaults"]["heave"] == 0.09


def test_two_approvals_of_one_number_stop_the_dive_until_one_is_approved_again(tmp_path: Path) -> None:
    one, other = new_logbook(tmp_path / "one"), tmp_path / "other"
    git(tmp_path, "clone", "--quiet", str(one.root), str(other))
    two = CommandLine(other, ROVLOG_WRITER="second-laptop")
    from hand_written import write_files

    write_files(two.root)
    path = two.root / "vehicles/auk.yaml"
    path.write_text(path.read_text().replace("heave: 0.07", "heave: 0.11"))
    one("vehicle", "approve", "auk", "--by", "nora", "--reason", "first")
    two("vehicle", "approve", "auk", "--by", "tomas", "--reason", "mine")
    rival = next((two.root / "approvals/auk").glob("r1-*.yaml"))
    (one.root / "approvals/auk" / rival.name).write_bytes(rival.read_bytes())
    assert "claim" in one("vehicle", "list").out
    dive = start_on(one)
    assert any("claim" in s["reason"] for s in one.json("dive", "show", dive)["stops"])
    assert (
        one.json("vehicle", "approve", "auk", "--by", "nora", "--reason", "looked at both")["revision"] == 2
    )
    assert not any("claim" in s["reason"] for s in one.json("dive", "show", dive)["stops"])


def start_on(line: CommandLine, vehicle: str = "auk") -> str:
    crew = [f"{role}={who}" for role, who in CREW.items()]
    words = ("--by", "nora", "--site", "jetty", "--water", "fresh:14", "--crew", *crew)
    return str(line.json("dive", "start", vehicle, *words)["dive"])


def test_a_dive_from_files_nobody_approved_or_committed_can_be_told_later(tmp_path: Path) -> None:
    line = new_logbook(tmp_path / "logbook")
    line("vehicle", "approve", "auk", "--by", "nora", "--reason", "first")
    path = line.root / "vehicles/auk.yaml"
    path.write_text(path.read_text().replace("heave: 0.07", "heave: 0.2"))
    dive = start_on(line)
    deviations = line.json("dive", "show", dive)["configuration"]["deviations"]
    assert [d["pointer"] for d in deviations] == ["/trim_defaults/heave"]
    path.write_text(path.read_text().replace("heave: 0.2", "heave: 0.07"))
    assert line.json("vehicle", "show", dive)["resolved"]["trim_defaults"]["heave"] == 0.2
    line("dive", "close", dive, "--by", "nora")
    assert line.json("drift", dive, status=1)["deviations"][0]["working"] == 0.2


def test_two_dives_are_open_on_two_vehicles_and_each_is_asked_for_by_name(tmp_path: Path) -> None:
    line = new_logbook(tmp_path / "logbook")
    first, second = start_on(line, "auk"), start_on(line, "dipper")
    assert line.json("dive", "show", "auk")["dive"] == first
    assert line.json("dive", "show", "dipper")["dive"] == second
    assert line("drift", "dipper", status=1).out


def test_a_second_laptop_writes_a_part_of_its_own_and_both_are_one_dive(tmp_path: Path) -> None:
    line = new_logbook(tmp_path / "logbook")
    dive = start_on(line)
    first = next(line.root.glob(f"dives/*/{dive}.yaml")).read_bytes()
    other = CommandLine(line.root, ROVLOG_WRITER="second-laptop")
    other("dive", "note", dive, "from the other laptop", "--by", "ife")
    line("dive", "note", dive, "from the first", "--by", "nora")
    part = next(line.root.glob(f"dives/*/{dive}.second-laptop.yaml"))
    assert f"continues: {dive}" in part.read_text(encoding="utf-8")
    assert next(line.root.glob(f"dives/*/{dive}.yaml")).read_bytes().startswith(first)
    shown = line.json("dive", "show", dive)
    assert sorted(shown["writers"]) == ["second-laptop", "test-laptop"]
    entries = line("dive", "show", dive, "--entries").out
    assert entries.index("from the other laptop") < entries.index("from the first")
    line("dive", "close", dive, "--by", "nora")
    text = next(line.root.glob(f"dives/*/{dive}.yaml")).read_text(encoding="utf-8")
    assert "second-laptop: {upto: 2" in text
    assert line.json("verify")["wrong"] == 0
    assert line.json("validate")["problems"] == []


def test_a_torn_line_is_kept_and_the_record_goes_on(tmp_path: Path) -> None:
    line = new_logbook(tmp_path / "logbook")
    dive = start_on(line)
    path = next(line.root.glob(f"dives/*/{dive}.yaml"))
    with path.open("ab") as file:
        file.write(b'    - {id: "01TORN", n: 2, at: "2026')  # what a power cut leaves
    assert line("dive", "show", dive).status == 0
    line("dive", "note", dive, "after the cut", "--by", "nora")
    shown = line("dive", "show", dive, "--entries").out
    assert "01TORN" in shown
    assert "after the cut" in shown
    assert line.json("validate")["problems"] == []
