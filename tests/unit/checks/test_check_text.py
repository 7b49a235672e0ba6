"""Items, limits and states in words, whole as a person reads them."""

from __future__ import annotations

import textwrap

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rovlog.domain.checks.checklist import Ask, Limit, Reference
from rovlog.domain.checks.groups import group_state
from rovlog.domain.checks.limits import judge
from rovlog.domain.checks.state import STATES, states_of
from rovlog.domain.checks.stops import what_stops
from rovlog.faces.reports import check_text


def item(diary, name):
    return next(i for c in diary.lists for i in c.items() if i.item == name)


def block(diary, name, width=78):
    return check_text.item_block(item(diary, name), diary.state(name), diary.resolved, diary.computed, width)


def test_an_item_is_told_in_full_with_its_caution_first(diary):
    assert block(diary.start("one"), "bench-fuse") == (
        "WARNING: Twelve volts will not usually shock but will burn and start fires.\n"
        "Never a bigger fuse, foil or a bridge. Rings and watches off.\n"
        "BN4 Fuse\n"
        "  response  rating and type read off the part; millimetres from the source\n"
        "  value     rating on the body, A\n"
        "  limit     rating on the body: at most …, not judged: thinnest_wire_rating_a\n"
        "            cannot be computed\n"
        "  limit     rating on the body: equal to 20 A (the configuration:\n"
        "            /electrical/fuse/rating_a)\n"
        "  value     along the wire from the source, mm\n"
        "  limit     along the wire from the source: at most 300 mm (competition rule,\n"
        "            2018)\n"
        "  value     type on the body; may be left out\n"
        "  typed     --value rating=… --value distance=… [--value type=…]\n"
        "  touch     the fuse body, then a ruler along the wire\n"
        "  by        technician\n"
        "  second    a second person answers without seeing the first answer\n"
        "  holds for until something voids it; voided by fuse changed, supply swapped\n"
        "  why       it is the only thing that limits a fire; always stops the dive, no\n"
        "            waiver\n"
        "  source    300 mm: competition rule, 2018; wire rating: the vehicle's record\n"
        "  state     · open"
    )


@pytest.mark.parametrize("width", [38, 78])
def test_no_line_is_wider_than_asked(diary, width):
    diary.start("one")
    for name in diary.states():
        assert max(len(line) for line in block(diary, name, width).splitlines()) <= width


def test_a_blind_answer_is_not_shown_before_the_second(diary):
    diary.start("one").tick("fuse", rating=23)
    text = block(diary, "fuse")
    assert "23" not in text
    assert "answered by piet, not shown until the second person has answered" in " ".join(text.split())


def test_a_judged_limit_shows_value_margin_and_origin(diary):
    text = block(diary.start("one").tick("sag", sag=0.25), "sag")
    assert "sag 0.25 V: at most 1 V holds, margin 0.75 V (project default)" in " ".join(text.split())


def test_an_answer_of_an_earlier_dive_is_shown_as_carried_over(diary):
    diary.start("one").tick("shake", by="ruth").wait(hours=2).start("two")
    words = check_text.state_words(diary.state("shake"))
    assert words == "✓ answered; by ruth at 09:00; carried over from one at 2026-05-01 09:00"


def test_a_computed_answer_is_never_shown_as_seen(diary):
    diary.start("one").add(
        "check", "otto", item="net-buoyancy", outcome="pass", values={"net_up": 1.2}, source="computed"
    )
    words = check_text.answer_words(item(diary, "net-buoyancy"), diary.state("net-buoyancy"))
    assert words == "net up 1.2 N (computed, accepted by otto)"


def test_a_confirmed_state_is_recorded_as_stated(diary):
    diary.start("one").tick("jacket", by="ruth")
    assert check_text.answer_words(item(diary, "jacket"), diary.state("jacket")) == "as stated"


def test_an_expired_answer_says_what_ended_it(diary):
    diary.start("one").tick("shake", by="ruth").add("event", "otto", event="knocked")
    assert check_text.state_words(diary.state("shake")) == "! expired; knock or drop, otto at 09:00"


def test_every_state_has_its_own_mark():
    assert set(check_text.MARKS) == set(STATES)
    assert len(set(check_text.MARKS.values())) == len(STATES)


def test_a_band_is_said_with_both_origins():
    band = Limit(middle=Reference(computed="rise_time_s"), share=Reference(pointer="/limits/rise_share"))
    ask = Ask("rise_time", "s", limit=band)
    assert check_text.limit_words(ask, {}, {"rise_time_s": 8.0}) == [
        "within 30 % of 8 s (computed: rise_time_s; project default)"
    ]
    assert check_text.limit_words(ask, {}, {}) == ["in a band, not judged: rise_time_s cannot be computed"]
    (judged,) = judge(ask, 12.0, {}, {"rise_time_s": 8.0})
    assert check_text.judged_words(judged) == (
        "rise time 12 s: in its band about 8 s does not hold, margin -1.6 s"
        " (computed: rise_time_s; width: project default)"
    )


def test_a_list_is_told_item_by_item_with_its_completion_calls(make_list, make_diary):
    diary = make_diary(make_list({"item": "rope", "code": "A1", "challenge": "Rope"}, {"item": "hatch"}))
    diary.start("one").tick("rope")

    def told():
        fold = diary.fold()
        states = states_of(fold, {})
        group = group_state(diary.lists[0], diary.lists[0].sections[0], states, fold)
        return check_text.list_text(diary.lists[0], states, [group])

    assert told() == (
        "short, revision 1\n\nOne\n"
        "  ✓ A1    Rope: as stated; piet 09:00\n"
        "  ·       Thing: open\n"
        "  1 of 2 open"
    )
    diary.tick("hatch")
    assert told().endswith("all settled; the completion call is missing")
    diary.add("completion", "piet", checklist="short", section="short-one")
    assert told().endswith("complete, called by piet at 09:00")


def test_what_stops_the_dive_is_numbered_with_what_clears_it(make_list, make_diary):
    diary = make_diary(make_list({"item": "rope", "code": "A1", "challenge": "Rope"}))
    states = diary.start("one").states()
    assert check_text.stops_text(what_stops(diary.lists, states)) == (
        "1 reason on record stops this dive:\n"
        "  1. A1 Rope is open\n"
        "     clears: answer it; there is no waiver"
    )
    assert check_text.stops_text(()) == "nothing recorded stops this dive"


def test_the_words_never_say_that_a_dive_is_safe(diary):
    diary.start("one")
    text = " ".join(block(diary, name) for name in diary.states()).casefold()
    words = set(text.replace(",", " ").replace(".", " ").replace(";", " ").split())
    assert not words & {"no-go", "safe"}
    assert check_text.stops_text(()) == "nothing recorded stops this dive"


def test_signs_that_steer_a_terminal_are_shown_not_sent(diary):
    diary.start("one").tick("sag", outcome="fail", sag=0.1)
    diary.add(
        "check", "piet", item="sag", outcome="fail", values={"sag": 0.1}, source="seen", text="\x1b[2Jred"
    )
    assert "\x1b" not in block(diary, "sag")
    assert "<U+001B>" in block(diary, "sag")


@given(st.text(st.sampled_from("ab -—.\u00e9\u00a0"), max_size=40), st.sampled_from(["", "  by        "]))
def test_a_line_that_fits_is_the_one_that_wrapping_makes(text, head):
    usual = textwrap.wrap(
        check_text.clean(text),
        30,
        initial_indent=head,
        subsequent_indent=" " * len(head),
        break_long_words=True,
    )
    assert check_text._wrap(text, 30, head) == usual


def test_a_crew_reads_codes_and_challenges_where_an_item_is_named(all_lists):
    from rovlog.domain.checks.checklist import names_of
    from rovlog.domain.dive import Entry
    from rovlog.faces.reports.check_text import caller
    from rovlog.faces.screens.entry_words import words_of

    items = {i.item: i for c in all_lists for i in c.items()}
    called = caller(items)
    assert called("bench-insulation").startswith("BN7 ")
    assert called("slip-lamp") == "slip-lamp"
    entry = Entry("1", 1, "2026-05-01T09:00:00+01:00", 0.0, "ruth", "check", "deck",
                  {"item": "lay", "outcome": "pass"})  # fmt: skip
    assert words_of(entry, called) == "D6 Lay"
    assert names_of([items[n] for n in ("swimmers", "fuse", "lay", "reach")]) == (
        "A1 Swimmers and divers; B2 Main fuse; D6 Lay; D5"
    )


def test_the_exact_names_and_choices_of_the_values_are_shown(diary):
    diary.start("one")
    assert "  typed     --value supply_from_edge=…" in block(diary, "deck")
    setting = next(i for c in diary.lists for i in c.items() if any(a.options for a in i.asks))
    ask = next(a for a in setting.asks if a.options)
    assert f"--value {ask.value}={'|'.join(ask.options)}" in check_text.typed_words(setting)


@pytest.mark.parametrize(
    ("value", "said"),
    [(0.184828, "0.1848"), (0.0133103, "0.01331"), (12.0, "12"), (101.325, "101.3"), (12345.6, "12346")],
)
def test_a_number_in_words_has_no_more_figures_than_anybody_knows(value, said):
    assert check_text.value_words(value) == said
