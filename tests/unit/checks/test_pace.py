"""Running through a list is noticed, told to the supervisor, and stops nothing."""

from __future__ import annotations

import pytest
from poolside import Poolside

from rovlog.domain.checks.pace import pace, quick_answers, same_readings
from rovlog.faces.reports.watch_text import pace_lines, watch_data
from rovlog.usecases.watch_pace import pace_of

QUICK = ("swimmers", "stop-word", "rescue-gear", "main-switch", "source", "jacket")


def answers(diary, names, seconds):
    for name in names:
        diary.wait(seconds=seconds).tick(name)
    return diary


def of(diary, name="one"):
    return quick_answers(diary.record(name), diary.fold().items)


class TestQuickAnswers:
    """Many stop items answered quicker than a look."""

    def test_many_stop_items_within_two_seconds_are_told(self, diary):
        found = of(answers(diary.start("one"), QUICK, 1.0))
        assert (found.items, found.timed) == (QUICK, 6)

    def test_at_a_walking_pace_nothing_is_told(self, diary):
        assert of(answers(diary.start("one"), QUICK, 20.0)) is None

    def test_a_few_quick_ones_among_many_are_nothing(self, diary):
        answers(diary.start("one"), QUICK, 30.0)
        assert of(answers(diary, QUICK[:4], 1.0)) is None

    def test_what_is_only_noted_does_not_count(self, diary):
        assert of(answers(diary.start("one"), ("housing-inside",) * 6, 1.0)) is None

    def test_what_is_typed_in_from_paper_or_memory_is_not_timed(self, diary):
        diary.start("one")
        for name in QUICK:
            diary.add("check", "piet", item=name, outcome="pass", source="paper")
            diary.add("check", "piet", item=name, outcome="pass", source="seen", clock="memory")
        assert of(diary) is None

    def test_the_second_person_is_not_timed(self, diary):
        diary.start("one")
        for _ in range(6):
            diary.wait(seconds=1).tick("seals", "ruth", True)
        assert of(diary) is None


class TestSameReadings:
    """Identical readings dive after dive."""

    def told(self, diary):
        records = [diary.record(name) for name in diary.records]
        return same_readings(records, diary.fold().items)

    def test_three_dives_running_are_told(self, diary):
        for name in ("a", "b", "c"):
            diary.start(name).tick("resting-voltage", voltage=12.62)
        [same] = self.told(diary)
        assert (same.item, same.reading, same.unit, same.dives) == ("resting-voltage", 12.62, "V", 3)

    @pytest.mark.parametrize("last", [12.61, 12.63])
    def test_a_digit_apart_is_not(self, diary, last):
        for name, volts in (("a", 12.62), ("b", 12.62), ("c", last)):
            diary.start(name).tick("resting-voltage", voltage=volts)
        assert self.told(diary) == ()

    def test_a_rating_that_has_to_equal_the_record_is_the_same_by_nature(self, diary):
        for name in ("a", "b", "c"):
            diary.start(name).tick("fuse", rating=20).tick("closures", closed=6)
        assert self.told(diary) == ()


def test_an_item_that_never_fails_and_takes_a_second_is_asked_whether_it_earns_its_place(diary):
    for number in range(10):
        diary.start(f"dive-{number}").wait(seconds=1).tick("jacket").wait(seconds=40).tick("source")
    *earlier, last = (diary.record(name) for name in diary.records)
    [habit] = pace(last, earlier, diary.fold().items).habits
    assert (habit.item, habit.answers, habit.median_s) == ("jacket", 10, 1.0)
    assert pace_lines(pace(last, earlier, diary.fold().items))[-1].endswith("its place in the list?")


def test_one_failure_ends_the_habit(diary):
    for number in range(12):
        outcome = "fail" if number == 3 else "pass"
        diary.start(f"dive-{number}").wait(seconds=1).tick("jacket", outcome=outcome)
    *earlier, last = (diary.record(name) for name in diary.records)
    assert pace(last, earlier, diary.fold().items).habits == ()


def test_the_note_is_neutral(diary):
    answers(diary.start("one"), QUICK, 1.0)
    said = " ".join(pace_lines(pace(diary.record("one"), [], diary.fold().items)))
    assert "quicker than a look" in said
    assert not any(word in said for word in ("must", "wrong", "fault", "careless", "cheat", "violation"))


class TestTheNote:
    """Told beside the dive, and by the team's own number."""

    def hurry(self, pool):
        for name in QUICK:
            pool.clock.advance(-29)
            pool.tick(
                name, "otto", **({"choice": "isolated-supply", "label": "A"} if name == "source" else {})
            )
        return pace_of(pool.logbook, pool.state())

    def test_it_stands_beside_the_dive_and_stops_nothing(self):
        pool = Poolside().dive()
        pool.clock.advance(30)
        found = self.hurry(pool)
        assert found.quick is not None
        assert set(found.quick.items) <= set(QUICK)
        data = watch_data((), (), found)["pace"]
        assert data["quick"]["timed"] == len(QUICK)
        assert not any("quick" in s.reason for s in pool.state().stops)

    def test_the_team_sets_what_is_quick(self):
        pool = Poolside().dive()
        pool.book.files.tree["logbook.yaml"] += b"policy: {quick_answer_s: 0.5}\n"
        pool.logbook.forget()
        pool.clock.advance(30)
        assert self.hurry(pool).quick is None

    def test_work_on_a_box_has_no_pace(self):
        pool = Poolside()
        from rovlog.usecases.dive_steps import start_work

        pool.record_id = start_work(pool.logbook, "quay-box", by="otto", purpose="new firmware").record
        assert not pace_of(pool.logbook, pool.state())
