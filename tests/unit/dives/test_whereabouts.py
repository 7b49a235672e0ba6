"""One box in two open dives stops both; a vehicle with another team stops its dives until it is back."""

from __future__ import annotations

import pytest
from answering import answer_all, start

from rovlog.faces.reports.dive_text import dive_data, dive_text, entries_text
from rovlog.faces.reports.vehicle_text import vehicles_data, vehicles_text
from rovlog.problems import UsageError
from rovlog.usecases.dive_state import dive_state
from rovlog.usecases.dive_steps import close, mark
from rovlog.usecases.lend_vehicle import lend_vehicle, return_vehicle
from rovlog.usecases.list_vehicles import list_vehicles
from rovlog.usecases.logbook import Logbook
from rovlog.usecases.turn_round import held_answers, turn_round
from rovlog.usecases.whereabouts import loan_of


def stops(logbook: Logbook, record: str) -> dict[str, str]:
    return {s.id: s.reason for s in dive_state(logbook, logbook.record(record)).stops}


def test_one_box_in_two_open_dives_stops_both(shared_box):
    one, other = start(shared_box, "auk"), start(shared_box, "tern")
    assert f"box-in-{other}" in stops(shared_box, one)
    assert f"box-in-{one}" in stops(shared_box, other)
    assert "jetty-box is in another open dive" in stops(shared_box, other)[f"box-in-{one}"]
    close(shared_box, shared_box.record(one), by="nora")
    assert f"box-in-{one}" not in stops(shared_box, other)


def test_two_vehicles_with_a_box_each_do_not_stop_one_another(logbook):
    one, other = start(logbook, "auk"), start(logbook, "dipper")
    assert not [s for r in (one, other) for s in stops(logbook, r) if s.startswith("box-in-")]


def test_a_lent_vehicle_is_shown_in_the_list_and_stops_a_dive(logbook):
    started = lend_vehicle(logbook, "auk", to="Harbour school", by="nora", text="for a week")
    loan = loan_of(logbook, "auk")
    assert loan is not None
    assert (loan.to, loan.record.id) == ("Harbour school", started.record)
    rows = list_vehicles(logbook)
    assert "lent to Harbour school since" in vehicles_text(rows)
    by_id = {row["vehicle"]: row["lent"] for row in vehicles_data(rows)}
    assert by_id["auk"]["to"] == "Harbour school"
    assert by_id["dipper"] is None
    assert "vehicle-lent" in stops(logbook, start(logbook, "auk"))


def test_a_returned_vehicle_asks_again_for_what_nobody_saw(logbook):
    record = start(logbook, "auk")
    answer_all(logbook, record)
    close(logbook, logbook.record(record), by="nora")
    before = held_answers(logbook, "auk")
    lend_vehicle(logbook, "auk", to="Harbour school", by="nora")
    assert held_answers(logbook, "auk") == before
    back = return_vehicle(logbook, "auk", by="tomas")
    after = held_answers(logbook, "auk")
    assert back.voided == len(before - after) > 0
    assert "seals" in before - after
    assert loan_of(logbook, "auk") is None
    why = {row.item.item: row.why for row in turn_round(logbook, "auk").open}
    assert why["seals"].startswith("back from another team (lent to Harbour school since")
    assert "vehicle-lent" not in stops(logbook, start(logbook, "auk"))


def test_lending_is_work_on_record_and_closes_with_the_return(logbook):
    started = lend_vehicle(logbook, "auk", to="Harbour school", by="nora")
    return_vehicle(logbook, "auk", by="tomas", text="one float missing")
    record = logbook.record(started.record)
    assert [e.kind for e in record.entries] == ["start", "event", "note", "close"]
    assert record.is_closed


def test_a_vehicle_is_lent_once_and_returned_once(logbook):
    with pytest.raises(UsageError, match="not lent"):
        return_vehicle(logbook, "auk", by="nora")
    lend_vehicle(logbook, "auk", to="Harbour school", by="nora")
    with pytest.raises(UsageError, match="already"):
        lend_vehicle(logbook, "auk", to="somebody else", by="nora")
    for to in ("", "two\nlines", "\x1b[31mred"):
        with pytest.raises(UsageError):
            lend_vehicle(logbook, "dipper", to=to, by="nora")


def test_a_vehicle_with_an_open_dive_is_not_lent(logbook):
    record = start(logbook, "auk")
    with pytest.raises(UsageError, match=record):
        lend_vehicle(logbook, "auk", to="Harbour school", by="nora")


def test_times_of_a_dive_closed_next_morning_are_marked_as_from_memory(logbook):
    record = start(logbook, "auk")
    evening = logbook.book.clock.now()
    mark(logbook, logbook.record(record), "power-on", by="tomas")
    logbook.book.clock.advance(15 * 3600)
    mark(logbook, logbook.record(record), "power-off", by="tomas", at=evening)
    close(logbook, logbook.record(record), by="nora", clock="memory")
    entries = {str(e.fields.get("mark", e.kind)): e for e in logbook.record(record).entries}
    assert "clock" not in entries["power-on"].fields
    assert entries["power-off"].fields["clock"] == "memory"
    assert entries["close"].fields["clock"] == "memory"
    state = dive_state(logbook, logbook.record(record))
    text = dive_text(state, logbook.person_name)
    assert f"power off ~{evening[11:16]}" in text
    assert "closed ~" in text
    assert "~ a time from memory" in text
    assert f"~{evening[11:19]}" in entries_text(logbook.record(record), logbook.person_name)
    assert [m["from_memory"] for m in dive_data(state)["marks"]] == [False, True]
