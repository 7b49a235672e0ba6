"""An item that states a moment of the dive marks it: once, with the answer, and in no round twice."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from poolside import Poolside

from rovlog.documents.checklist import checklist_from
from rovlog.domain.dive import MARKS
from rovlog.faces.reports.check_text import item_block
from rovlog.problems import NotRecordedError
from rovlog.usecases.complete_list import release_point
from rovlog.usecases.computed_quantities import running_here_s
from rovlog.usecases.dive_steps import mark

ROOT = Path(__file__).parents[3]
LISTS = {
    "pre-dive": ["power-on"],
    "launch": ["launch-floats"],
    "recovery": ["recovery-thrusters-off", "recovery-lift", "recovery-power-off"],
}
"""The items that state a moment, alone in their lists, so that no hold point stands before them."""


@pytest.fixture
def pool() -> Poolside:
    """A dive whose lists ask for the moments alone."""
    pool = Poolside()
    for name, items in LISTS.items():
        document = dict(pool.logbook.document(f"checklists/{name}.yaml"))
        rows = [i for s in document["sections"] for i in s["items"] if i["item"] in items]
        assert [i["item"] for i in rows] == items
        document["sections"] = [{"title": "moments", "section": f"{name}-moments", "items": rows}]
        pool.write(f"checklists/{name}.yaml", document)
    return pool.dive()


def marks(pool: Poolside) -> list[str]:
    """The marks of the record, in order."""
    return [str(e.fields["mark"]) for e in pool.record.of_kind("mark")]


def test_a_dive_answered_from_the_list_alone_has_its_moments_and_its_hours(pool):
    pool.tick("power-on")
    pool.clock.advance(570)
    pool.tick("launch-floats", by="ruth", watched="75")
    pool.clock.advance(1170)
    pool.tick("recovery-thrusters-off", by="ines")
    pool.tick("recovery-lift", by="ruth")
    pool.tick("recovery-power-off")
    assert marks(pool) == ["power-on", "in-water", "back-at-surface", "out-of-water", "power-off"]
    assert running_here_s(pool.record, None) == 30 + 570 + 30 + 1170 + 30 + 30


def test_the_answer_and_its_mark_are_by_one_person_at_one_time(pool):
    answered = pool.tick("power-on")
    check, marked = pool.record.entries[-2:]
    assert (check.kind, marked.kind) == ("check", "mark")
    assert (check.by, check.at) == (marked.by, marked.at) == ("otto", check.at)
    assert answered.written.entry.id == check.id
    assert "also marked: power on" in answered.notes


def test_neither_stands_without_the_other(pool, monkeypatch):
    files = pool.book.files
    before = [e.id for e in pool.record.entries]
    appended = []

    def refuse(name, data):
        appended.append(data)
        raise NotRecordedError("the disk is full", "make room")

    monkeypatch.setattr(files, "append", refuse)
    with pytest.raises(NotRecordedError):
        pool.tick("power-on")
    assert len(appended) == 1
    assert b"kind: check" in appended[0]
    assert b"kind: mark" in appended[0]
    assert [e.id for e in pool.record.entries] == before


def test_what_is_marked_already_is_not_marked_twice(pool):
    mark(pool.logbook, pool.record, "power-on", by="otto")
    answered = pool.tick("power-on")
    assert marks(pool) == ["power-on"]
    assert answered.notes == ()


def test_a_moment_that_was_passed_is_not_marked_again(pool):
    mark(pool.logbook, pool.record, "in-water", by="ruth")
    mark(pool.logbook, pool.record, "off-surface", by="ruth")
    pool.tick("launch-floats", by="ruth", watched="75")
    mark(pool.logbook, pool.record, "out-of-water", by="ruth")
    pool.tick("recovery-thrusters-off", by="ines")
    pool.tick("recovery-lift", by="ruth")
    assert marks(pool) == ["in-water", "off-surface", "out-of-water"]


def test_power_that_was_off_and_comes_on_again_is_marked_again(pool):
    pool.tick("power-on")
    pool.tick("recovery-power-off")
    pool.tick("recovery-power-off")
    pool.tick("power-on")
    assert marks(pool) == ["power-on", "power-off", "power-on"]


def test_a_failed_answer_marks_nothing(pool):
    pool.tick("power-on", outcome="fail", text="it smells")
    pool.tick("launch-floats", by="ruth", watched="12")
    assert marks(pool) == []


def test_a_hold_point_that_states_a_moment_marks_it_when_it_is_released(pool):
    document = dict(pool.logbook.document("checklists/post-dive.yaml"))
    point = {
        "item": "word-given",
        "challenge": "Release",
        "response": "go on",
        "kind": "release",
        "by": "supervisor",
        "stops": "always",
        "marks": "off-surface",
    }
    later = {**point, "item": "all-home", "kind": "confirm", "stops": "no"}
    del later["marks"]
    document["sections"] = [{"title": "word", "items": [point]}, {"title": "end", "items": [later]}]
    pool.write("checklists/post-dive.yaml", document)
    done = release_point(pool.logbook, pool.record, "word-given", by="ines")
    assert [e.kind for e in pool.record.entries[-2:]] == ["release", "mark"]
    assert marks(pool) == ["off-surface"]
    assert done.notes == ("also marked: off surface",)


def test_the_item_says_what_it_marks(pool):
    state = pool.state()
    item = state.item("power-on")
    assert "also marks power on" in item_block(item, state.items["power-on"], state.resolved, state.computed)
    swimmers = checklist_from(pool.logbook.document("checklists/post-dive.yaml")).sections[0].items[0]
    assert "also marks" not in item_block(swimmers, state.items["power-on"], {}, {})


def test_the_shipped_lists_state_the_moments_that_are_seen_and_not_the_word_that_lets_her_go(all_lists):
    stated = {i.marks: i.code for c in all_lists for i in c.items() if i.marks}
    assert stated == {
        "power-on": "G1",
        "in-water": "N3",
        "back-at-surface": "R1",
        "out-of-water": "R2",
        "power-off": "R5",
    }


def test_the_schema_knows_the_marks():
    schema = json.loads((ROOT / "schemas" / "checklist-1.json").read_text("utf-8"))
    assert schema["$defs"]["item"]["properties"]["marks"]["enum"] == list(MARKS)
