"""What was answered on paper, typed in: the state of the app's answers; nothing half, nothing twice."""

from __future__ import annotations

import pytest
from answering import _value
from hypothesis import given, settings
from hypothesis import strategies as st
from poolside import ALONE, CREW, Poolside

from rovlog.domain.checks.checklist import Item
from rovlog.problems import DocumentError, UsageError
from rovlog.usecases.complete_list import complete_section
from rovlog.usecases.transcribe_sheet import Transcribed, check_sheet, keep_sheet
from rovlog.usecases.validate_logbook import validate_logbook

VALUES = {
    "start_below": 25.0,
    "start_temperature": 14.5,
    "end_below": 24.9,
    "end_temperature": 14.5,
    "density": 999.1,
}
"""Readings of a vacuum hold that holds, and the density the app would propose."""


def transcribe(pool: Poolside, sheet: str, by: str = "ruth", **more: object) -> Transcribed:
    checked = check_sheet(pool.logbook, pool.record, sheet.encode(), by=by, file="sheet.txt", **more)
    return keep_sheet(pool.logbook, checked)


def problems(pool: Poolside, sheet: str) -> list[tuple[int, int, str]]:
    before = pool.record.entries
    with pytest.raises(DocumentError) as raised:
        transcribe(pool, sheet)
    assert pool.record.entries == before
    return [(p.place.line, p.place.column, p.rule) for p in raised.value.problems]


@pytest.fixture
def pool() -> Poolside:
    pool = Poolside().dive()
    pool.clock.advance(3600)
    return pool


def typed(value: object) -> str:
    """A value as a person writes it down: with a decimal comma, in quotes where it has blanks."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    text = repr(value).replace(".", ",") if isinstance(value, float) else str(value)
    return f'"{text}"' if " " in text else text


def as_app_and_as_sheet() -> tuple[Poolside, str]:
    """The pre-dive list answered one by one as time passes, and the sheet that says the same."""
    app = Poolside().dive()
    lines = []
    (checklist,) = [c for c in app.state().lists if c.checklist == "pre-dive"]
    for section in checklist.sections:
        for item in section.items:
            app.clock.advance(60)
            lines += _answered(app, item)
        app.clock.advance(60)
        try:
            complete_section(app.logbook, app.record, "pre-dive", section.section, by="ines")
        except UsageError:
            continue
        lines.append(f"{section.code} {app.clock.now()[11:19]} ines")
    return app, "\n".join(lines)


def _answered(app: Poolside, item: Item) -> list[str]:
    state = app.state()
    if state.items[item.item].is_settled:
        return []
    who = CREW[next((r for r in item.by if r in CREW), "supervisor")]
    time = app.clock.now()[11:19]
    if item.kind == "release":
        try:
            app.tick(item.item, by="ines")
        except UsageError:
            return []
        app.clock.jump(-30)
        return [f"{item.code} {time} ines"]
    values = {
        a.value: VALUES.get(a.value, _value(state, item, a.value))
        for a in item.asks
        if not a.is_optional or a.proposed
    }
    values.pop("corrected_rise", None)
    texts = {name: typed(value) for name, value in values.items()}
    said = " ".join(f"{n}={v}" for n, v in texts.items())
    app.tick(item.item, by=who, **{n: v.strip('"') for n, v in texts.items()})
    other = "ruth" if who != "ruth" else "otto"
    lines = [f"{item.code} {time} {who} {said}"]
    if item.witness != "none":
        app.tick(item.item, by=other, **{n: v.strip('"') for n, v in texts.items()})
        if item.witness == "blind":
            lines.append(f"{item.code} {app.record.entries[-1].at[11:19]} {other} {said}")
        else:
            lines = [f"{lines[0]} second={other}"]
    return lines


def test_a_typed_sheet_gives_the_state_that_the_app_s_answers_give():
    app, sheet = as_app_and_as_sheet()
    typed_in = Poolside().dive()
    typed_in.clock.at = app.clock.at
    done = transcribe(typed_in, sheet)
    assert len(done.checked.new) > 70
    one, other = app.state(), typed_in.state()
    for name, state in one.items.items():
        again = other.items[name]
        assert (again.state, again.by, again.at, again.values) == (
            state.state, state.by, state.at, state.values
        ), name  # fmt: skip
        assert (again.second_by, again.second_values) == (state.second_by, state.second_values), name
    assert sum(s.state == "answered" for s in one.items.values()) > 60
    assert [g.is_complete for g in other.groups] == [g.is_complete for g in one.groups]
    assert sum(g.is_complete for g in one.groups) > 5
    assert [(m.at, m.fields["mark"]) for m in other.marks] == [(m.at, m.fields["mark"]) for m in one.marks]
    assert [s.reason for s in other.stops] == [s.reason for s in one.stops]
    assert not validate_logbook(typed_in.logbook.book).problems


class TestWhatAnEntrySays:
    """Who answered and who typed, from what, by whose clock."""

    def test_it_is_from_paper_by_who_answered_at_the_time_on_the_paper(self, pool):
        transcribe(pool, 'A5 9:05 ruth 3,5 text="by the steps"', by="otto")
        entry = pool.record.entries[-1]
        assert (entry.kind, entry.by, entry.at) == ("check", "ruth", "2026-06-13T09:05:00+01:00")
        assert entry.fields["typed_by"] == "otto"
        assert entry.fields["source"] == "paper"
        assert entry.fields["clock"] == "memory"
        assert entry.fields["values"] == {"supply_from_edge": 3.5}
        assert entry.fields["text"] == "by the steps"

    def test_a_time_close_to_the_clock_s_is_from_paper_all_the_same(self, pool):
        transcribe(pool, f"A1 {pool.clock.now()[11:16]} ines")
        assert pool.record.entries[-1].fields["clock"] == "memory"

    def test_a_day_of_its_own_holds_for_the_lines_below_it(self, pool):
        pool.clock.advance(24 * 3600)
        transcribe(pool, "A1 10:05 ines\nday 2026-06-14\nA3 09:10 ruth\n")
        assert [e.at[:16] for e in pool.record.entries[-2:]] == ["2026-06-13T10:05", "2026-06-14T09:10"]

    def test_nothing_that_the_program_would_propose_is_filled_in(self, pool):
        assert problems(pool, "A7 09:05 ines") == [(1, 1, "value-missing")]
        transcribe(pool, "A7 09:05 ines 12")
        assert pool.record.entries[-1].fields["values"] == {"margin": 12}

    def test_lines_are_kept_in_the_order_of_their_times(self, pool):
        transcribe(pool, "A3 09:20 ruth\nA1 09:10 ines\n")
        assert [e.fields["item"] for e in pool.record.entries[-2:]] == ["swimmers", "stop-word"]


class TestValues:
    """In the order of the paper, or by their names."""

    @pytest.mark.parametrize(
        "said", ["3 4 0,1 2", "depth=3 visibility=4 flow=0,1 wind=2", "wind=2 3 4 0.1", "3m 4m 0,1m/s 2m/s"]
    )
    def test_either_way_says_the_same(self, pool, said):
        transcribe(pool, f"A6 09:05 ines {said}")
        assert pool.record.entries[-1].fields["values"] == {
            "depth": 3,
            "visibility": 4,
            "flow": 0.1,
            "wind": 2,
        }

    def test_a_failed_answer_needs_no_value(self, pool):
        transcribe(pool, 'A5 09:05 ruth failed text="it stood in a puddle"')
        assert pool.state().items["deck"].state == "failed"

    def test_a_value_beyond_its_limit_fails_as_in_the_app(self, pool):
        done = transcribe(pool, "A5 09:05 ruth 0,5")
        assert [k.what for k in done.checked.lines] == ["failed"]
        assert pool.state().items["deck"].state == "failed"

    def test_the_corrected_rise_is_worked_out_from_what_was_written(self, pool):
        transcribe(pool, "C4 09:05 otto 25\nC5 09:25 otto 25 14 24,9 14")
        assert pool.record.entries[-1].fields["values"]["corrected_rise"] == pytest.approx(0.1)

    def test_a_reading_that_looks_like_a_slip_is_asked_about_and_kept_either_way(self, pool):
        checked = check_sheet(pool.logbook, pool.record, b"B5 09:05 otto 126", by="ruth", file="s")
        assert [q.value for q in checked.lines[0].questions] == ["voltage"]
        keep_sheet(pool.logbook, checked, is_sure=True)
        assert pool.record.entries[-1].fields["confirmed"] is True


class TestTwoPeople:
    """The second person's answer stays their own."""

    def test_a_blind_second_answer_is_a_line_of_its_own(self, pool):
        transcribe(pool, "B2 09:05 otto 15\nB2 09:07 ruth rating=15")
        state = pool.state().items["fuse"]
        assert (state.by, state.second_by, state.second_values) == ("otto", "ruth", {"rating": 15})
        assert pool.record.entries[-1].fields["witness"] is True

    def test_a_blind_second_answer_is_never_copied_from_the_first(self, pool):
        assert problems(pool, "B2 09:05 otto 15 second=ruth") == [(1, 18, "second-in-full")]
        assert problems(pool, "B2 09:05 otto 15\nB2 09:07 ruth") == [(2, 1, "value-missing")]

    def test_readings_that_cannot_be_are_told_with_their_line(self, pool):
        assert problems(pool, "C5 09:25 otto 25 14 24,9 14 0 0") == [(1, 1, "not-to-be-kept")]

    def test_two_that_differ_are_told_and_count_as_not_done(self, pool):
        transcribe(pool, "B2 09:05 otto 15\nB2 09:07 ruth 20")
        assert "the two answers differ" in pool.state().items["fuse"].reason

    def test_one_who_watched_is_named_in_passing_or_in_a_line(self, pool):
        transcribe(pool, "C2 09:05 otto second=ruth\nB1 09:06 otto no-mains\nB1 09:07 ruth")
        items = pool.state().items
        assert [(items[n].state, items[n].second_by) for n in ("seals", "mains")] == [
            ("answered", "ruth")
        ] * 2
        assert items["mains"].second_values == {"choice": "no-mains"}

    def test_a_crew_of_one_says_that_it_is_the_second_look(self):
        pool = Poolside().dive(crew=ALONE)
        pool.clock.advance(3600)
        transcribe(pool, "B2 09:05 ines 20\nB2 09:30 ines 20 second")
        state = pool.state().items["fuse"]
        assert (state.state, state.is_alone) == ("answered", True)

    def test_where_nobody_is_asked_for_there_is_no_second(self, pool):
        assert problems(pool, "A1 09:05 ines second=ruth") == [(1, 15, "no-second-asked")]
        assert problems(pool, "A1 09:05 ines second") == [(1, 1, "not-to-be-kept")]


class TestAllOrNothing:
    """Every problem is told with its place, and then nothing is written."""

    @pytest.mark.parametrize(
        ("line", "place"),
        [
            ("A1 09:05", (1, 9, "line-too-short")),
            ("A1 9.05 ines", (1, 4, "no-time")),
            ("A1 25:00 ines", (1, 4, "no-time")),
            ("A1 23:59 ines", (1, 4, "time-to-come")),
            ("A1 09:05 inez", (1, 10, "no-such-person")),
            ("A99 09:05 ines", (1, 1, "no-such-item")),
            ("A1 09:05 ines 3", (1, 15, "no-value-asked")),
            ("A5 09:05 ruth", (1, 1, "value-missing")),
            ("A5 09:05 ruth 3 4", (1, 15, "values-do-not-fit")),
            ("A5 09:05 ruth edge=3", (1, 15, "no-such-name")),
            ("A5 09:05 ruth 3V", (1, 15, "no-such-value")),
            ("A5 09:05 ruth supply_from_edge=3 supply_from_edge=4", (1, 34, "given-twice")),
            ("B1 09:05 otto maybe", (1, 15, "no-such-value")),
            ('A1 09:05 ines text="x', (1, 20, "open-quote")),
            ("A1 09:05 ines text=", (1, 15, "nothing-said")),
            ('A5 09:05 ruth 3 deferred="later"', (1, 17, "both-ways")),
            ("A1 09:05 ines\x07", (1, 14, "control-character")),
            ("day tomorrow", (1, 5, "no-day")),
            ("A 09:05 ines 3", (1, 14, "no-value-asked")),
        ],
    )
    def test_each_mistake_is_told_where_it_stands(self, pool, line, place):
        assert problems(pool, line) == [place]
        # The good line above it is not kept either.
        assert problems(pool, f"A3 09:01 ruth\n{line}") == [(2, *place[1:])]

    def test_all_of_them_are_told_at_once(self, pool):
        sheet = "A1 9.05 inez\n\n# fine\nA99 09:05 ines\nA3 09:01 ruth"
        assert [p[:2] for p in problems(pool, sheet)] == [(1, 4), (1, 9), (4, 1)]

    def test_bytes_that_are_no_text_are_told_with_their_line(self, pool):
        with pytest.raises(DocumentError, match=r"sheet.txt:2:4: not-text"):
            check_sheet(pool.logbook, pool.record, b"A1 09:05 ines\nA3 \xff", by="ruth", file="sheet.txt")

    def test_a_sheet_of_another_day_asks_for_the_day(self):
        pool = Poolside()
        pool.clock.at = "2026-06-13T23:30:00+01:00"
        pool.dive()
        pool.clock.advance(3600)
        assert problems(pool, "A1 00:05 ines") == [(1, 4, "long-before")]
        transcribe(pool, "day 2026-06-14\nA1 00:05 ines")
        assert pool.record.entries[-1].at == "2026-06-14T00:05:00+01:00"

    def test_nothing_is_answered_past_a_hold_point(self, pool):
        assert problems(pool, "G1 09:05 otto") == [(1, 1, "not-to-be-kept")]

    def test_a_release_is_the_supervisor_s_and_waits_for_what_is_open(self, pool):
        with pytest.raises(DocumentError, match="ruth is not the supervisor"):
            transcribe(pool, "G-hold 09:05 ruth")
        with pytest.raises(DocumentError, match="always stops the dive has no waiver"):
            transcribe(pool, "A1 09:01 ines\nG-hold 09:05 ines")

    def test_a_group_with_open_items_is_not_called(self, pool):
        with pytest.raises(DocumentError, match="cannot be called complete"):
            transcribe(pool, "A1 09:01 ines\nA 09:05 ines")

    def test_a_line_that_stands_twice_is_told(self, pool):
        assert problems(pool, "A1 09:05 ines\nA1 09:05 Ines") == [(2, 1, "said-twice")]


class TestAgain:
    """A sheet given again adds what is new, and nothing twice."""

    SHEET = "A1 09:05 ines\nB1 09:06 otto no-mains second=ruth\nB2 09:07 otto 15\nB2 09:08 ruth 15\n"

    def test_the_second_time_nothing_is_written(self, pool):
        transcribe(pool, self.SHEET)
        before = pool.record.entries
        done = transcribe(pool, self.SHEET)
        assert done.written == ()
        assert pool.record.entries == before

    def test_a_sheet_that_grew_adds_its_new_lines(self, pool):
        transcribe(pool, self.SHEET)
        done = transcribe(pool, self.SHEET + "A3 09:09 ruth")
        assert [w.entry.fields["item"] for w in done.written] == ["stop-word"]

    def test_a_whole_list_with_its_calls_and_releases_is_given_twice(self):
        app, sheet = as_app_and_as_sheet()
        pool = Poolside().dive()
        pool.clock.at = app.clock.at
        transcribe(pool, sheet)
        assert transcribe(pool, sheet).written == ()

    def test_another_value_for_the_same_answer_asks_for_a_correction(self, pool):
        transcribe(pool, self.SHEET)
        with pytest.raises(DocumentError, match="has this answer already, as rating 15"):
            transcribe(pool, "B2 09:07 otto 20")

    def test_one_who_answers_again_later_has_answered_again(self, pool):
        transcribe(pool, "A5 09:05 ruth 1")
        transcribe(pool, "A5 09:15 ruth 3")
        assert pool.state().items["deck"].state == "answered"


def test_what_was_put_off_or_does_not_apply_is_kept_so(pool):
    transcribe(pool, 'F5 09:05 ines deferred="arm on its way"\nG4 09:06 otto not-applicable="none fitted"')
    items = pool.state().items
    assert (items["payload"].state, items["payload"].reason) == ("deferred", "arm on its way")
    assert pool.record.entries[-1].kind == "not-applicable"
    with pytest.raises(DocumentError, match="always stops the dive"):
        transcribe(pool, 'A1 09:07 ines not-applicable="nobody here"')


@given(st.text(st.characters(exclude_categories=["Cs"]), max_size=60))
@settings(max_examples=25)
def test_whatever_is_typed_is_kept_or_told_and_never_half(text):
    pool = STANDING
    before = pool.record.entries
    try:
        check_sheet(pool.logbook, pool.record, text.encode(), by="ruth", file="sheet.txt")
    except DocumentError as error:
        for problem in error.problems:
            assert problem.message
            assert problem.mend
            assert 1 <= problem.place.line <= text.count("\n") + 1
    assert pool.record.entries == before


STANDING = Poolside().dive()
