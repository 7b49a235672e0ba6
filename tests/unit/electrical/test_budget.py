"""The whole budget: findings by name and severity, less demand, stall, shorts, JSON and words."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest
from hypothesis import given, settings
from vehicles import Documents, configuration_of, configurations, puffin

from rovlog.domain.allocation.table_findings import model_findings
from rovlog.domain.electrical.ahead import full_ahead
from rovlog.domain.electrical.idle import idle
from rovlog.domain.electrical.less_demand import judged_current_a, less_demand, scaled_full_stick
from rovlog.domain.electrical.short import far_short
from rovlog.domain.electrical.worst_case import worst_case
from rovlog.domain.vehicle import Configuration, ThrusterModel, ThrustPoint
from rovlog.faces.reports.budget_data import budget_data
from rovlog.faces.reports.budget_text import budget_text
from rovlog.problems import UsageError
from rovlog.usecases.compute_budget import compute_budget, computed_values, water_given


def changed(**electrical: object) -> Documents:
    """The puffin with some of its electrical part replaced key by key; a dict is merged in."""
    found = puffin()
    part = found.vehicle["electrical"]
    for key, value in electrical.items():
        part[key] = {**part.get(key, {}), **value} if isinstance(value, dict) else value
    return found


def mild() -> Documents:
    """A puffin on a big fuse's share of a small load: nothing stops it."""
    found = changed(
        fuse={"rating_a": 30},
        tether={"conductor_area_mm2": 6.0, "length_m": 10},
        thinnest_wire_mm2=6.0,
        least_working_v=8.0,
    )
    for point in found.models["heron-50"]["points"]:
        point["current_a"] *= 0.6
    return found


def finding_names(found: Documents) -> dict[str, str]:
    """Finding to severity."""
    return {f.finding: f.severity for f in compute_budget(configuration_of(found)).findings}


def test_a_vehicle_within_all_limits_has_nothing_that_stops_it() -> None:
    assert "stops" not in finding_names(mild()).values()
    assert "Nothing here stops the dive." in budget_text(compute_budget(configuration_of(mild())))


@pytest.mark.parametrize(
    ("rating_a", "finding"), [(35, None), (30, "above-continuous"), (22, "fuse-may-open"), (15, "fuse-opens")]
)
def test_each_fuse_verdict_but_the_first_is_a_finding_that_stops(
    rating_a: float, finding: str | None
) -> None:
    share = {"rating_a": rating_a, "continuous_share": 0.8}
    found = finding_names(changed(fuse=share))
    of_fuse = {n for n in found if n in ("above-continuous", "fuse-may-open", "fuse-opens")}
    assert of_fuse == ({finding} if finding else set())
    if finding:
        assert found[finding] == "stops"


def test_no_text_ever_proposes_a_larger_fuse() -> None:
    text = budget_text(compute_budget(configuration_of(puffin())))
    assert "less demand" in text
    assert "Never a larger fuse" in text


def test_a_channel_above_its_limit_is_named_with_its_thrusters() -> None:
    budget = compute_budget(configuration_of(changed(drivers={"channel_limit_a": 4.0})))
    over = [f for f in budget.findings if f.finding.startswith("channel-over-limit-")]
    assert len(over) == 6
    assert over[0].severity == "stops"
    assert "bow-port" in over[0].text
    assert over[0].margin == pytest.approx(4.0 - 4.4)


def test_electronics_below_their_least_voltage_stop_the_dive() -> None:
    assert finding_names(changed(least_working_v=11.9))["electronics-voltage-low"] == "stops"
    assert finding_names(changed(supply={"resting_v": 11.0}, least_working_v=10.5)).keys() >= {
        "electronics-voltage-low-at-rest"
    }


def test_a_supply_that_cannot_carry_the_load_stops_the_dive_and_leaves_null_with_the_reason() -> None:
    found = changed(tether={"length_m": 150, "conductor_area_mm2": 0.5})
    assert finding_names(found)["no-operating-point"] == "stops"
    data = budget_data(compute_budget(configuration_of(found)))
    assert data["with_sag"]["current_a"] is None
    assert "no operating point" in data["with_sag"]["reason"]
    assert data["fuse"]["current_a"] == data["nominal"]["worst_case_current_a"]


def test_a_battery_that_cuts_off_below_the_worst_case_stops_the_dive() -> None:
    assert finding_names(changed(supply={"current_limit_a": 20.0}))["supply-limit"] == "stops"


def test_a_short_that_may_not_open_the_fuse_is_said_and_a_driver_s_own_cut_off_counts_if_recorded() -> None:
    assert finding_names(puffin())["short-does-not-open-fuse"] == "note"
    assert "short-does-not-open-fuse" not in finding_names(changed(drivers={"cut_off_a": 10.0}))


def test_a_short_behind_motor_pairs_has_the_driver_in_its_path() -> None:
    configuration = configuration_of(puffin())
    pair = 2 * 22.0 / 58.0
    assert far_short(configuration).current_a == pytest.approx(12.6 / (0.024 + 0.004 + 0.012 + 0.04 + pair))
    moved = configuration_of(changed(tether={"carries": "supply-pair"}))
    assert far_short(moved).current_a == pytest.approx(12.6 / (0.024 + 0.004 + 0.012 + pair))


def test_a_regulated_supply_limits_the_short_as_well() -> None:
    found = far_short(configuration_of(changed(supply={"kind": "regulated", "current_limit_a": 9.0})))
    assert found.current_a == 9.0
    assert found.is_limited


def test_a_wire_thinner_than_its_fuse_stops_the_dive() -> None:
    assert finding_names(changed(thinnest_wire_mm2=0.75))["wire-thinner-than-fuse"] == "stops"
    assert "wire-thinner-than-fuse" not in finding_names(changed(thinnest_wire_mm2=2.5))


def test_slow_chopping_above_12_4_v_is_a_note() -> None:
    # NEC chapter 9, table 11, note 4, wet contact, seen second-hand
    assert finding_names(changed(drivers={"chopping_hz": 120}))["slow-chopping"] == "note"
    assert "slow-chopping" not in finding_names(changed(drivers={"chopping_hz": 16000}))
    assert "slow-chopping" not in finding_names(
        changed(drivers={"chopping_hz": 120}, supply={"open_circuit_v": 12.3})
    )


def test_a_table_whose_current_falls_is_a_note_and_so_is_one_whose_motor_current_falls() -> None:
    def model(*points: tuple[float, float, float]) -> ThrusterModel:
        return ThrusterModel("odd", 12.0, tuple(ThrustPoint(*p) for p in points))

    steep = model((-1, -5, 3), (0.5, 2, 3), (1, 5, 2))
    assert [f.finding for f in model_findings(steep)] == ["current-falls-odd", "motor-current-falls-odd"]
    flat = model((-1, -5, 3), (0.5, 2, 2), (1, 5, 3))
    assert [f.finding for f in model_findings(flat)] == ["motor-current-falls-odd"]
    weak = model((-1, -5, 3), (0.5, 6, 1), (1, 5, 3))
    assert [f.finding for f in model_findings(weak)] == ["thrust-falls-odd"]
    assert not list(model_findings(model((-1, -5, 3), (0.5, 2, 1), (1, 5, 3))))


def test_less_demand_is_the_greatest_hundredth_that_fits() -> None:
    configuration = configuration_of(puffin())
    less = less_demand(configuration)
    assert less.share is not None

    def drawn(share: float) -> float:
        turned = scaled_full_stick(configuration, share)
        return judged_current_a(turned, worst_case(turned))

    assert drawn(less.share) == pytest.approx(less.current_a)
    assert drawn(less.share) <= less.limit_a < drawn(less.share + 0.01)


def test_where_trim_and_standing_loads_alone_are_too_much_no_share_is_proposed() -> None:
    found = changed(standing_loads=[{"load": "winch", "current_a": 19.0}])
    less = less_demand(configuration_of(found))
    assert less.share is None
    assert less.current_a == pytest.approx(19.0)


def test_one_stalled_thruster_replaces_its_own_share_of_the_worst_case() -> None:
    found = mild()
    found.models["heron-50"]["stall_current_a"] = 9.0
    configuration = configuration_of(found)
    data = budget_data(compute_budget(configuration))
    worst = data["nominal"]["worst_case_current_a"]
    assert data["stall"]["current_a"] == pytest.approx(worst + 9.0 - 0.6 * 4.4)
    assert data["stall"]["channel_a"] == pytest.approx(9.0)
    assert budget_data(compute_budget(configuration_of(mild())))["stall"] is None


def test_sticks_centred_draw_standing_loads_and_what_trim_asks() -> None:
    found = puffin()
    found.vehicle["trim_defaults"] = {"heave": 0.25}
    at = idle(configuration_of(found))
    assert at.standing_a == pytest.approx(0.35)
    assert at.trim_a == pytest.approx(2 * 1.25 / 2)
    assert at.current_a == pytest.approx(at.standing_a + at.trim_a)


def test_full_ahead_is_the_end_of_the_stick_that_drives_ahead() -> None:
    ahead = full_ahead(configuration_of(puffin()))
    assert ahead is not None
    assert ahead.sticks == {"left-stick-y": -1.0}
    assert ahead.demand == {"surge": 1.0}


def test_a_vehicle_no_control_drives_ahead_has_no_full_ahead() -> None:
    configuration = configuration_of(puffin())
    kept = tuple(e for e in configuration.steering_scheme.entries if e.drives != "surge")
    scheme = replace(configuration.steering_scheme, entries=kept)
    assert full_ahead(replace(configuration, steering_scheme=scheme)) is None


def test_without_water_buoyancy_and_pressure_are_left_out() -> None:
    data = budget_data(compute_budget(configuration_of(puffin())))
    assert "buoyancy" not in data
    assert "pressure" not in data
    wet = budget_data(compute_budget(configuration_of(puffin()), water_given(12.0, 30.0, 6.0)))
    assert wet["pressure"]["gauge_kpa"] > 50.0
    assert wet["buoyancy"]["net_up_n"] != 0.0


def test_depth_without_a_temperature_is_refused() -> None:
    with pytest.raises(UsageError, match="temperature"):
        water_given(None, None, 5.0)


def test_the_worst_manoeuvre_is_told_in_a_pilot_s_words() -> None:
    text = budget_text(compute_budget(configuration_of(puffin())))
    assert "left stick forward, right stick back" in text
    assert "heave 100 % down, surge 100 % ahead" in text
    assert "never measured" in text
    assert "a full reversal" in text


def test_the_values_checklists_ask_for_are_those_of_the_budget() -> None:
    budget = compute_budget(configuration_of(puffin()))
    values = computed_values(budget)
    data = budget_data(budget)
    assert values["worst_case_current_a"] == data["nominal"]["worst_case_current_a"]
    assert values["continuous_limit_a"] == pytest.approx(15.0)
    assert values["vehicle_v"] == data["with_sag"]["vehicle_v"]
    assert values["tether_loop_ohm"] == pytest.approx(2 * 22.0 / 58.0)
    assert "net_up_n" not in values


@settings(max_examples=15, deadline=None)
@given(configurations(vary_electrical=True))
def test_every_vehicle_has_a_budget_without_a_nan_and_in_words(configuration: Configuration) -> None:
    budget = compute_budget(configuration, water_given(14.0, 20.0, 3.0))
    json.dumps(budget_data(budget), allow_nan=False)
    assert "nan" not in budget_text(budget).replace("finance", "")
    names = [f.finding for f in budget.findings]
    assert len(names) == len(set(names))


def test_what_the_record_leaves_out_is_said_to_be_taken_as_none() -> None:
    found = puffin()
    electrical = found.vehicle["electrical"]
    for group, key in (("supply", "internal_resistance_ohm"), ("fuse", "resistance_ohm")):
        electrical[group].pop(key, None)
    electrical["leads"] = {"resistance_ohm": 0.01}
    electrical["drivers"] = {**electrical.get("drivers", {}), "on_resistance_ohm": 0.02}
    budget = compute_budget(configuration_of(found))
    words = " ".join(budget_text(budget).split())
    assert "not in the record, taken as 0 ohm: source, fuse; the real sag is greater" in words
    assert budget_data(budget)["with_sag"]["taken_as_0_ohm"] == ["source", "fuse"]
    electrical["supply"]["internal_resistance_ohm"] = 0.0
    electrical["fuse"]["resistance_ohm"] = 0.002
    assert "taken as 0 ohm" not in budget_text(compute_budget(configuration_of(found)))
