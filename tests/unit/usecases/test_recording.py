"""Entries are written beside what others wrote meanwhile, and files are read as they are now."""

from __future__ import annotations

import json
from dataclasses import replace

from poolside import Poolside

from rovlog.usecases.dive_steps import close
from rovlog.usecases.logbook import Logbook
from rovlog.usecases.recording import append
from rovlog.usecases.verify_logbook import verify_logbook


def at_the_water() -> Poolside:
    return Poolside().dive()


def as_laptop(side: Poolside, writer: str) -> Logbook:
    """The same logbook as another laptop opens it."""
    return Logbook(replace(side.book, writer=writer))


def test_a_second_program_goes_on_in_the_part_that_the_first_one_began() -> None:
    side = at_the_water()
    one, two = as_laptop(side, "deck-laptop"), as_laptop(side, "deck-laptop")
    seen_before = two.record(side.record_id)
    append(one, one.record(side.record_id), "note", "ines", {"text": "first"})
    written = append(two, seen_before, "note", "ruth", {"text": "second"})
    notes = two.record(side.record_id).of_kind("note")
    assert [(n.fields["text"], n.writer) for n in notes] == [
        ("first", "deck-laptop"),
        ("second", "deck-laptop"),
    ]
    assert written.entry.n == notes[0].n + 1


def test_an_entry_of_a_laptop_that_never_saw_the_close_is_told_as_covered_by_none() -> None:
    side = at_the_water()
    away = as_laptop(side, "tent-laptop")
    unseen = side.book.files.tree.copy()
    close(side.logbook, side.record, by="ines")
    assert side.record.uncovered == ()
    with_close = dict(side.book.files.tree)
    side.book.files.tree = unseen
    late = append(away, away.record(side.record_id), "note", "ruth", {"text": "written away"}).entry
    side.book.files.tree = {**side.book.files.tree, **with_close}
    record = Logbook(side.book).record(side.record_id)
    assert late.n <= record.of_kind("close")[0].n
    assert [e.id for e in record.uncovered] == [late.id]
    said = [row.text for row in verify_logbook(Logbook(side.book)) if row.what == "closes"]
    assert f"{side.record_id}: 1 entry is covered by no close: written after it" in said


def test_a_further_close_covers_what_came_after_the_first() -> None:
    side = at_the_water()
    close(side.logbook, side.record, by="ines")
    append(side.logbook, side.record, "note", "ruth", {"text": "later"})
    assert [e.kind for e in side.record.uncovered] == ["note"]
    close(side.logbook, side.record, by="ines")
    assert side.record.uncovered == ()


def test_a_file_changed_by_an_editor_is_seen_after_forgetting_and_parsed_only_then() -> None:
    side = Poolside()
    name = "vehicles/puffin.yaml"
    before = side.logbook.document(name)
    side.logbook.forget()
    assert side.logbook.document(name) is before
    text = json.dumps({**before, "trim_defaults": {"heave": 0.09}})
    side.book.files.tree[name] = text.encode()
    assert side.logbook.document(name) is before
    side.logbook.forget()
    assert side.logbook.vehicle("puffin")["trim_defaults"] == {"heave": 0.09}
