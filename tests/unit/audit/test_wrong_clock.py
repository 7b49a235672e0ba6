"""A record whose times contradict its ids or name is named, and placed by the better evidence."""

from __future__ import annotations

from diving import record
from fakes import FakeIds

from rovlog.domain.dive import Entry, Record
from rovlog.domain.wrong_clock import at_odds, day_in_name, made_at, placed, placed_start
from rovlog.values import replace

TRUE = "2026-09-02T16:30:00+01:00"
WRONG = "2000-01-01T16:30:00+01:00"


def refit(at: str, made: str = TRUE, name: str = "puffin-work-20260902-xbon", **first: str) -> Record:
    """Work of which the times say `at`, the ids `made` and the name its own day."""
    ids = FakeIds()
    one = record(name, at, ("event", {"event": "thruster-touched"}), kind="work")
    entries = tuple(replace(e, id=ids.ulid(made)) for e in one.entries)
    start: Entry = replace(entries[0], fields={**entries[0].fields, **first})
    return replace(one, entries=(start, *entries[1:]))


def test_the_time_in_an_id_and_the_day_in_a_name_are_read():
    made = made_at(FakeIds().ulid(TRUE))
    assert made is not None
    assert made.isoformat() == "2026-09-02T15:30:00+00:00"
    assert made_at("puffin-1") is None
    assert str(day_in_name("puffin-work-20260902-xbon")) == "2026-09-02"
    assert day_in_name("puffin-work-20269902-xbon") is None


def test_times_that_both_ids_and_name_contradict_give_way_to_the_ids():
    work = refit(WRONG)
    odds = at_odds(work)
    assert odds is not None
    assert odds.words == (
        "the times of puffin-work-20260902-xbon say 2000-01-01, but the ids of its entries say 2026-09-02 "
        "and its name says 2026-09-02: it is placed by its entries' ids, on 2026-09-02"
    )
    there = placed(work, odds)
    assert {e.at for e in there.entries} == {TRUE}
    assert there.started == TRUE == placed_start(work)


def test_ids_alone_outweigh_nothing_unless_git_speaks_for_them():
    assert at_odds(refit(TRUE, made=WRONG)) is None, "the name speaks for the times"
    unnamed = refit(WRONG, name="puffin-work")
    assert at_odds(unnamed) is None
    told = at_odds(unnamed, "2026-09-02T18:00:00+01:00")
    assert told is not None
    assert told.is_moved


def test_a_name_that_contradicts_times_and_ids_is_told_and_the_times_stand():
    work = refit(TRUE, name="puffin-work-20260101-xbon")
    odds = at_odds(work)
    assert odds is not None
    assert not odds.is_moved
    assert odds.words.endswith("it is placed by its times, on 2026-09-02, since nothing else outweighs them")
    assert placed(work, odds) is work


def test_nobody_is_doubted_who_wrote_from_memory_or_corrected_the_time():
    assert at_odds(refit(WRONG, clock="memory")) is None
    work = refit(WRONG)
    said = replace(work.entries[0], corrected_by=("a-correction",))
    assert at_odds(replace(work, entries=(said, *work.entries[1:]))) is None


def test_a_day_apart_is_no_wrong_clock():
    assert at_odds(refit("2026-09-02T23:50:00-10:00", made="2026-09-03T05:00:00+00:00")) is None
    assert at_odds(refit(TRUE)) is None
