"""The demonstration's vehicles: documents without a problem, configurations that nothing stops."""

from __future__ import annotations

import pytest

from rovlog.usecases.approve import findings_of
from rovlog.usecases.configurations import working
from rovlog.usecases.demonstration.team import BASIN, LOCK, PEOPLE, POOL, Water
from rovlog.usecases.logbook import Logbook
from rovlog.usecases.validate_logbook import validate_logbook


def test_every_file_of_the_season_is_valid(season_files: Logbook) -> None:
    found = validate_logbook(season_files.book)
    assert [p.message for p in found.problems] == []


@pytest.mark.parametrize("vehicle", ["grebe", "wigeon"])
def test_nothing_that_can_be_computed_stops_a_vehicle_of_the_season(
    season_files: Logbook, vehicle: str
) -> None:
    stopping, _ = findings_of(working(season_files, vehicle))
    assert [f.text for f in stopping] == []


def test_the_two_vehicles_differ_in_shape_box_and_numbers(season_files: Logbook) -> None:
    grebe, wigeon = (working(season_files, v).resolved for v in ("grebe", "wigeon"))
    assert len(grebe["thrusters"]) == 6
    assert len(wigeon["thrusters"]) == 3
    assert grebe["control_box"]["box"] != wigeon["control_box"]["box"]
    assert {*grebe["models"], *wigeon["models"]} == {"reed-40", "reed-60", "sedge-25"}
    carried = {v["electrical"]["tether"]["carries"] for v in (grebe, wigeon)}
    assert carried == {"motor-pairs", "supply-pair"}


def test_everybody_can_be_the_author_of_a_commit_and_nobody_can_be_reached() -> None:
    assert len(PEOPLE) == 5
    assert all(str(row["email"]).endswith("@larkwater.example") for row in PEOPLE.values())


@pytest.mark.parametrize("water", [POOL, LOCK, BASIN])
def test_a_place_on_another_day_is_the_same_place(water: Water) -> None:
    later = water.on(14.5, wind_m_s=3.0)
    assert (later.site, later.kind, later.depth_m, later.salinity) == (
        water.site,
        water.kind,
        water.depth_m,
        water.salinity,
    )
    assert (later.fields["temperature_c"], later.wind_m_s) == (14.5, 3.0)
