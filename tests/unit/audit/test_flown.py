"""What a dive flew with: baseline, files, box and pilot folded together."""

from __future__ import annotations

from diving import day, record
from drifting import resolved, tables

from rovlog.domain.audit.flown import as_flown

BASE = resolved()
IN_WATER = ("mark", {"mark": "in-water"})
AS_APPROVED = {"steering_scheme": 2, "thruster_map": 5, "trim": {}}


def readback(**changes):
    return ("readback", {"box": "quay-box", "firmware": "0.7", "in_use": {**AS_APPROVED, **changes}})


def flew(*entries):
    return as_flown(BASE, record("dive-1", day(1), *entries), tables())


def test_a_dive_without_deviations_flew_the_baseline():
    found = flew(IN_WATER)
    assert found.resolved == BASE
    assert found.flew("/trim_defaults/heave") == (0.0,)


def test_differences_noted_at_the_start_were_on_the_vehicle():
    noted = [{"pointer": "/thrusters/lift-port/polarity", "baseline": "normal", "working": "reversed"}]
    found = flew(("start", {"deviations": noted}))
    assert found.flew("/thrusters/lift-port/polarity") == ("reversed",)
    assert found.sources == {"/thrusters/lift-port/polarity": "working"}


def test_a_number_read_from_the_box_brings_its_meaning():
    found = flew(readback(steering_scheme=4), IN_WATER)
    assert found.flew("/control_box/steering_scheme") == (4,)
    assert found.flew("/steering_scheme/controls/left-stick-x/0/drives") == ("yaw",)
    assert found.sources["/control_box/steering_scheme"] == "readback"


def test_a_trim_changed_in_the_water_flew_with_both_values():
    found = flew(("trim", {"trim": {"heave": 0.1}}), IN_WATER, ("trim", {"trim": {"heave": 0.25}}))
    assert found.flew("/trim_defaults/heave") == (0.1, 0.25)


def test_what_was_put_right_before_the_water_never_flew():
    found = flew(readback(steering_scheme=4), ("setup", {"values": {"steering_scheme": 2}}), IN_WATER)
    assert found.flew("/control_box/steering_scheme") == (2,)


def test_a_later_readback_overrules_the_pilots_word():
    found = flew(("setup", {"values": {"trim": {"yaw": 0.2}}}), readback(), IN_WATER)
    assert found.flew("/trim_defaults/yaw") == (0.0,)


def test_an_unknown_configuration_is_said_and_not_guessed():
    found = as_flown(None, record("dive-1", day(1)), tables())
    assert found.resolved is None
    assert found.flew("/hull/mass_kg") == ()
    assert found.gaps == ("the configuration named at the start could not be found",)


def test_a_number_without_code_table_leaves_a_gap():
    assert any("steering scheme 9" in gap for gap in flew(readback(steering_scheme=9)).gaps)
