"""What was just logged says which items it reopened, and an answer says that it ended a pause."""

from __future__ import annotations

import pytest
from poolside import Poolside

from rovlog.faces.reports.dive_text import reopened_data, reopened_words
from rovlog.usecases.dive_steps import log, log_event, log_trim
from rovlog.usecases.pause_list import pause_list
from rovlog.usecases.recording import append
from rovlog.usecases.reopened_items import reopened_items

SOME = {"number": 1.0, "yes-no": True, "text": "as before"}


@pytest.fixture
def pool():
    """A dive whose fuse and resting voltage are answered."""
    pool = Poolside().dive()
    pool.tick("fuse", "otto", rating=20)
    pool.tick("fuse", "ruth", rating=20)
    pool.tick("resting-voltage", "otto", voltage=12.6)
    return pool


def test_an_event_names_what_it_reopened_and_nothing_else(pool):
    before = pool.record
    log_event(pool.logbook, before, "fuse-changed", by="otto")
    items = reopened_items(pool.logbook, before)
    assert "fuse" in {i.item for i in items}
    assert {"item": "fuse", "code": pool.state().fold.items["fuse"].code} in reopened_data(items)
    assert all(pool.state().items[i.item].void_reason for i in items)


def test_an_event_that_ends_no_answer_says_so(pool):
    before = pool.record
    log_event(pool.logbook, before, "thruster-touched", by="otto")
    assert reopened_words(reopened_items(pool.logbook, before)) == "reopens nothing that was answered"


def answer_all(pool: Poolside, event: str) -> set[str]:
    """Answer what this event voids, as far as any value will do; the ids of what is answered then."""
    state = pool.state()
    names = [
        name
        for name, item in state.fold.items.items()
        if event in item.voided_by and name in state.items and item.witness == "none"
    ]
    for name in names:
        values = {a.value: SOME.get(a.type) or a.options[0] for a in state.fold.items[name].asks}
        fields = {"item": name, "outcome": "pass", "source": "seen", "values": values}
        append(pool.logbook, pool.record, "check", "otto", fields)
    return {n for n, s in pool.state().items.items() if n in names and s.is_settled}


def test_other_water_reopens_what_was_said_of_the_water(pool):
    answered = answer_all(pool, "water-changed")
    assert answered
    before = pool.record
    log(pool.logbook, before, "place", {"water": {"kind": "salt", "temperature_c": 9.0}}, by="otto")
    assert answered <= {i.item for i in reopened_items(pool.logbook, before)}


def test_a_trim_reopens_what_states_the_trim(pool):
    answered = answer_all(pool, "trim-changed")
    assert answered
    before = pool.record
    log_trim(pool.logbook, before, {"heave": 0.2}, by="otto")
    assert answered <= {i.item for i in reopened_items(pool.logbook, before)}


def test_what_ran_out_meanwhile_is_not_told_as_reopened(pool):
    before = pool.record
    pool.clock.advance(86400)
    log(pool.logbook, before, "note", {"text": "a day later"}, by="otto")
    assert reopened_items(pool.logbook, before) == ()


def test_many_are_counted_and_one_is_named():
    every = tuple(Poolside().dive().state().fold.items.values())
    assert reopened_words(every[:1]) == f"reopens {every[0].name}"
    assert reopened_words(every[:3]).startswith("reopens 3 items: ")
    assert reopened_words(every[:20]).endswith(" and 12 more")


def test_an_answer_in_a_pause_says_that_the_list_goes_on(pool):
    pause_list(pool.logbook, pool.record, by="ines", reason="visitors")
    pool.clock.advance(20)
    answered = pool.tick("seals", "otto")
    assert "the pause is over: this answer resumed the list; 1 item is asked again" in answered.notes
    assert not any("pause" in n for n in pool.tick("seals", "ruth", is_second=True).notes)
