"""Parts past due are noted before a dive with what clears them, and stop nothing."""

from __future__ import annotations

import pytest
from poolside import Poolside

from rovlog.domain.checks.stops import NOTHING_STOPS
from rovlog.faces.reports.dive_text import dive_text, due_data, due_text
from rovlog.usecases.dive_steps import log
from rovlog.usecases.parts_due import parts_due
from rovlog.usecases.turn_round import turn_round
from rovlog.values import replace


@pytest.fixture
def pool():
    pool = Poolside()
    part = {"format": "rovlog/part/1", "part": "red-reel", "kind": "tether", "name": "Red reel"}
    row = {"what": "resistance and insulation", "every_days": 90, "last": "2026-01-01"}
    pool.write("parts/red-reel.yaml", {**part, "due": [row]})
    pool.change("/electrical/tether/part", "red-reel")
    pool.approve("the red reel is fitted")
    return pool.dive()


def test_a_part_past_due_is_noted_with_what_clears_it(pool):
    (due,) = parts_due(pool.logbook, "puffin")
    assert (due.part, due.what) == ("red-reel", "resistance and insulation")
    assert due.text.startswith("Red reel (red-reel): resistance and insulation is past due, by ")
    assert due.clears == "do it, then write its day under last in parts/red-reel.yaml"
    assert due_data([due])[0]["clears"] == due.clears


def test_what_was_done_in_time_is_not_noted(pool):
    document = pool.logbook.document("parts/red-reel.yaml")
    row = {**document["due"][0], "last": pool.book.clock.now()[:10]}
    pool.write("parts/red-reel.yaml", {**document, "due": [row]})
    assert parts_due(pool.logbook, "puffin") == ()


def test_a_part_on_no_vehicle_is_not_noted(pool):
    log(pool.logbook, pool.record, "fitted", {"part": "red-reel", "to": "shelf"}, by="otto")
    assert parts_due(pool.logbook, "puffin") == ()


def test_the_note_stands_beside_what_stops_the_dive_and_is_none_of_it(pool):
    state = pool.state()
    assert not any("past due" in s.reason for s in state.stops)
    due = parts_due(pool.logbook, "puffin")
    said = dive_text(replace(state, stops=()), pool.logbook.person_name, due_text(due)).splitlines()
    at = said.index(NOTHING_STOPS)
    assert said[at + 1].startswith("note: Red reel (red-reel): resistance and insulation is past due")
    assert said[at + 1].endswith("; it stops nothing")
    assert any(
        "past due" in note and "clears: do it" in note for note in turn_round(pool.logbook, "puffin").notes
    )
