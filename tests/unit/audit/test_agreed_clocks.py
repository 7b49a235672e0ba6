"""A clock that somebody compared with another one: which times are agreed by that."""

from __future__ import annotations

from diving import day, record
from fakes import fake_book
from team_logbook import fill

from rovlog.domain.audit.agreed_clocks import clock_grades, comparison_words, is_comparison
from rovlog.domain.audit.timeline import timeline
from rovlog.faces.reports.timeline_text import timeline_text
from rovlog.usecases.compare_clocks import compare_clocks


def compared(off: float, **more: object) -> tuple[str, dict[str, object]]:
    values = {"off_s": off}
    return "reading", {"reading": "clock-compared", "values": values, "text": "the pool's clock", **more}


def grades(*entries: tuple[str, dict[str, object]]) -> list[str]:
    one = record("d1", day(1), *entries)
    return [clock_grades(one)[e.id] for e in one.entries]


MARK = ("mark", {"mark": "power-on", "at": day(1, "10:01:00")})


def test_a_clock_near_another_one_makes_the_times_of_its_record_agreed():
    assert grades(MARK) == ["own", "own", "own"]
    assert grades(MARK, compared(2.0)) == ["agreed"] * 4
    assert grades(MARK, compared(-61.0)) == ["own"] * 4


def test_a_time_from_memory_stays_from_memory():
    assert grades(("note", {"clock": "memory"}), compared(0.0)) == ["agreed", "memory", "agreed", "agreed"]


def test_nothing_is_agreed_on_the_other_side_of_a_jump():
    back = ("mark", {"mark": "in-water", "at": day(1, "08:00:00")})
    again = {"at": day(1, "08:01:00")}
    rows = grades(MARK, back, compared(0.0, **again), ("note", dict(again)))
    assert rows[:2] == ["own", "own"]
    assert rows[2:5] == ["agreed"] * 3


def test_the_timeline_marks_agreed_times_and_tells_the_comparison():
    text = timeline_text(timeline([record("d1", day(1), MARK, compared(2.0))]), str)
    assert "10:01= mark       power on" in text
    assert "clock compared with the pool's clock: 2 s ahead of it" in text
    assert "= time agreed with another clock" in text


def test_a_person_says_it_with_a_command_of_a_dive():
    logbook = fill(fake_book())
    dive = logbook.record("grebe-20260516-test")
    written = compare_clocks(logbook, dive, against="tam's phone", off_s=-3.0, by="iben")
    assert is_comparison(written.entry)
    assert comparison_words(written.entry) == "clock compared with tam's phone: 3 s behind it"
