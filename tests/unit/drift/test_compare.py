"""Differences between baseline, working files, box and pilot, and which of them stop the dive."""

from __future__ import annotations

from dataclasses import replace

import pytest
from drifting import PHYSICS, readback, resolved, tables

from rovlog.domain.drift.compare import DriftReport, Waiver, compare
from rovlog.domain.drift.effect import effect_of, reference_of
from rovlog.domain.drift.leaves import ABSENT, with_value

BASE = resolved()


def drift(baseline=BASE, working=None, box=None, logged=None, **more) -> DriftReport:
    return compare(baseline, working or baseline, box, logged, tables(), physics=PHYSICS, **more)


def by_pointer(report):
    return {d.pointer: d for d in report.deviations}


def test_nothing_differs_when_box_pilot_and_files_agree_with_the_baseline():
    report = drift(box=readback(), logged={"steering_scheme": 2, "trim": {"heave": 0.0}})
    assert report == DriftReport((), (), ())


def test_another_scheme_in_the_box_is_one_difference_with_its_meaning_in_words():
    report = drift(box=readback(steering_scheme=4))
    (row,) = report.deviations
    assert (row.pointer, row.baseline, row.readback) == ("/control_box/steering_scheme", 2, 4)
    assert row.effect.reversed == ("surge",)
    assert row.stops_dive
    assert row.text.startswith(
        "steering scheme 4 (sticks crossed) in the box, steering scheme 2 (two sticks) approved: "
        "surge answers the opposite way to before; yaw loses 62%"
    )


def test_a_renumbered_code_is_a_difference_at_the_firmware_and_at_what_it_changes():
    rows = by_pointer(drift(box=replace(readback(), firmware="0.6")))
    assert rows["/control_box/firmware"].readback == "0.6"
    assert rows["/control_box/firmware"].effect.reversed == ("surge",)
    assert rows["/steering_scheme/controls/left-stick-y/0/reversed"].readback is ABSENT
    assert rows["/steering_scheme/controls/left-stick-x/0/drives"].readback == "yaw"
    assert "/control_box/steering_scheme" not in rows
    assert all(row.stops_dive for row in rows.values())


def test_a_firmware_without_code_tables_is_told_and_stops():
    report = drift(box=replace(readback(), firmware="9.9"))
    assert [d.pointer for d in report.deviations] == ["/control_box/firmware"]
    assert report.deviations[0].stops_dive
    assert any("steering scheme 2 means under firmware 9.9" in note for note in report.notes)


@pytest.mark.parametrize(("trim", "stops"), [(0.02, None), (0.021, True), (-0.02, None), (-0.3, True)])
def test_a_trim_is_a_difference_only_beyond_the_tolerance(trim, stops):
    row = by_pointer(drift(box=readback(trim={"heave": trim}))).get("/trim_defaults/heave")
    assert (row.stops_dive if row else None) == stops


def test_a_trim_says_its_sign_in_words_and_its_push_at_rest():
    (row,) = drift(logged={"trim": {"heave": 0.1}}, box=None).deviations
    # Two lifters at a tenth of command: 2 x 0.1 x 7.8 N per unit (slope of the table's first segment).
    assert row.text == (
        "heave trim +0.10 (down) by the pilot's word, no heave trim approved: "
        "with the sticks at rest 1.6 N down"
    )
    assert (row.baseline, row.readback, row.logged) == (0.0, None, 0.1)


def test_a_policy_may_widen_the_tolerance():
    assert drift(box=readback(trim={"heave": 0.04}), trim_tolerance=0.05).deviations == ()


def test_a_working_file_that_differs_is_told_and_stops_only_for_what_it_does():
    heavier = with_value(BASE, "/hull/mass_kg", 6.4)
    crossed = with_value(heavier, "/thrusters/lift-port/polarity", "reversed")
    rows = by_pointer(drift(working=crossed, box=readback()))
    assert not rows["/hull/mass_kg"].stops_dive
    assert "net lift -1.0 N instead of +0.5 N" in rows["/hull/mass_kg"].text
    assert rows["/thrusters/lift-port/polarity"].stops_dive
    assert rows["/thrusters/lift-port/polarity"].effect.lost == {"heave": 1.0}


def test_another_fuse_in_the_working_file_stops_even_though_nothing_moves_otherwise():
    (row,) = drift(working=with_value(BASE, "/electrical/fuse/rating_a", 30), box=readback()).deviations
    assert row.stops_dive
    assert row.reasons == ("the fuse is not the one approved",)


def test_a_waiver_lifts_the_stop_and_is_shown():
    waiver = Waiver("/trim_defaults", "new ballast tomorrow", "ada", "2026-07-01")
    report = drift(box=readback(trim={"heave": 0.1}), waivers=[waiver])
    (row,) = report.deviations
    assert (row.waived, row.stops_dive, bool(row.reasons)) == (True, False, True)
    assert report.stops == ()


def test_an_unread_box_stops_by_itself():
    assert [f.finding for f in drift(box=None).stops] == ["box-unknown"]


def test_a_stale_readback_is_shown_but_proves_nothing():
    report = drift(box=replace(readback(steering_scheme=4), stale="the box was powered off since"))
    (row,) = report.deviations
    assert (row.readback, row.stops_dive) == (4, False)
    assert [f.finding for f in report.stops] == ["box-unknown"]
    assert report.notes == (
        "the readback is stale (the box was powered off since): it is shown, but proves nothing now",
    )


def test_no_baseline_stops_and_the_rest_is_compared_with_the_working_files():
    report = compare(None, BASE, readback(thruster_map=6), None, tables(), physics=PHYSICS)
    (row,) = report.deviations
    assert (row.baseline, row.working, row.readback) == (None, 5, 6)
    assert [f.finding for f in report.stops] == ["no-baseline", "drift-control_box-thruster_map"]


def test_what_is_only_stored_stops_when_the_next_power_up_would_turn_a_demand():
    stored = replace(readback(), stored={"steering_scheme": 4, "thruster_map": 5, "trim": {"heave": 0.3}})
    rows = by_pointer(drift(box=stored))
    assert rows["/control_box/steering_scheme"].stops_dive
    assert rows["/control_box/steering_scheme"].apart == ("stored",)
    assert not rows["/trim_defaults/heave"].stops_dive


def test_a_power_limit_takes_thrust_and_current_away():
    (row,) = drift(box=readback(power_limit=0.5)).deviations
    # At half command the table gives 3.9 N of 11 N ahead and 3.2 N of 9 N astern: 64.6 % and 64.4 % lost.
    assert row.effect.lost["heave"] == pytest.approx(1 - 3.9 / 11, abs=5e-4)
    assert row.effect.worst_case_current_a.after < row.effect.worst_case_current_a.before
    assert row.stops_dive


def test_another_box_is_told_and_what_its_numbers_mean_is_not_guessed():
    report = drift(box=replace(readback(), box="spare-box"))
    assert by_pointer(report)["/control_box/box"].stops_dive
    assert any("of box spare-box is not in the code tables" in note for note in report.notes)


def test_keys_of_a_readback_that_mean_nothing_here_are_named():
    assert "not compared: lamp_level (in the box)" in drift(box=readback(lamp_level=3)).notes


def test_what_stops_stands_first():
    report = drift(working=with_value(BASE, "/hull/mass_kg", 6.3), box=readback(trim={"yaw": 0.2}))
    assert [d.pointer for d in report.deviations] == ["/trim_defaults/yaw", "/hull/mass_kg"]


def test_without_computations_differences_are_told_all_the_same():
    report = compare(BASE, BASE, readback(steering_scheme=4), None, tables())
    assert report.deviations[0].effect is None
    assert report.deviations[0].stops_dive


def test_a_configuration_that_does_not_fit_together_is_no_crash():
    broken = with_value(BASE, "/thrusters/lift-port/model", "nowhere")
    (row,) = drift(working=broken, box=readback()).deviations
    assert row.stops_dive
    assert row.effect.text.startswith("the effect cannot be computed: ")


def test_each_sources_number_is_named_under_its_own_firmware():
    old = replace(readback(steering_scheme=4), firmware="0.6", stored={"steering_scheme": 2})
    row = by_pointer(drift(box=old))["/control_box/steering_scheme"]
    assert row.words["baseline"] == "2 (two sticks)"
    assert row.words["readback"] == "4 (not in the code tables)"
    assert row.words["stored"] == "2 (sticks crossed)"


def test_two_halves_of_one_swap_are_told_together():
    working = resolved()
    names = list(working["thrusters"])
    one, other = names[0], names[1]
    first, second = working["thrusters"][one]["channel"], working["thrusters"][other]["channel"]
    working["thrusters"][one]["channel"], working["thrusters"][other]["channel"] = second, first
    report = compare(resolved(), working, readback(), None, tables(), physics=PHYSICS)
    assert {d.pointer for d in report.deviations} == {f"/thrusters/{n}/channel" for n in (one, other)}
    whole = effect_of(reference_of(resolved(), PHYSICS), working, PHYSICS)
    assert report.together == whole


def test_nothing_together_where_nothing_differs():
    assert compare(resolved(), resolved(), readback(), None, tables(), physics=PHYSICS).together is None
