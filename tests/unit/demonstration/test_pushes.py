"""The pushes of the demonstration's function test, and what is seen with two leads crossed."""

from __future__ import annotations

import pytest

from rovlog.domain.allocation.response import response_to_sticks
from rovlog.usecases.configurations import working
from rovlog.usecases.demonstration import vehicle_files as files
from rovlog.usecases.demonstration.pushes import pushes_for, seen_on
from rovlog.usecases.logbook import Logbook

ALL_FOUR = ("surge", "sway", "yaw", "heave")


@pytest.fixture
def grebe(season_files: Logbook):
    """The big vehicle as the season begins."""
    return working(season_files, "grebe")


def test_no_push_asks_any_thruster_for_more_than_it_may_do_in_air(grebe) -> None:
    pushes = pushes_for(grebe.configuration, ALL_FOUR)
    assert len(pushes) == 8
    for push in pushes:
        asked = response_to_sticks(grebe.configuration, push).channels
        assert max(map(abs, asked.values())) <= 0.3


def test_the_pushes_made_by_habit_cannot_show_the_crossed_leads(grebe) -> None:
    for push in pushes_for(grebe.configuration, ("surge", "heave")):
        assert seen_on(grebe.resolved, push, (1, 2)) == seen_on(grebe.resolved, push)


def test_in_yaw_and_sway_the_bow_pair_runs_against_what_was_asked(grebe) -> None:
    for push in pushes_for(grebe.configuration, ("yaw", "sway")):
        asked, seen = seen_on(grebe.resolved, push), seen_on(grebe.resolved, push, (1, 2))
        assert {name for name in asked if asked[name] != seen[name]} == {"bow-port", "bow-starboard"}


def test_with_the_leads_crossed_right_on_the_stick_slides_her_to_port_and_turns_her_no_more(grebe) -> None:
    # worked by hand: bow 0.16 m ahead, stern 0.17 m aft, 0.13 m abeam, thrusts at 45 degrees
    bow = (0.16 + 0.13) * 0.7071
    stern = (0.17 + 0.13) * 0.7071
    assert (stern - bow) / (stern + bow) < 0.02
    push = {"left-stick-x": 1.0}
    seen = seen_on(grebe.resolved, push, (1, 2))
    abeam = {
        "bow-port": 1,
        "bow-starboard": -1,
        "stern-port": -1,
        "stern-starboard": 1,
    }  # along, to starboard
    sign = {"ahead": 1, "astern": -1, "still": 0}
    assert [abeam[name] * sign[seen[name]] for name in abeam] == [-1, -1, -1, -1]


def test_number_1_means_another_map_since_the_newer_firmware() -> None:
    older, newer = files.amber_box("1.4"), files.amber_box("1.5")
    first = older.index('  "1":\n    name: four at 45 degrees, two vertical')
    assert first > older.index("thruster_maps:")
    assert '  "1":\n    name: four at 45 degrees without sway' in newer
    assert '  "2":\n    name: four at 45 degrees, two vertical' in newer
