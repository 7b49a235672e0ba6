"""Between dives only what is open is shown, with a count and with why; the rest is carried over."""

from __future__ import annotations

import pytest
from answering import answer_all, start

from rovlog.faces.reports.turn_round_text import turn_round_data, turn_round_text
from rovlog.problems import UsageError
from rovlog.usecases.dive_state import dive_state
from rovlog.usecases.dive_steps import close, log_event
from rovlog.usecases.turn_round import TurnRound, turn_round


def causes(found: TurnRound) -> dict[str, str]:
    return {row.item.item: row.cause for row in found.open}


def test_of_a_vehicle_that_never_dived_everything_is_open_and_was_never_answered(logbook):
    found = turn_round(logbook, "auk")
    assert found.record is None
    assert found.like == ""
    assert set(causes(found).values()) == {"never answered"}
    assert found.carried == ()
    assert next(s.id for s in found.stops) == "baseline"


def test_nothing_is_written_by_asking(logbook):
    before = dict(logbook.book.files.tree)
    turn_round(logbook, "auk")
    assert logbook.book.files.tree == before


def test_after_a_dive_what_holds_until_voided_is_carried_and_what_every_dive_asks_is_open(logbook):
    first = start(logbook)
    answer_all(logbook, first)
    close(logbook, logbook.record(first), by="nora")
    logbook.book.clock.advance(1200)
    found = turn_round(logbook, "auk")
    assert found.like == first
    held = {item.item for item, _ in found.carried}
    assert held
    every_dive = {row.item.item for row in found.open if row.cause == "each dive"}
    assert every_dive
    state = dive_state(logbook, logbook.record(first))
    for checklist in state.lists:
        for item in checklist.items():
            if item.item in held:
                assert not set(item.valid_for) & {"dive", "now"}


def test_an_event_after_the_dive_is_named_with_who_and_when(logbook):
    first = start(logbook)
    answer_all(logbook, first)
    logbook.book.clock.advance(60)
    log_event(logbook, logbook.record(first), "housing-opened", by="ife")
    close(logbook, logbook.record(first), by="nora")
    logbook.book.clock.advance(60)
    found = turn_round(logbook, "auk")
    voided = [row for row in found.open if row.cause == "voided"]
    assert voided
    assert all("housing opened, ife at" in row.why for row in voided)
    assert all("housing-opened" in row.item.voided_by for row in voided)


def test_the_next_day_says_what_ran_out(logbook):
    first = start(logbook)
    answer_all(logbook, first)
    close(logbook, logbook.record(first), by="nora")
    logbook.book.clock.advance(26 * 3600)
    found = turn_round(logbook, "auk")
    expired = [row for row in found.open if row.cause == "expired"]
    assert any("day" in row.why for row in expired)


def test_what_was_left_out_was_never_answered(logbook):
    first = start(logbook)
    answer_all(logbook, first, but=("fuse", "seals"))
    close(logbook, logbook.record(first), by="nora")
    found = causes(turn_round(logbook, "auk"))
    assert found["fuse"] == found["seals"] == "never answered"


def test_with_a_dive_open_it_is_that_dive(logbook):
    first = start(logbook)
    found = turn_round(logbook, "auk")
    assert found.record is not None
    assert found.record.id == first
    assert len(found.open) > 50
    answer_all(logbook, first)
    assert len(turn_round(logbook, "auk").open) < 10


def test_an_answer_that_a_second_person_still_owes_is_begun_and_not_complete(logbook):
    first = start(logbook)
    state = dive_state(logbook, logbook.record(first))
    item = next(i for c in state.lists for i in c.items() if i.witness != "none")
    answer_all(logbook, first, only=(item.item,), by_two=False)
    assert causes(turn_round(logbook, "auk"))[item.item] == "unfinished"


def test_the_words_count_what_they_list(logbook):
    first = start(logbook)
    answer_all(logbook, first, but=("fuse",))
    close(logbook, logbook.record(first), by="nora")
    found = turn_round(logbook, "auk")
    text, data = turn_round_text(found), turn_round_data(found)
    assert text.startswith(
        f"auk: {len(found.open)} items are open for the next dive; {len(found.carried)} answers"
    )
    assert data["count"] == len(data["open"]) == len(found.open)
    assert sum(int(line.rpartition(": ")[2]) for line in text.splitlines() if line[:1].islower() and
               line.rpartition(": ")[2].isdecimal()) == len(found.open)  # fmt: skip
    for row in found.open:
        assert row.item.code in text
    assert max(map(len, text.splitlines())) <= 80


def test_a_misspelt_vehicle_gets_the_nearest(logbook):
    with pytest.raises(UsageError) as refused:
        turn_round(logbook, "ack")
    assert "auk" in refused.value.mend


def test_a_dive_that_nothing_was_written_into_since_yesterday_is_called_forgotten(logbook):
    first = start(logbook)
    assert not turn_round(logbook, "auk").notes
    logbook.book.clock.advance(15 * 3600)
    (note,) = turn_round(logbook, "auk").notes
    assert f"rovlog dive close {first} --from-memory" in note
