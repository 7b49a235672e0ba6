"""A fault from reported to closed, derived from the entries; recurrence and what held since."""

from __future__ import annotations

import json

import pytest
from diving import day, record
from drifting import resolved, tables

from rovlog.domain.audit.fault_case import FaultCase, fault_cases
from rovlog.domain.audit.flights import flights_of
from rovlog.domain.audit.flown import as_flown
from rovlog.domain.audit.recurrence import Trait, correction_state, recurrence, traits_of
from rovlog.faces.reports.faults_text import faults_data, faults_text, recurrence_data, recurrence_text

FAULT = ("fault", {"symptom": "yaw-dead", "part": "bow-port", "text": "no turn"})
WET = ("mark", {"mark": "in-water"})


def check(item, outcome="pass", **values):
    return ("check", {"item": item, "outcome": outcome, "values": values, "checklist": "after-fault"})


TEST = ("observation", {"push": {"right-stick-x": 1}, "seen": {"bow-port": "still"}})
CAUSE = check("fault-cause", choice="shown")
WATCHED = check("fault-cause", choice="not-found-watch", watch_dives=2)
ACTION = ("event", {"event": "connector-parted", "part": "bow-port", "text": "re-seated"})
REDO = check("fault-redo", left=0)
RELEASE = ("release", {"item": "return-to-service", "point": "return-to-service", "by": "ada"})


def work(number, *entries):
    return record(f"w{number}", day(number), ("start", {"purpose": "search"}), *entries, kind="work")


def only(*records, held=frozenset()) -> FaultCase:
    (case,) = fault_cases(records, held)
    return case


FAULTY = record("d1", day(1), WET, FAULT)


@pytest.mark.parametrize(
    ("entries", "stage", "missing"),
    [
        ((), "reported", "a function test"),
        ((TEST,), "verified", "a cause"),
        ((TEST, CAUSE), "cause", "an action"),
        ((TEST, CAUSE, ACTION), "action", "redone and audited"),
        ((TEST, CAUSE, ACTION, REDO), "proof", "a release"),
        ((TEST, CAUSE, ACTION, REDO, RELEASE), "closed", ""),
        ((CAUSE, ACTION, REDO, RELEASE), "reported", "a function test"),
        ((check("fault-function", "fail"), CAUSE, ACTION, REDO, RELEASE), "reported", "answered as failed"),
    ],
)
def test_a_case_stands_at_the_last_stage_up_to_which_nothing_is_missing(entries, stage, missing):
    case = only(FAULTY, work(2, *entries), held=frozenset() if RELEASE in entries else frozenset({"d1-3"}))
    assert case.stage == stage
    assert (missing in case.missing[0]) if missing else not case.missing


def test_what_was_waived_is_not_missing_and_is_named_with_its_reason():
    waiver = ("waiver", {"item": "fault-function", "reason": "no tub today", "until": "closed"})
    case = only(FAULTY, work(2, waiver, CAUSE, ACTION, REDO, RELEASE))
    assert case.stage == "closed"
    assert "verified waived: no tub today" in faults_text([case], str)


def test_a_cause_not_found_is_closed_only_when_the_dives_to_watch_went_well():
    released = work(2, TEST, WATCHED, REDO, RELEASE)
    one = only(FAULTY, released, record("d3", day(3), WET))
    assert (one.stage, one.missing) == ("proof", ("watching for 2 dives, 1 flown since",))
    two = only(FAULTY, released, record("d3", day(3), WET), record("d4", day(4), WET))
    assert two.stage == "closed"
    assert [correction_state(c) for c in (one, two)] == ["watching", "held"]


def test_a_symptom_that_comes_back_opens_the_case_again():
    released = work(2, TEST, CAUSE, ACTION, REDO, RELEASE)
    first, second = fault_cases([FAULTY, released, record("d3", day(3), WET, FAULT)], frozenset({"d3-3"}))
    assert first.stage != "closed"
    assert first.came_back == ("d3",)
    assert "an action that holds" in first.missing[0]
    assert correction_state(first) == "came-back"
    assert (second.stage, second.is_in_quarantine) == ("reported", True)


def test_what_befell_the_vehicle_on_the_dive_is_no_action_and_what_was_done_in_work_is():
    knocked = record("d1", day(1), WET, FAULT, ("event", {"event": "connector-parted", "text": "snagged"}))
    assert only(knocked, work(2, TEST)).actions == ()
    assert [f.entry.fields["text"] for f in only(knocked, work(2, ACTION)).actions] == ["re-seated"]


def test_facts_stand_apart_from_opinions_and_evidence_has_its_holder():
    entries = (
        ("note", {"text": "I thought it was the wind"}),
        ("note", {"text": "experiment, step 1 of 6: people clear"}),
        ("reading", {"reading": "battery", "values": {"resting_v": 12.4}}),
        ("attachment", {"file": "a.jpg", "what": "photo", "digest": "sha256:" + "0" * 64, "by": "yuki"}),
        check("fault-parts", holder="yuki, bag 3"),
    )
    case = only(FAULTY, work(2, *entries))
    assert [f.entry.kind for f in case.facts] == ["fault", "reading"]
    assert [f.entry.fields["text"] for f in case.opinions] == ["I thought it was the wind"]
    assert case.holder == "yuki, bag 3"
    assert "evidence: 1 file kept by yuki; failed part: yuki, bag 3" in faults_text([case], str)
    data = json.loads(json.dumps(faults_data([case])))[0]
    assert {f["kind"] for f in data["facts"]} & {f["kind"] for f in data["opinions"]} == set()


def test_a_symptom_logged_twice_on_one_dive_is_one_case_and_two_symptoms_are_two():
    twice = record("d1", day(1), FAULT, FAULT, ("fault", {"symptom": "sinks"}))
    assert [(c.symptom, len(c.faults)) for c in fault_cases([twice], frozenset())] == [
        ("yaw-dead", 2), ("sinks", 1),
    ]  # fmt: skip


def test_a_fault_logged_in_work_is_a_case_too():
    case = only(work(1, FAULT, TEST))
    assert (case.record, case.stage) == ("w1", "verified")


def test_hostile_text_in_a_case_steers_no_terminal():
    bad = record("d1", day(1), ("fault", {"symptom": "yaw-dead", "part": "\x1b[31mbow"}))
    text = faults_text(fault_cases([bad], frozenset()), str)
    assert "\x1b" not in text
    assert all(len(line) <= 80 for line in text.splitlines())


# -- recurrence --------------------------------------------------------------------------------

BASE = resolved()


def books(**vehicles):
    found, traits, cases = {}, {}, []
    for name, records in vehicles.items():
        book = flights_of(records, {r.id: as_flown(BASE, r, tables()) for r in records if r.kind == "dive"})
        found[name] = book
        traits |= {f.dive: traits_of(f, {}) for f in book.flights}
        cases += fault_cases(records, frozenset())
    return found, traits, cases


def fit(part):
    return ("fitted", {"part": part, "to": "supply"})


def test_the_same_symptom_is_found_with_what_it_shares_and_with_what_it_does_not():
    mine = [record("a1", day(1)), record("a2", day(5), fit("battery-a"), FAULT)]
    theirs = [record("b1", day(2), fit("battery-a"), FAULT), record("b2", day(3), fit("battery-b"))]
    found = recurrence("yaw-dead", "puffin", *books(puffin=mine, gannet=theirs))
    assert found is not None
    assert [e.fault.record for e in found.elsewhere] == ["b1"]
    assert Trait("part", "battery-a") in found.elsewhere[0].shared
    battery = next(t for t in found.traits if t.trait == Trait("part", "battery-a"))
    assert (battery.dives, battery.with_symptom, battery.others) == (2, 2, ("b1",))
    box = next(t for t in found.traits if t.trait.kind == "box")
    assert (box.dives, box.with_symptom) == (4, 2)
    assert found.traits[0].trait == Trait("part", "battery-a")
    text = recurrence_text(found, str)
    assert "part battery-a: on 2 of 2 dives with it; also in b1" in text
    json.dumps(recurrence_data(found))


def test_corrective_actions_for_the_symptom_say_whether_they_held():
    held = [FAULTY, work(2, TEST, CAUSE, ACTION, REDO, RELEASE), record("d3", day(3)), record("d4", day(4))]
    found = recurrence("yaw-dead", "puffin", *books(puffin=held))
    assert found is not None
    assert [(c.state, c.case.dives_since) for c in found.corrections] == [("held", ("d3", "d4"))]
    assert "The symptom is on record nowhere else." in recurrence_text(found, str)


def test_a_symptom_the_vehicle_never_had_recurs_nowhere():
    assert recurrence("sinks", "puffin", *books(puffin=[FAULTY])) is None
