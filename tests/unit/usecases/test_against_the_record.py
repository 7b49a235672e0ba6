"""Answers that say less than the record holds are asked about; a close says what it is closed over."""

from __future__ import annotations

from poolside import Poolside

from rovlog.usecases.dive_steps import log_trim
from rovlog.usecases.doubtful_entries import questions_about
from rovlog.usecases.find_item import find_item
from rovlog.usecases.left_at_close import left_at_close


def dive_with_a_trim() -> Poolside:
    team = Poolside().dive()
    log_trim(team.logbook, team.record, {"heave": 0.08}, by="ines")
    return team


def test_no_changes_is_asked_about_where_a_trim_is_on_record():
    team = dive_with_a_trim()
    asked = team.tick("put-back", by="ines", is_sure=False, choice="no-changes")
    assert [q.value for q in asked.questions] == ["choice"]
    assert "1 change of trim is on record, the last heave trim +0.08 (down)" in asked.questions[0].text


def test_no_changes_is_kept_without_a_word_where_there_were_none():
    team = Poolside().dive()
    assert team.tick("put-back", by="ines", is_sure=False, choice="no-changes").questions == ()


def test_a_close_names_the_groups_it_is_closed_over():
    team = Poolside().dive()
    left = left_at_close(team.logbook, team.record)
    assert any(words.startswith("Recovery: open are ") for words in left)
    assert any("rinse" in words.lower() for words in left)


def test_pushes_said_and_not_on_record_are_asked_about():
    team = Poolside().dive()
    state = team.state()
    item = find_item(state, "direction")

    def asked(pushes: float) -> list[str]:
        found = questions_about(team.logbook, state, item, {"pushes": pushes, "thrusters_still": 0}, ())
        return [q.text for q in found if q.value == "pushes"]

    assert asked(8) == ["8 typed, 0 on record since the last change; were they watched one by one?"]
    assert asked(0) == []
