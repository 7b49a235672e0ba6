"""The place Checks: what is in hand, how it is answered, what is kept."""

from __future__ import annotations

import pytest
from driving_app import Driver, drive, entries, logbook_in_memory, start

from rovlog.usecases.answer_item import answer_item
from rovlog.usecases.logbook import Logbook


def test_the_app_opens_at_the_first_item_that_is_not_settled():
    book = logbook_in_memory()
    dive = start(book)
    logbook = Logbook(book)
    answer_item(logbook, logbook.record(dive), "swimmers", by="ines")

    async def script(d: Driver) -> None:
        assert d.item is not None
        assert d.item.item == "crew"
        assert "In charge, pilot, tender, technician" in d.text

    drive(book, script)


def test_enter_keeps_a_confirm_item_as_stated_and_goes_to_the_next():
    book = logbook_in_memory()
    dive = start(book)

    async def script(d: Driver) -> None:
        await d.press("enter")
        assert d.item is not None
        assert d.item.item == "crew"
        assert d.message.startswith("kept 09:00 by Ines Brandt: A1 Swimmers and divers")

    drive(book, script)
    kept = entries(book, dive)[-1]
    assert (kept.kind, kept.by, kept.fields["item"], kept.fields["outcome"]) == (
        "check",
        "ines",
        "swimmers",
        "pass",
    )


def test_one_digit_answers_a_choice():
    book = logbook_in_memory()
    dive = start(book)

    async def script(d: Driver) -> None:
        await d.press("enter", "1")

    drive(book, script)
    kept = entries(book, dive)[-1]
    assert kept.fields["item"] == "crew"
    assert kept.fields["values"] == {"choice": "as-entered"}


def test_a_number_takes_a_decimal_comma_and_is_judged():
    book = logbook_in_memory()
    dive = start(book)

    async def script(d: Driver) -> None:
        await d.go_to("deck")
        await d.type("2,5")
        assert "2,5_" in d.text
        await d.press("enter")
        assert "supply from edge 2.5 m: at least 2 m holds" in d.message

    drive(book, script)
    assert entries(book, dive)[-1].fields["values"] == {"supply_from_edge": 2.5}


def test_a_value_beyond_its_limit_is_kept_as_failed_and_stays_in_hand():
    book = logbook_in_memory()
    dive = start(book)

    async def script(d: Driver) -> None:
        await d.go_to("deck")
        await d.press("1", "enter")
        assert d.item is not None
        assert d.item.item == "deck"
        assert "FAILED: supply from edge 1 m: at least 2 m does not hold" in d.message
        assert "✗ failed" in d.text
        assert "mend it and answer again (u corrects a slip); no waiver" in d.words

    drive(book, script)
    assert entries(book, dive)[-1].fields["outcome"] == "fail"


def test_a_value_that_looks_like_a_slip_is_asked_about_once_and_kept_either_way():
    book = logbook_in_memory()
    dive = start(book)

    async def script(d: Driver) -> None:
        await d.go_to("fuse")
        await d.type("2500")
        await d.press("enter")
        before = len(entries(book, dive))
        assert "look again" in d.text
        await d.press("escape")
        assert len(entries(book, dive)) == before
        await d.press("enter")
        await d.press("2")
        await d.press("enter")

    drive(book, script)
    kept = [e for e in entries(book, dive) if e.kind == "check"][-1]
    assert kept.fields["confirmed"] is True


def test_failed_asks_what_was_seen_and_keeps_nothing_without_it():
    book = logbook_in_memory()
    dive = start(book)

    async def script(d: Driver) -> None:
        count = len(entries(book, dive))
        await d.press("f", "enter")
        assert "nothing is said" in d.text
        await d.press("escape")
        assert len(entries(book, dive)) == count
        await d.press("f")
        await d.type("two boys at the steps")
        await d.press("enter")

    drive(book, script)
    kept = entries(book, dive)[-1]
    assert (kept.fields["outcome"], kept.fields["text"]) == ("fail", "two boys at the steps")


def test_a_deferred_item_has_a_reason_and_comes_back_at_the_end():
    book = logbook_in_memory()
    start(book)

    async def script(d: Driver) -> None:
        await d.go_to("site-limits")
        await d.press("d")
        await d.type("waiting for the gauge")
        await d.press("enter", "enter")
        assert d.state.items["site-limits"].state == "deferred"
        assert d.item is not None
        assert d.item.item == "depth-rating"

    drive(book, script)


def test_an_item_that_always_stops_cannot_be_waived_and_the_refusal_stands_in_full():
    book = logbook_in_memory()
    start(book)

    async def script(d: Driver) -> None:
        await d.press("w")
        await d.type("only today")
        await d.press("enter", "enter", "enter")
        assert "always stops the dive: there is no waiver for it" in d.words
        await d.press("escape")
        assert d.state.items["swimmers"].state == "open"

    drive(book, script)


def test_a_double_press_within_150_ms_counts_once():
    book = logbook_in_memory()
    dive = start(book)

    async def script(d: Driver) -> None:
        await d.bounce("enter")

    drive(book, script)
    assert [e.kind for e in entries(book, dive)].count("check") == 1


def test_the_enter_that_opens_a_release_does_not_release_when_it_bounces():
    book = logbook_in_memory()
    dive = start(book)

    async def script(d: Driver) -> None:
        await d.go_to("release-power-on")
        await d.bounce("enter")
        assert "who releases?" in d.text

    drive(book, script)
    assert [e.kind for e in entries(book, dive)] == ["start"]


def test_a_digit_that_chose_does_not_choose_in_the_next_item_when_it_bounces():
    book = logbook_in_memory()
    dive = start(book)

    async def script(d: Driver) -> None:
        await d.go_to("crew")
        await d.bounce("1")

    drive(book, script)
    assert [e.kind for e in entries(book, dive)].count("check") == 1


def test_the_same_digit_twice_in_a_number_is_two_digits():
    book = logbook_in_memory()
    start(book)

    async def script(d: Driver) -> None:
        await d.go_to("deck")
        await d.bounce("1")
        assert "11_" in d.text

    drive(book, script)


def test_several_lines_pasted_are_refused_and_one_line_is_taken():
    book = logbook_in_memory()
    start(book)

    async def script(d: Driver) -> None:
        from textual.events import Paste

        await d.go_to("deck")
        d.app.post_message(Paste("2,5\nrm -rf"))
        await d.settle()
        assert "more than one line" in d.message
        d.app.post_message(Paste("2,5"))
        await d.settle()
        assert "2,5_" in d.text

    drive(book, script)


def test_several_lines_pasted_into_a_form_are_refused():
    book = logbook_in_memory()
    start(book)

    async def script(d: Driver) -> None:
        from textual.events import Paste

        await d.press("f")
        d.app.post_message(Paste("seen\nand more"))
        await d.settle()
        assert "more than one line" in d.text
        assert "seen" not in d.text.replace("what was seen", "")

    drive(book, script)


def test_the_second_person_of_a_blind_item_does_not_see_the_first_answer():
    book = logbook_in_memory()
    dive = start(book)

    async def script(d: Driver) -> None:
        await d.go_to("fuse")
        await d.type("15")
        await d.press("enter")
        assert "Who is the second person?" in d.words
        await d.press("1")
        assert d.item is not None
        assert d.item.item == "fuse"
        assert d.checks.is_second
        body = d.text.split("F9 Audit", 1)[1]
        assert "15 A (measured)" not in body
        assert "now Ines Brandt answers, without seeing the first answer" in " ".join(body.split())
        assert "answers: Ines Brandt" in d.text
        await d.type("20")
        await d.press("enter")
        assert d.state.items["fuse"].state == "failed"
        assert "rolf says 15 A, ines says 20 A" in d.words

    drive(book, script)
    assert [e.fields.get("witness") for e in entries(book, dive) if e.kind == "check"] == [None, True]


def test_a_proposed_value_is_labelled_computed_and_never_shown_as_seen():
    book = logbook_in_memory()
    dive = start(book)

    async def script(d: Driver) -> None:
        await d.go_to("net-buoyancy")
        assert "computed, not seen" in d.text
        await d.press("enter")

    drive(book, script)
    kept = entries(book, dive)[-1]
    assert kept.fields["item"] == "net-buoyancy"
    assert kept.fields["source"] == "computed"


def test_a_pause_keeps_its_reason_and_resuming_asks_the_last_item_again():
    book = logbook_in_memory()
    dive = start(book)

    async def script(d: Driver) -> None:
        await d.press("enter", "1")
        await d.press("p")
        await d.type("visitors on the jetty")
        await d.press("enter")
        assert "PAUSED" in d.text
        assert "visitors on the jetty" in d.text
        await d.press("f")
        assert "PAUSED" in d.text
        await d.press("enter")
        assert d.item is not None
        assert d.item.item == "crew"
        assert "asked again" in d.message

    drive(book, script)
    assert [e.kind for e in entries(book, dive)][-2:] == ["pause", "resume"]


def test_nothing_past_a_hold_point_is_answered_before_its_release():
    book = logbook_in_memory()
    dive = start(book)

    async def script(d: Driver) -> None:
        await d.go_to("power-on")
        assert "cannot be answered yet" in d.words
        await d.press("enter")
        assert "waits for release" in d.message

    drive(book, script)
    assert [e.kind for e in entries(book, dive)] == ["start"]


def test_a_release_asks_whose_word_it_is_and_is_refused_while_something_always_stops():
    book = logbook_in_memory()
    dive = start(book)

    async def script(d: Driver) -> None:
        await d.go_to("release-power-on")
        await d.press("enter")
        assert "who releases?" in d.text
        assert "Ines Brandt" in d.text
        await d.press("1")
        assert "cannot be released: A1 Swimmers and divers; A2 " in d.message
        assert "are open; answer it: what always stops the dive has no waiver" in d.message

    drive(book, script)
    assert [e.kind for e in entries(book, dive)] == ["start"]


def test_enter_pressed_again_releases_nothing():
    book = logbook_in_memory()
    dive = start(book)
    logbook = Logbook(book)

    async def script(d: Driver) -> None:
        while d.item is None or d.item.kind != "release":
            await d.answer()
        before = len(entries(book, dive))
        await d.press("enter", "enter")
        assert d.message == "not released: G-hold Power on, may it be switched on?"
        assert len(entries(book, dive)) == before
        assert d.item is not None
        assert d.item.item == "release-power-on"
        await d.press("enter", "1")
        assert d.message.startswith("released by Ines Brandt")

    drive(book, script)
    assert logbook.record(dive).of_kind("release")


def test_what_always_stops_comes_back_before_the_next_hold_and_keeps_it_closed():
    book = logbook_in_memory()
    dive = start(book)

    async def script(d: Driver) -> None:
        await d.press("d")
        hold = "G-hold Power on, may it be switched on?"
        assert f"It comes back before {hold}, which is not released without it." in d.words
        await d.type("nobody can see that bank yet")
        await d.press("enter", "enter")
        assert d.message.startswith("deferred: A1 Swimmers and divers; it comes back before G-hold")
        while d.item is None or d.item.item not in ("swimmers", "release-power-on"):
            await d.answer()
        assert d.item.item == "swimmers"
        await d.go_to("release-power-on")
        await d.press("enter", "1")
        assert "A1 Swimmers and divers is deferred; it was put off only as far as this hold" in d.message
        await d.press("home")
        assert d.item is not None
        assert d.item.item == "swimmers"

    drive(book, script)
    assert not Logbook(book).record(dive).of_kind("release")


def test_a_correction_is_a_further_entry_with_a_reason():
    book = logbook_in_memory()
    dive = start(book)

    async def script(d: Driver) -> None:
        await d.go_to("deck")
        await d.press("1", "enter")
        await d.press("u")
        await d.press("end", "backspace")
        await d.type("3")
        await d.press("enter")
        assert "outcome" not in d.words
        await d.type("read again with the tape")
        await d.press("enter")
        assert d.state.items["deck"].state == "answered"

    drive(book, script)
    kinds = [e.kind for e in entries(book, dive)]
    assert kinds == ["start", "check", "correction"]


def test_a_disk_that_is_full_says_not_recorded_and_keeps_the_item_open():
    book = logbook_in_memory()
    dive = start(book)

    async def script(d: Driver) -> None:
        book.files.room = 10
        await d.press("enter")
        assert "not recorded" in d.message
        assert d.item is not None
        assert d.item.item == "swimmers"
        assert d.state.items["swimmers"].state == "open"

    drive(book, script)
    assert [e.kind for e in entries(book, dive)] == ["start"]


def test_who_answers_is_shown_and_changes_with_one_key():
    book = logbook_in_memory()
    dive = start(book)

    async def script(d: Driver) -> None:
        assert "answers: Ines Brandt" in d.text
        await d.press("a")
        assert "answers: Tam Okoro" in d.text
        await d.press("enter")
        assert "answers: Ines Brandt" in d.text

    drive(book, script)
    assert entries(book, dive)[-1].by == "tam"


def test_a_click_takes_an_item_in_hand_and_a_key_on_the_line_works():
    book = logbook_in_memory()
    dive = start(book)

    async def script(d: Driver) -> None:
        rows = d.text.splitlines()
        row = next(i for i, line in enumerate(rows) if "A3 Stop word" in line)
        await d.pilot.click(offset=(10, row))
        await d.settle()
        assert d.item is not None
        assert d.item.item == "stop-word"
        await d.pilot.click(offset=(2, 23))
        await d.settle()

    drive(book, script)
    assert entries(book, dive)[-1].fields["item"] == "stop-word"


@pytest.mark.parametrize("deed", ["f", "d", "n", "p", "w", "r"])
def test_no_key_keeps_anything_irreversible_by_itself(deed):
    book = logbook_in_memory()
    dive = start(book)

    async def script(d: Driver) -> None:
        await d.press(deed, "escape")

    drive(book, script)
    assert [e.kind for e in entries(book, dive)] == ["start"]
