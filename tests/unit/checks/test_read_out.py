"""What the program counts and names for an item: none does not hold while something is to be read out."""

from __future__ import annotations

import pytest
from poolside import Poolside

from rovlog.usecases.dive_steps import log
from rovlog.usecases.read_out import read_out
from rovlog.usecases.set_item_aside import defer_item


@pytest.fixture
def pool():
    return Poolside().dive()


def told(pool, item):
    state = pool.state()
    return read_out(state, state.fold.items[item])


@pytest.fixture
def past_the_holds(pool, monkeypatch):
    """The poolside as if every hold point before the last look were released."""
    from rovlog.usecases import answer_item as module

    monkeypatch.setattr(module, "refuse_held", lambda state, item: None)
    return pool


def test_none_does_not_hold_while_items_are_deferred(past_the_holds):
    pool = past_the_holds
    defer_item(pool.logbook, pool.record, "payload", by="ines", reason="arm is on its way")
    answered = pool.tick("last-look-open", "ines", choice="none")
    assert answered.outcome == "fail"
    assert [(j.value, j.observed, j.limit, j.passed) for j in answered.judged] == [("left", 1.0, 0.0, False)]
    state = pool.state().items["last-look-open"]
    assert (state.state, state.reason) == (
        "failed",
        "left 1 was not equal to 0 when it was answered; answer it again",
    )
    assert pool.tick("last-look-open", "ines", choice="read-out-and-accepted").outcome == "pass"


def test_a_count_typed_over_does_not_help(past_the_holds):
    pool = past_the_holds
    defer_item(pool.logbook, pool.record, "payload", by="ines", reason="arm is on its way")
    assert pool.tick("last-look-open", "ines", choice="none", left=0).outcome == "fail"


def test_none_holds_where_nothing_is_left(past_the_holds):
    assert past_the_holds.tick("last-look-open", "ines", choice="none").outcome == "pass"


def test_the_items_to_read_out_are_named(past_the_holds):
    pool = past_the_holds
    assert told(pool, "last-look-open") == ("nothing is deferred or expired",)
    defer_item(pool.logbook, pool.record, "payload", by="ines", reason="arm is on its way")
    assert told(pool, "last-look-open") == ("F5 Payload today, deferred: arm is on its way",)
    answered = pool.tick("last-look-open", "ines", choice="read-out-and-accepted")
    assert "read out: F5 Payload today, deferred: arm is on its way" in answered.notes


def test_the_notes_of_the_last_dive_are_there_to_be_read_aloud(pool):
    assert told(pool, "last-notes") == ("no note was left",)
    log(pool.logbook, pool.record, "note", {"text": "silt at the north wall"}, by="ruth")
    pool.tick("next-notes", "ines", note="mind the rope by the ladder")
    pool.close().dive()
    assert told(pool, "last-notes") == ("mind the rope by the ladder", "silt at the north wall")
    pool.tick("next-notes", "ines", note="none")
    pool.close().dive()
    assert told(pool, "last-notes") == ("no note was left",)


def test_a_note_is_asked_for_in_words(pool):
    from rovlog.problems import UsageError

    with pytest.raises(UsageError, match="not given: the note, or none"):
        pool.tick("next-notes", "ines")


def test_the_hardest_manoeuvre_is_named_in_a_pilots_words(pool):
    (line,) = told(pool, "hardest-manoeuvre")
    assert line.startswith("the manoeuvre that draws the most: ")
    assert "stick" in line
    assert told(pool, "swimmers") == ()
