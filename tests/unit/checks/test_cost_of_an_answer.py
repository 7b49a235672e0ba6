"""What an answer does not do twice: digests, states, and looking through records of long ago."""

from __future__ import annotations

import pytest
from driving_app import CREW, logbook_in_memory, start

from rovlog.documents import canonical
from rovlog.domain.dive import Record
from rovlog.faces.screens.desk import Desk
from rovlog.usecases import doubtful_entries
from rovlog.usecases.answer_item import answer_item
from rovlog.usecases.configurations import working
from rovlog.usecases.dive_state import dive_state
from rovlog.usecases.dive_steps import start_dive
from rovlog.usecases.logbook import Logbook

WATER = {"kind": "fresh", "temperature_c": 16.0}


def test_files_that_have_not_changed_are_digested_once(monkeypatch):
    digested: list[object] = []
    whole = canonical.digest

    def counted(value):
        digested.append(value)
        return whole(value)

    monkeypatch.setattr(canonical, "digest", counted)
    logbook = Logbook(logbook_in_memory())
    first = working(logbook, "grebe")
    assert any(value is first.resolved for value in digested)
    digested.clear()
    for _ in range(3):
        logbook.forget()
        assert working(logbook, "grebe").digest == first.digest
    assert not any(value == first.resolved for value in digested)


@pytest.mark.parametrize(
    ("name", "before", "after"),
    [
        ("vehicles/grebe.yaml", b"rating_a: 15", b"rating_a: 10"),
        ("boxes/amber-box.yaml", b'firmware: "1.4"', b'firmware: "1.5"'),
        ("thrusters/reed-40.yaml", b"thrust_n: 5.6", b"thrust_n: 5.7"),
    ],
)
def test_a_file_that_has_changed_is_digested_anew(name, before, after):
    book = logbook_in_memory()
    logbook = Logbook(book)
    first = working(logbook, "grebe")
    text = book.files.read(name)
    assert before in text
    book.files.replace(name, text.replace(before, after, 1), text)
    logbook.forget()
    now = working(logbook, "grebe")
    assert now.resolved == working(Logbook(book), "grebe").resolved
    assert now.digest == working(Logbook(book), "grebe").digest != first.digest


def test_an_answer_tells_the_record_with_the_answer_in_it_and_the_app_reads_it_no_second_time(monkeypatch):
    book = logbook_in_memory()
    dive = start(book)
    logbook = Logbook(book)
    answered = answer_item(logbook, logbook.record(dive), "swimmers", by="ines")
    assert answered.after is not None
    fresh = dive_state(Logbook(book), Logbook(book).record(dive))
    assert answered.after.items == fresh.items
    assert answered.after.stops == fresh.stops
    assert answered.state == "answered"
    desk = Desk(book)
    desk.begin()
    monkeypatch.setattr("rovlog.faces.screens.desk.dive_state", lambda *given: 1 / 0)
    assert desk.look(now=answered.after).state is answered.after


def test_only_the_last_records_are_looked_through_for_readings(monkeypatch):
    book = logbook_in_memory()
    logbook = Logbook(book)
    for day in range(1, 61):
        start_dive(
            logbook, "grebe", by="ines", site="outer-basin", water=WATER, crew=CREW,
            at=f"2025-{1 + day // 28:02d}-{1 + day % 28:02d}T10:00:00+00:00",
            record=f"grebe-2025{1 + day // 28:02d}{1 + day % 28:02d}-aaaa",
        )  # fmt: skip
    records = logbook.records("grebe")
    assert len(records) == 60
    asked: list[str] = []
    whole = doubtful_entries.start_order

    def counted(at: str) -> str:
        asked.append(at)
        return whole(at)

    monkeypatch.setattr(doubtful_entries, "start_order", counted)

    def found(record: Record, with_own: bool) -> list[str]:
        return [r.id for r in doubtful_entries._last_records(logbook, record, with_own)]

    ids = [r.id for r in records]
    assert found(records[-1], True) == ids[-30:]
    assert found(records[-1], False) == ids[-31:-1]
    assert len(asked) < 70
    assert found(records[9], True) == ids[:10]
    assert found(records[9], False) == ids[:9]
