"""A blind first answer is told in no face before the second person has answered; the record holds it."""

from __future__ import annotations

import pytest
from poolside import ALONE, Poolside

from rovlog.faces.reports.dive_text import entries_text
from rovlog.faces.reports.flat_rows import flat_csv, flat_jsonl
from rovlog.faces.reports.pages.dive_page import dive_page
from rovlog.faces.reports.pages.text import page_text
from rovlog.faces.screens.audit_deeds import record_words
from rovlog.faces.screens.entry_words import words_of
from rovlog.usecases.covered_record import covered_record
from rovlog.usecases.dive_steps import correct
from rovlog.usecases.report_dive import report_dive
from rovlog.usecases.report_flat import report_flat


@pytest.fixture
def pool():
    """A dive in which the fuse was read as 15 A, which is not what the configuration has."""
    pool = Poolside().dive()
    pool.tick("fuse", "otto", rating=15)
    return pool


def faces(pool: Poolside) -> dict[str, str]:
    """What every face that lists entries says of the record in hand."""
    shown = covered_record(pool.logbook, pool.record)
    rows, _ = report_flat(pool.logbook)
    page = dive_page(report_dive(pool.logbook, pool.record_id), pool.logbook.person_name)
    return {
        "entries": entries_text(shown, str),
        "dives": "\n".join(words_of(e) for e in shown.entries),
        "audit": record_words(shown),
        "csv": flat_csv(rows),
        "jsonl": flat_jsonl(rows),
        "page": page_text(page),
    }


def told(pool: Poolside, *words: str) -> set[str]:
    """The faces in which one of the words stands in a line about the fuse."""
    found = set()
    for face, text in faces(pool).items():
        lines = [
            line for line in text.splitlines() if "fuse" in line.lower() and "configuration:" not in line
        ]
        if any(word in line for line in lines for word in words):
            found.add(face)
    return found


def test_no_face_tells_the_first_answer_while_the_second_is_missing(pool):
    assert told(pool, "FAILED", "failed", 'rating"', "rating 15", '"fail"', ",fail,") == set()
    said = faces(pool)
    for face in ("entries", "dives", "audit", "jsonl", "page"):
        assert "until the second has answered" in said[face], face


def test_the_record_itself_holds_it(pool):
    entry = pool.record.of_kind("check")[-1]
    assert (entry.fields["values"], entry.fields["outcome"]) == ({"rating": 15}, "fail")


def test_every_face_tells_it_once_the_second_has_answered(pool):
    pool.tick("fuse", "ruth", rating=20)
    said = faces(pool)
    assert "rating 15" in said["dives"]
    assert '"rating": 15' in said["entries"]
    assert 'rating": 15' in said["jsonl"]
    assert "the two differ" in said["page"]
    assert not any("until the second has answered" in text for text in said.values())


def test_a_second_look_of_the_same_person_tells_nothing_unless_the_crew_is_one(pool):
    pool.tick("fuse", "otto", is_second=True, rating=15)
    assert told(pool, "rating 15", '"rating"') == set()
    alone = Poolside().dive(crew=ALONE)
    alone.tick("fuse", "ines", rating=20)
    assert told(alone, "rating 20") == set()
    alone.tick("fuse", "ines", is_second=True, rating=20)
    assert "dives" in told(alone, "rating 20")


def test_a_correction_of_a_first_answer_is_covered_too(pool):
    first = pool.record.of_kind("check")[-1]
    correct(pool.logbook, pool.record, first.id, {"values": {"rating": 25}}, by="otto", reason="misread")
    assert not any("25" in words_of(e) for e in covered_record(pool.logbook, pool.record).entries)
    pool.tick("fuse", "ruth", rating=25)
    assert any("25" in words_of(e) for e in covered_record(pool.logbook, pool.record).entries)


def test_answers_of_items_that_are_not_blind_are_told_at_once():
    pool = Poolside().dive()
    pool.tick("seals", "otto")
    assert "seals" in faces(pool)["dives"]
    assert "hidden" not in faces(pool)["dives"]


def test_a_failure_that_somebody_states_is_told(pool):
    pool.tick("fuse", "otto", outcome="fail", rating=20, text="the holder is cracked")
    assert "the holder is cracked" in faces(pool)["dives"]


def test_a_dive_that_was_closed_without_the_second_tells_what_the_first_said(pool):
    pool.close()
    assert "rating 15" in faces(pool)["dives"]
