"""The demonstration's clock, chance, history and files."""

from __future__ import annotations

import pytest
from fakes import FakeFiles, FakeHistory, FakeIds
from hypothesis import given
from hypothesis import strategies as st

from rovlog.usecases.demonstration.remembered import RememberedFiles
from rovlog.usecases.demonstration.scripted import (
    LETTERS,
    ScriptedClock,
    ScriptedHistory,
    ScriptedIds,
    repeatable_bytes,
)

FOUNDER = ("Oona Wickstead", "oona@larkwater.example")


def test_the_clock_counts_seconds_from_the_day_it_was_begun_on() -> None:
    clock = ScriptedClock("2026-04-04T08:55:00+01:00")
    clock.begin("2026-04-11T09:30:00+01:00")
    clock.pass_s(90.4)
    assert clock.now() == "2026-04-11T09:31:30+01:00"
    assert clock.mono_s() == 90.0


def test_the_clock_never_goes_back() -> None:
    clock = ScriptedClock("2026-04-04T08:55:00+01:00")
    with pytest.raises(ValueError, match="goes back"):
        clock.begin("2026-04-04T08:54:59+01:00")


@given(st.lists(st.integers(1, 70), max_size=8))
def test_the_bytes_depend_on_the_seed_and_on_what_was_drawn_before_alone(counts: list[int]) -> None:
    one, other = repeatable_bytes("a pond"), repeatable_bytes("a pond")
    drawn = [one(count) for count in counts]
    assert drawn == [other(count) for count in counts]
    assert [len(d) for d in drawn] == counts
    assert len(set(drawn)) == len(drawn) or max(map(len, drawn)) < 8  # long draws never repeat


def test_another_seed_draws_other_bytes() -> None:
    assert repeatable_bytes("a pond")(16) != repeatable_bytes("a lake")(16)


def test_every_commit_has_an_author_and_the_scripts_time_also_where_git_knows_nobody() -> None:
    files = FakeFiles({"logbook.yaml": b"format: rovlog/logbook/1\n"})
    behind = FakeHistory(files, user=None)
    history = ScriptedHistory(behind, ScriptedClock("2026-04-04T08:55:00+01:00"), FOUNDER)
    assert history.commit(["logbook.yaml"], "Start the logbook").commit is not None
    (made,) = behind.commits
    assert (made.author, made.email, made.at) == (*FOUNDER, "2026-04-04T08:55:00+01:00")


def test_a_records_start_waits_for_its_next_milestone() -> None:
    files = FakeFiles({"dives/2026/grebe-20260411-abcd.yaml": b"format: rovlog/dive/1\n"})
    behind = FakeHistory(files)
    history = ScriptedHistory(behind, ScriptedClock("2026-04-04T08:55:00+01:00"), FOUNDER)
    outcome = history.commit(list(files.tree), "Start dive grebe-20260411-abcd at lock-pool")
    assert (outcome.commit, behind.commits) == (None, [])
    assert history.commit(list(files.tree), "Close dive grebe-20260411-abcd").commit is not None


def test_files_are_read_once_and_seen_as_they_were_last_written() -> None:
    behind = FakeFiles({"logbook.yaml": b"a\n"})
    files = RememberedFiles(behind)
    assert files.read("logbook.yaml") is files.read("logbook.yaml")
    files.append("logbook.yaml", b"b\n")
    assert files.read("logbook.yaml") == b"a\nb\n" == behind.tree["logbook.yaml"]
    files.replace("logbook.yaml", b"c\n", b"a\nb\n")
    assert files.read("logbook.yaml") == b"c\n" == behind.tree["logbook.yaml"]
    assert files.names("parts") == []
    files.create("parts/pole.yaml", b"d\n")
    assert files.names("parts") == ["parts/pole.yaml"]
    assert files.exists("parts/pole.yaml")
    assert not files.exists("parts/line.yaml")


def test_records_keep_their_letters_whatever_else_is_drawn_between() -> None:
    one, other = ScriptedIds(FakeIds(1)), ScriptedIds(FakeIds(2))
    other.ulid("2026-04-04T08:55:00+01:00")
    assert [one.letters(4) for _ in LETTERS] == LETTERS == [other.letters(4) for _ in LETTERS]
    assert len(set(LETTERS)) == len(LETTERS)
    assert len(one.letters(4)) == 4  # drawn, once the list is used up
