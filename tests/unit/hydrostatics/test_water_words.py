"""Ballast and vacuum hold as the command line gives them."""

import io
import json

import pytest
from vehicles import configuration_of, puffin

from rovlog.domain.hydrostatics.buoyancy import buoyancy
from rovlog.domain.hydrostatics.pressure import pressure
from rovlog.faces.cli.main import run
from rovlog.faces.reports.water_text import (
    ballast_data,
    ballast_text,
    buoyancy_text,
    force_words,
    pressure_text,
)
from rovlog.problems import UsageError
from rovlog.usecases.compute_ballast import compute_ballast
from rovlog.usecases.judge_vacuum import judge_vacuum
from rovlog.usecases.water_spec import parse_water

PUFFIN = configuration_of(puffin())


def vacuum(*words):
    out, err = io.StringIO(), io.StringIO()
    status = run(["vacuum", *words], out, err)
    return status, out.getvalue(), err.getvalue()


def readings(start, start_c, end, end_c):
    return ["--start-below-kpa", start, "--start-c", start_c, "--end-below-kpa", end, "--end-c", end_c]


def test_the_ballast_change_says_add_or_take_off_in_grams():
    there = compute_ballast(PUFFIN, parse_water("fresh:18"), parse_water("salt:11,5:33"))
    back = compute_ballast(PUFFIN, parse_water("salt:11,5:33"), parse_water("fresh:18"))
    assert "add 184 g of ballast" in ballast_text(there)
    assert "take off 184 g" in ballast_text(back) or "take off 183 g" in ballast_text(back)
    assert ballast_data(there)["change_kg"] == pytest.approx(0.184, abs=1e-3)


def test_an_assumed_salinity_is_said_to_be_assumed():
    change = compute_ballast(PUFFIN, parse_water("fresh:18"), parse_water("salt:11"))
    assert "salinity 35 (assumed)" in ballast_text(change)
    assert ballast_data(change)["to"]["salinity_assumed"] is True


def test_a_record_without_ballast_density_is_asked_for_it():
    documents = puffin()
    del documents.vehicle["hull"]["ballast_density_kg_m3"]
    bare = configuration_of(documents)
    with pytest.raises(UsageError, match="how dense its ballast is"):
        compute_ballast(bare, parse_water("fresh:18"), parse_water("salt:11:33"))
    given = compute_ballast(bare, parse_water("fresh:18"), parse_water("salt:11:33"), 7900.0)
    assert given.change_kg > 0


def test_forces_are_told_with_their_direction_in_words():
    assert force_words(0.5) == "0.50 N up (51 g light)"
    assert force_words(-0.5) == "0.50 N down (51 g heavy)"
    assert force_words(0.001) == "0.00 N (neutral)"


def test_buoyancy_and_pressure_are_told_with_what_they_are_computed_from():
    assert "0.50 N up" in buoyancy_text(buoyancy(PUFFIN, 18.0, 0.0))
    text = pressure_text(pressure(PUFFIN, 998.6, 30.0))
    assert "BEYOND its rating by" in text
    assert "barrel" in text


def test_a_good_hold_ends_with_status_0_and_the_caution():
    status, out, _ = vacuum(*readings("24,6", "20", "24.4", "20.5"))
    assert status == 0
    assert out.startswith("Vacuum hold: HELD")
    assert "2.5 m of water" in out


@pytest.mark.parametrize(("end", "verdict"), [("20", "lost"), ("24.1", "cannot-judge")])
def test_a_lost_and_an_undecided_hold_end_with_status_1(end, verdict):
    status, out, _ = vacuum("--json", *readings("25", "20", end, "20"))
    assert status == 1
    assert json.loads(out)["verdict"] == verdict
    assert json.loads(out)["limit_kpa"] == 1.0


def test_absolute_readings_end_with_status_2_and_a_mend():
    status, out, err = vacuum(*readings("76", "20", "76.2", "20"))
    assert (status, out) == (2, "")
    assert "looks like an absolute pressure" in err
    assert "25.3" in err


def test_one_outside_pressure_stands_for_both():
    judged = judge_vacuum(25.0, 20.0, 24.9, 20.0, outside_start_kpa=98.2)
    assert judged.end.outside_kpa == 98.2
    assert judged.outside == "taken-as-unchanged"
    assert judged.hold.corrected_rise_kpa == pytest.approx(0.1)


def test_the_depth_that_is_left_is_said_as_left():
    text = pressure_text(pressure(PUFFIN, 998.6, 10.0))
    assert text.endswith("m left")
    assert "to go" not in text
