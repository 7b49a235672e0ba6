"""A logbook that is held tells at every step what one that reads everything anew tells."""

from __future__ import annotations

from typing import Any

import pytest
from driving_app import CREW, logbook_in_memory, start
from hypothesis import given, settings
from hypothesis import strategies as st

from rovlog.problems import RovlogError
from rovlog.usecases.answer_item import answer_item
from rovlog.usecases.dive_state import DiveState, dive_state
from rovlog.usecases.dive_steps import close, log_event, log_fault, log_trim, mark, start_dive, start_work
from rovlog.usecases.give_waiver import waive_item
from rovlog.usecases.held_logbook import HeldLogbook
from rovlog.usecases.logbook import Logbook
from rovlog.usecases.set_item_aside import defer_item
from rovlog.usecases.type_readback import type_readback

WATER = {"kind": "fresh", "temperature_c": 16.0}
DEEDS = ("swimmers", "deck", "fuse", "fault", "event", "trim", "mark", "readback", "waiver", "defer", "close",
         "next dive", "work", "other vehicle")  # fmt: skip


def told(state: DiveState) -> dict[str, Any]:
    """Everything shown of a state, as values that can be compared."""
    return {
        "items": dict(state.items),
        "stops": state.stops,
        "groups": state.groups,
        "computed": dict(state.computed),
        "crew": dict(state.crew),
        "site": state.site,
        "number": state.number,
        "last": state.last_answer,
        "drift": state.drift.report if state.drift else None,
        "readback": state.drift.readback if state.drift else None,
        "notes": state.drift.notes if state.drift else None,
        "quarantine": state.quarantine,
        "findings": state.findings,
    }


def do(logbook: Logbook, deed: str, dive: str) -> str:
    """Do one thing; tells the dive in hand then. What is refused changes nothing."""
    record = logbook.record(dive)
    by = "ines"
    if deed == "next dive":
        close(logbook, record, by=by)
        return start_dive(logbook, record.vehicle, by=by, site="lock-pool", water=WATER, crew=CREW).record
    if deed == "work":
        work = start_work(logbook, record.vehicle, by=by, purpose="a plug looked at").record
        close(logbook, logbook.record(work), by=by)
    elif deed == "other vehicle":
        start_dive(logbook, "wigeon", by=by, site="school-pool", water=WATER, crew=CREW)
    elif deed == "fault":
        log_fault(logbook, record, "yaw-weak", by=by)
    elif deed == "event":
        log_event(logbook, record, "housing-opened", by=by)
    elif deed == "trim":
        log_trim(logbook, record, {"heave": 0.3}, by=by)
    elif deed == "mark":
        mark(logbook, record, "power-off", by=by)
    elif deed == "readback":
        type_readback(logbook, record, by=by, in_use={"steering_scheme": 1, "thruster_map": 1})
    elif deed == "waiver":
        waive_item(logbook, record, by=by, reason="known", until="2026-12-31", pointer="/trim_defaults/heave")
    elif deed == "defer":
        defer_item(logbook, record, "site-limits", by=by, reason="later")
    elif deed == "close":
        close(logbook, record, by=by)
    else:
        values = {"deck": {"supply_from_edge": "2,5"}, "fuse": {"rating": "15"}}.get(deed)
        answer_item(logbook, record, deed, by=by, values=values)
    return dive


@settings(max_examples=25)
@given(st.lists(st.sampled_from(DEEDS), max_size=7))
def test_held_and_read_anew_tell_the_same_whatever_happens(deeds):
    book = logbook_in_memory()
    dive = start(book)
    held = HeldLogbook(book)
    dive_state(held, held.record(dive))
    for deed in deeds:
        book.clock.advance(40)
        try:
            dive = do(held, deed, dive)
        except RovlogError:
            continue  # refused; both must still agree
        held.forget()
        fresh = Logbook(book)
        assert told(dive_state(held, held.record(dive))) == told(dive_state(fresh, fresh.record(dive)))
    assert [r.id for r in held.records()] == [r.id for r in Logbook(book).records()]


def test_what_another_program_wrote_into_the_record_in_hand_is_seen_at_once():
    book = logbook_in_memory()
    dive = start(book)
    held = HeldLogbook(book)
    held.records()
    other = Logbook(book)
    mark(other, other.record(dive), "power-on", by="ines")
    assert held.record(dive).entries[-1].kind == "mark"
    assert held.records()[-1].entries[-1].kind == "mark"


def test_what_another_program_wrote_elsewhere_is_seen_after_letting_go():
    book = logbook_in_memory()
    start(book)
    held = HeldLogbook(book)
    held.records()
    start(book, "wigeon")
    assert len(held.records()) == 1
    held.let_go()
    assert len(held.records()) == 2


@pytest.mark.parametrize("kinds", [("dive",), ("work",), ("dive", "work")])
def test_kinds_and_vehicles_are_those_of_the_logbook(kinds):
    book = logbook_in_memory()
    start(book)
    start(book, "wigeon")
    logbook = Logbook(book)
    start_work(logbook, "grebe", by="ines", purpose="bench")
    held = HeldLogbook(book)
    for vehicle in (None, "grebe", "wigeon", "nobody"):
        assert [r.id for r in held.records(vehicle, kinds)] == [r.id for r in logbook.records(vehicle, kinds)]
